"""What waits for a reading: strips that come to rest, and the shop's air while something cures by it."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Max

from materials.models import Reading
from projects.models import LogEntry, Step

STRIPS_EVERY = timedelta(days=2)  # common practice, no source
AIR_EVERY = timedelta(hours=12)  # a night may have come between
KINDS = (Reading.Kind.MOISTURE, Reading.Kind.MASS)


@dataclass(frozen=True)
class Wanted:
    """A reading that is wanted: of what, of which step if of one, and when it was last taken."""

    what: str
    step: Step | None
    last: datetime | None


def wanted(matter, temperature):
    """The readings that are wanted; `temperature` is the newest of the shop's air, or None."""
    return [*of_strips(matter), *of_air(matter, temperature)]


def of_strips(matter):
    """Strips that come to rest and were not read for two days."""
    rest = [
        step
        for step in matter.steps
        if step.kind == Step.Kind.CONDITION and step.is_passive and step.state == Step.State.WAITING
    ]
    if not rest:
        return []
    rows = (
        LogEntry.objects.of(matter.shop)
        .kept()
        .filter(
            project__in={step.project_id for step in rest},
            readings__kind__in=KINDS,
            readings__removed_at=None,
        )
    )
    last = dict(rows.values("project").annotate(at=Max("readings__taken_at")).values_list("project", "at"))
    found = []
    for step in rest:
        begun = step.started_at or matter.at
        newest = max(last.get(step.project_id) or begun, begun)
        if matter.at - newest >= STRIPS_EVERY:
            found.append(Wanted("weigh three strips again", step, last.get(step.project_id)))
    return found


def of_air(matter, temperature):
    """The shop's temperature, while something cures and nobody has read it since yesterday."""
    cures = any(step.state == Step.State.WAITING and step.kind == Step.Kind.CURE for step in matter.steps)
    old = temperature is None or matter.at - temperature.taken_at >= AIR_EVERY
    last = temperature.taken_at if temperature else None
    return [Wanted("how warm the shop is: what cures goes by it", None, last)] if cures and old else []
