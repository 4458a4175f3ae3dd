"""How long a step waits by itself when its work is done."""

from datetime import timedelta

from projects.advice import WAITS
from projects.models import Step


def rest_of(step):
    """How long a step waits by itself when its work is done."""
    from projects.planning.route import MINUTES

    waits = step.kind in WAITS and not step.is_passive and step.state != Step.State.WAITING
    return timedelta(minutes=MINUTES[WAITS[step.kind]] if waits else 0)
