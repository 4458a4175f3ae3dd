"""How a step stands in its route, in the words of the page."""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from projects.clocks import say_time
from projects.links import Wait
from projects.models import Step
from workshop.templatetags.figures import hours

WEEK = 7
STATES = {
    Step.State.TO_DO: ("open", "to do"),
    Step.State.UNDER_WAY: ("running", "under way"),
    Step.State.WAITING: ("waiting", "waits"),
    Step.State.DONE: ("clear", "done"),
    Step.State.SKIPPED: ("skipped", "skipped"),
}
"""The shape and the word of each state."""


@dataclass(frozen=True)
class StepRow:
    """A step as a row of acts: what stands at its left, how it stands, and what it really took."""

    step: Step
    small: str
    figure: str
    is_next: bool
    is_late: bool
    took: str

    @property
    def shape(self):
        """The shape of its state."""
        return STATES[Step.State(self.step.state)][0]

    @property
    def word(self):
        """The word of its state; a pour says what it waits for."""
        word = STATES[Step.State(self.step.state)][1]
        cures = self.step.kind in (Step.Kind.POUR, Step.Kind.CURE)
        return "waits for its cure" if word == "waits" and cures else word


def step_row(step, now, tz, *, is_next=False):
    """A step as its row, at the moment `now`, in the shop's zone."""
    small, figure = when(step, now, tz)
    return StepRow(step, small, figure, is_next, is_late(step, now), took(step, now, tz))


def when(step, now, tz):
    """What the moment is that counts for a step, and that moment; how long it takes where it has none."""
    moments = {
        Step.State.TO_DO: ("planned for", step.planned_start),
        Step.State.UNDER_WAY: ("since", step.started_at),
        Step.State.WAITING: ("waits since", step.started_at),
        Step.State.DONE: ("done", step.ended_at),
        Step.State.SKIPPED: ("skipped", step.ended_at),
    }
    small, moment = moments[Step.State(step.state)]
    return (small, short_time(moment, now, tz)) if moment else ("takes", "")


@dataclass(frozen=True)
class WaitLine:
    """A link of a step in words: what it waits for, and the window."""

    wait: Wait
    before: str

    @property
    def window(self):
        """When the step may begin, counted from the end of the other: “4 h to 14 h after”."""
        opens, closes = self.wait.link.open_min, self.wait.link.close_min
        if closes is None:
            return f"{hours(opens)} after" if opens else "after"
        return f"{hours(opens)} to {hours(closes)} after" if opens else f"within {hours(closes)} of"

    @property
    def warmth(self):
        """At which warmth the hours are a sheet's; None where they are hours by the clock."""
        return self.wait.link.at_c if self.wait.link.law == "ten_degree" else None


def short_time(moment, now, tz):
    """A moment as a figure: a week away the day is enough."""
    local = moment.astimezone(tz)
    far = abs((local.date() - now.astimezone(tz).date()).days) >= WEEK
    return f"{local:%a} {local.day} {local:%b}" if far else say_time(moment, now, tz)


def is_late(step, now):
    """Whether a step should have been begun, or should be over, by what was planned."""
    if step.state == Step.State.TO_DO:
        return step.planned_start is not None and step.planned_start < now
    return step.state == Step.State.UNDER_WAY and step.planned_end is not None and step.planned_end < now


def took(step, now, tz):
    """From when to when a step really went, beside what was planned; empty before it has begun."""
    if step.started_at is None:
        return ""
    real = span_of(step.started_at, step.ended_at, now, tz)
    if step.planned_start is None:
        return real
    return f"{real}, planned {span_of(step.planned_start, step.planned_end, now, tz)}"


def span_of(start, end, now, tz):
    """Two moments as people read them, the second without its day where it is the same one."""
    said = say_time(start, now, tz)
    if end is None:
        return f"from {said}"
    start, end = start.astimezone(tz), end.astimezone(tz)
    return (
        f"{said}–{end:%H:%M}" if start.date() == end.date() else f"{said} – {end:%a} {end.day} {end:%b %H:%M}"
    )


@dataclass(frozen=True)
class Ends:
    """When a project will be done as it is planned, against the day it is wanted by."""

    at: datetime | None
    spare_days: int | None
    open_steps: int
    without_date: int


def ends_of(project, steps):
    """The end of what is still open; `spare_days` is below nothing where the day is missed."""
    still = [step for step in steps if step.state not in (Step.State.DONE, Step.State.SKIPPED)]
    dates = [step.planned_end for step in still if step.planned_end]
    at = max(dates, default=None)
    spare = (project.due_on - timezone.localdate(at)).days if at and project.due_on else None
    return Ends(at, spare, len(still), len(still) - len(dates))


def following(step, steps):
    """What to go on to from a step that is over: what comes after it, else what was left behind."""
    after = [each for each in steps if (each.position, each.pk) > (step.position, step.pk)]
    return next_of(after) or next_of(steps)


def next_of(steps):
    """The step that is on: begun, else the next to do that nothing before holds up, else what waits."""
    waits = None
    for step in steps:
        if step.state == Step.State.UNDER_WAY:
            return step
    for step in steps:
        if step.state == Step.State.WAITING:
            waits = waits or step
        elif step.state == Step.State.TO_DO:
            return waits or step
    return waits
