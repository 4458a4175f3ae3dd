"""When it is the turn of a step: what stands before it in its route, and until when that is planned."""

from dataclasses import dataclass
from datetime import datetime

from projects.actions.dates import over_at
from projects.links import waits_of
from projects.models import Step

STATE = Step.State
OPEN = (STATE.TO_DO, STATE.UNDER_WAY, STATE.WAITING)


@dataclass(frozen=True)
class Turn:
    """What a step waits for longest, and until when; None where it has no date, or should be over."""

    step: Step
    until: datetime | None
    is_late: bool = False

    def since(self, now):
        """From when on the step may be done, as far as anybody knows."""
        return self.until or now


def turn_of(step, now):
    """What a step that nobody has begun waits for; None where nothing stands before it."""
    if step.state != STATE.TO_DO:
        return None
    before = before_it(step)
    if not before:
        return None
    clocks = over_at(step.shop, before)
    ends = {each.pk: clocks.get(each.pk) or each.planned_end for each in before}
    undated = next((each for each in before if ends[each.pk] is None), None)
    if undated is not None:
        return Turn(undated, None)
    last = max(before, key=lambda each: (ends[each.pk], each.position))
    late = ends[last.pk] < now
    return Turn(last, None if late else ends[last.pk], late)


def before_it(step):
    """The open steps that a step waits for, however far off, in their order."""
    route = list(Step.objects.kept().filter(project=step.project_id).in_order())
    causes = {}
    for wait in waits_of(route):
        causes.setdefault(wait.after.pk, []).append(wait.before.pk)
    reached, ahead = set(), [step.pk]
    while ahead:
        ahead = [pk for after in ahead for pk in causes.get(after, ()) if pk not in reached]
        reached.update(ahead)
    return [one for one in route if one.pk in reached and one.state in OPEN]
