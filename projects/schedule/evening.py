"""The day's end: whether it went another way than planned, so that a new plan is worth making.

Nothing moves by itself: a new plan is only offered, and no more once somebody made one that evening.
"""

from dataclasses import dataclass
from datetime import timedelta

from projects.models import Step

STATE = Step.State
BEFORE_CLOSING = timedelta(minutes=30)


@dataclass(frozen=True)
class Evening:
    """How a day went beside its plan: steps not begun, not done in time, and begun that were not planned."""

    not_begun: list[Step]
    not_done: list[Step]
    not_planned: list[Step]

    @property
    def said(self):
        """The differences as one sentence."""
        parts = [
            counted(self.not_begun, "was not begun", "were not begun"),
            counted(self.not_done, "is not done", "are not done"),
            counted(self.not_planned, "was begun that was not planned", "were begun that were not planned"),
        ]
        return ", ".join(part for part in parts if part)


def counted(steps, one, several):
    """So many steps, as people say it; nothing for none."""
    if not steps:
        return ""
    return f"“{steps[0].title}” {one}" if len(steps) == 1 else f"{len(steps)} steps {several}"


def evening(matter, sessions, done, day, newest):
    """How the day went, once it is nearly over; None before, where all went as planned, or if asked already.

    `day` is the span of the day, `done` what ended on it, `newest` the last plan that was made, if any.
    """
    closes = last_close(sessions, day)
    if closes is None or matter.at < closes - BEFORE_CLOSING:
        return None
    if newest is not None and newest.created_at >= closes - BEFORE_CLOSING:
        return None
    found = Evening(
        [step for step in matter.steps if step.state == STATE.TO_DO and due(step.planned_start, closes)],
        [step for step in matter.steps if at_it(step) and due(step.planned_end, closes)],
        [step for step in [*matter.steps, *done] if began_unplanned(step, day)],
    )
    return found if found.said else None


def last_close(sessions, day):
    """When the shop shuts for the last time on a day; None where it does not open."""
    return max((closed for opened, closed in sessions if day.starts_at <= opened < day.ends_at), default=None)


def due(planned, closes):
    """Whether something was to have happened by the day's end."""
    return planned is not None and planned < closes


def at_it(step):
    """Whether hands are still at a step."""
    return step.state == STATE.UNDER_WAY and not step.is_passive


def began_unplanned(step, day):
    """Whether work began on a day that had it on no day, or on a later one."""
    if step.started_at is None or step.is_passive or not day.starts_at <= step.started_at < day.ends_at:
        return False
    return step.planned_start is None or step.planned_start >= day.ends_at
