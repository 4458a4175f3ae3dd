"""Two people at the same moment, each with a connection of their own."""

import threading
from concurrent.futures import ThreadPoolExecutor

from django.db import connection

from workshop.refusals import Refused


def at_once(*acts):
    """Do all acts at the same moment; gives what each returned, or the refusal that it got."""
    gate = threading.Barrier(len(acts))

    def run(act):
        try:
            gate.wait(timeout=10)
            return act()
        except Refused as refusal:
            return refusal
        finally:
            connection.close()

    with ThreadPoolExecutor(len(acts)) as pool:
        return [future.result(timeout=30) for future in [pool.submit(run, act) for act in acts]]
