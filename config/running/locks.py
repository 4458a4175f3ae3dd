"""One at a time: a lock that the system itself lets go of when its holder dies."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from config.running.console import CannotGoOnError, say

if os.name == "nt":
    import msvcrt

    def try_lock(handle: int) -> bool:
        """Take the lock if nobody has it."""
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
else:
    import fcntl

    def try_lock(handle: int) -> bool:
        """Take the lock if nobody has it."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


@contextmanager
def alone(path: Path, waiting: str) -> Iterator[None]:
    """Hold the lock file while the block runs; say `waiting` once if another holds it."""
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise CannotGoOnError(
            f"The folder {path.parent} can't be written to ({error.strerror}). "
            "Run this as the user whom it belongs to, or give this user the right to write there."
        ) from error
    try:
        told = False
        while not try_lock(handle):
            if not told:
                say(waiting)
                told = True
            time.sleep(0.2)
        yield
    finally:
        os.close(handle)
