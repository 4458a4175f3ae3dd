"""Windows that are open or will be, and that nobody will meet as things stand."""

from dataclasses import dataclass

from projects.clocks import say_time
from projects.models import Step, Timer
from projects.schedule.links import open_windows


@dataclass(frozen=True)
class Risk:
    """A window at risk: the clock it comes from, the step it is for, and what stands in the way."""

    clock: Timer
    step: Step
    said: str


def at_risk(matter, sessions):
    """The windows at risk, what closes first in front."""
    found = []
    for window in open_windows(matter.steps, matter.windows):
        said = why(window, matter, sessions)
        if said:
            found.append(Risk(window.clock, window.step, said))
    return sorted(found, key=lambda risk: (risk.clock.closes_at, risk.step.pk))


def why(window, matter, sessions):
    """What stands in the way of a window; empty where nothing does, or where it has no known close."""
    from projects.planning.absences import without

    clock, step = window.clock, window.step
    closes, tz = clock.closes_at, matter.shop.tz
    if closes is None:
        return ""
    until = say_time(closes, matter.at, tz)
    if closes < matter.at:
        return f"It closed {until}."
    opens = max(clock.due_at, matter.at)
    if not any(opened < closes and closed > opens for opened, closed in sessions):
        return f"It closes {until}, and the shop is shut all that time. Open for it, or be there."
    here = without(sessions, matter.alone)
    if not any(opened < closes and closed > opens for opened, closed in here):
        return f"It closes {until}, and everybody is away all that time. Be there for it."
    if step.state == Step.State.TO_DO and step.planned_start and step.planned_start > closes:
        planned = say_time(step.planned_start, matter.at, tz)
        return f"It closes {until}, and {step.title} is planned for {planned}. Make a plan, or do it sooner."
    return ""
