"""A stored plan as it is read: what moves, what it gains, which windows it gives up, what has no place."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from projects.models import Project, Step
from projects.schedule.making import Stands

STILL = timedelta(minutes=5)  # a step that moves by less stays where it is


@dataclass(frozen=True)
class Move:
    """A step that the plan has at another time, or that it gives its first one."""

    step: Step
    was: datetime | None
    will: datetime | None

    @property
    def is_later(self):
        """Whether it moves back."""
        return bool(self.was and self.will and self.will > self.was)


@dataclass(frozen=True)
class End:
    """When a project ends as its dates stand, and when by the plan."""

    project: Project
    was: datetime | None
    will: datetime | None

    @property
    def gained_days(self):
        """So many days earlier; below nothing where it is later, none where one of the two isn't known."""
        if not (self.was and self.will):
            return None
        return (timezone.localdate(self.was) - timezone.localdate(self.will)).days

    @property
    def days(self):
        """How many days it moves by."""
        return abs(self.gained_days or 0)

    @property
    def late_days(self):
        """How many days after the day by which it is wanted; 0 in time, none where that isn't known."""
        if not (self.will and self.project.due_on):
            return None
        return max(0, (timezone.localdate(self.will) - self.project.due_on).days)


@dataclass(frozen=True)
class Told:
    """A sentence about a step."""

    step: Step
    said: str


@dataclass(frozen=True)
class Proposal:
    """A stored plan beside the dates it would replace."""

    moves: list[Move]
    ends: list[End]
    relaxed: list[Told]
    unplaced: list[Told]
    behind: int
    stands: dict[int, Stands]

    @property
    def sooner(self):
        """The projects that end earlier."""
        return [end for end in self.ends if (end.gained_days or 0) > 0]

    @property
    def later(self):
        """The projects that end later."""
        return [end for end in self.ends if (end.gained_days or 0) < 0]


def moment(text):
    """A moment kept in a snapshot."""
    return datetime.fromisoformat(text) if text else None


def proposal_of(plan):
    """A plan's rows as a proposal: its steps, those without a place too, in order."""
    snapshot = plan.snapshot
    rows = Step.objects.of(plan.shop).filter(key__in=list(snapshot["was"]))
    steps = list(rows.select_related("project", "block").order_by("project", "position", "pk"))
    stands = stands_of(plan, steps)
    by_key = {str(step.key): step for step in steps}
    told = {
        name: [Told(by_key[key], said) for key, said in snapshot[name] if said and key in by_key]
        for name in ("relaxed", "unplaced")
    }
    return Proposal(
        moves=moves_of(snapshot, steps, stands),
        ends=ends_of(snapshot, steps),
        relaxed=told["relaxed"],
        unplaced=told["unplaced"],
        behind=len([said for _, said in snapshot["unplaced"] if not said]),
        stands=stands,
    )


def stands_of(plan, steps):
    """Where a stored plan has its steps, by their pk."""
    parts, relaxed, over = {}, set(), plan.snapshot["over"]
    for slot in plan.slots.in_order():
        parts.setdefault(slot.step_id, []).append((slot.starts_at, slot.ends_at))
        if slot.relaxed:
            relaxed.add(slot.step_id)
    return {
        step.pk: Stands(tuple(parts[step.pk]), moment(over[str(step.key)]), step.pk in relaxed)
        for step in steps
        if step.pk in parts
    }


def moves_of(snapshot, steps, stands):
    """What moves, what comes first in front; what has begun moves nowhere."""
    found = []
    for step in steps:
        was = moment(snapshot["was"][str(step.key)][0])
        will = stands[step.pk].parts[0][0] if step.pk in stands else None
        if step.started_at is not None or (was is None and will is None):
            continue
        if was is None or will is None or abs(will - was) > STILL:
            found.append(Move(step, was, will))
    last = max((move.will for move in found if move.will), default=None)
    return sorted(found, key=lambda move: (move.will is None, move.will or last or move.was, move.step.pk))


def ends_of(snapshot, steps):
    """When the projects end, what is wanted soonest first."""
    projects = {str(step.project.key): step.project for step in steps}
    found = [
        End(projects[key], moment(snapshot["ended"].get(key)), moment(end))
        for key, end in snapshot["ends"].items()
        if key in projects
    ]
    return sorted(found, key=lambda end: (end.project.due_on or date.max, end.project.pk))
