"""When projects will be done: a range of days, how likely a window is missed, and what would help most."""

from dataclasses import dataclass, replace
from datetime import datetime, time

from django.utils import timezone

from projects import own_times
from projects.models import Project, Step
from projects.schedule import making
from projects.schedule.instance import task_id
from workshop.models import Machine

SAMPLES = 1000
LONGER_H = 2
SATURDAY, SATURDAY_HOURS = 5, (time(9), time(13))
AT_RISK = 0.2  # one run in five (a judgement)
WORTH_SAYING = 0.005  # of missing a window; less is said to be no risk


@dataclass(frozen=True)
class Done:
    """A project's range of days: of ten runs one ends by `early`, five by `middle`, nine by `late`."""

    project: Project
    early: datetime
    middle: datetime
    late: datetime

    @property
    def days(self):
        """The first and the last day of the range, as people say them."""
        first, last = timezone.localdate(self.early), timezone.localdate(self.late)
        if first == last:
            return f"{first.day} {first:%b}"
        if (first.year, first.month) == (last.year, last.month):
            return f"{first.day} to {last.day} {last:%b}"
        return f"{first.day} {first:%b} to {last.day} {last:%b}"

    @property
    def stands(self):
        """Against the day it is wanted by: shape and words; nothing where there is none."""
        due = self.project.due_on
        if due is None:
            return None
        if timezone.localdate(self.late) <= due:
            return ("clear", "in time")
        if timezone.localdate(self.middle) <= due:
            return ("caution", "may be late")
        if timezone.localdate(self.early) <= due:
            return ("caution", "more likely late than not")
        return ("stop", "too late")


@dataclass(frozen=True)
class Missed:
    """A window within the next ten days: the step it is for, and the chance that it is missed."""

    step: Step
    chance: float

    @property
    def is_at_risk(self):
        """Whether it is missed so often that something should be done."""
        return self.chance >= AT_RISK

    @property
    def of_hundred(self):
        """So many of a hundred."""
        return round(100 * self.chance)


@dataclass(frozen=True)
class Help:
    """A change of the shop, and which projects end how many days sooner by it."""

    deed: str
    sooner: list[tuple[Project, int]]
    gain: float


@dataclass(frozen=True)
class When:
    """What can be said of the ends of all projects; `unplaced` are those with a step that has no place.

    `own_kinds` of the `kinds` of hands-on work vary as the shop's own log says, the others as is usual.
    """

    done: list[Done]
    windows: list[Missed]
    unplaced: list[Project]
    helps: list[Help]
    asked_helps: bool
    own_kinds: int = 0
    kinds: int = 0


def when(matter):
    """The ranges, windows and helps of a shop as its dates stand.

    Raises CycleError where steps wait for each other.
    """
    from projects.planning.estimate import finish_range

    instance, plan = making.solved(matter, iterations=0)
    spreads = own_times.spreads_of(matter.shop, matter.steps)
    found = finish_range(spread_out(instance, spreads.by_step, matter.steps), plan, samples=SAMPLES)
    projects = {str(step.project_id): step.project for step in matter.steps}
    steps = {task_id(step): step for step in matter.steps}
    few = len(matter.steps) <= making.IN_A_REQUEST
    return When(
        done=by_date(
            [Done(projects[name], *dates) for name, dates in found.projects.items() if name in projects]
        ),
        windows=sorted(
            (
                Missed(steps[link.after], chance)
                for link, chance in found.windows.items()
                if link.after in steps and chance >= WORTH_SAYING
            ),
            key=lambda missed: (-missed.chance, missed.step.pk),
        ),
        unplaced=[project for name, project in projects.items() if name not in found.projects],
        helps=helps(matter, projects) if few else [],
        asked_helps=few,
        own_kinds=spreads.own_kinds,
        kinds=spreads.kinds,
    )


def spread_out(instance, spreads, steps):
    """The same work to be planned, each step as various as the log of the shop says it is."""
    by_name = {task_id(step): spreads[step.pk] for step in steps if step.pk in spreads}
    tasks = [replace(task, spread=by_name.get(task.id, task.spread)) for task in instance.tasks]
    return replace(instance, tasks=tasks)


def by_date(found):
    """What is wanted soonest first."""
    return sorted(
        found,
        key=lambda done: (
            done.project.due_on is None,
            done.project.due_on or done.early.date(),
            done.project.pk,
        ),
    )


def helps(matter, projects):
    """What would help most, the best first: each change planned anew and compared with no change."""
    _, base = making.solved(matter, keep=False, iterations=making.TRIES)
    found = []
    for deed, changed in changes(matter):
        _, plan = making.solved(changed, keep=False, iterations=making.TRIES)
        sooner = gained(base, plan, matter, projects)
        if sooner and plan.objective < base.objective:
            found.append(Help(deed, sooner, base.objective - plan.objective))
    return sorted(found, key=lambda each: (-each.gain, each.deed))


def changes(matter):
    """What a shop could change, in a maker's words, and the matter as it would be then."""
    longer = {
        day: [(opens, later(closes)) for opens, closes in stretches[-1:]]
        for day, stretches in matter.week.items()
    }
    week = {day: [*stretches[:-1], *longer[day]] for day, stretches in matter.week.items()}
    found = [
        ("One more pair of hands", replace(matter, people=matter.people + 1)),
        ("Two hours longer every open day", replace(matter, week=week)),
    ]
    if not matter.week.get(SATURDAY):
        open_saturdays = {**matter.week, SATURDAY: [SATURDAY_HOURS]}
        found.append(("Saturdays from nine to one", replace(matter, week=open_saturdays)))
    if any(machine.kind == Machine.Kind.MOULD for machine in matter.machines):
        mould = Machine(kind=Machine.Kind.MOULD, amount=1)
        found.append(("One more mould", replace(matter, machines=[*matter.machines, mould])))
    return found


def later(closes):
    """Two hours later by the clock, at the latest a minute before midnight."""
    if time(0) < closes < time(22):
        return closes.replace(hour=closes.hour + LONGER_H)
    return closes if closes == time(0) else time(23, 59)


def gained(base, plan, matter, projects):
    """Which projects end how many days sooner, the most first."""
    before, after = ends_of(base, matter), ends_of(plan, matter)
    found = []
    for name, project in projects.items():
        if before.get(name) and after.get(name):
            days = (timezone.localdate(before[name]) - timezone.localdate(after[name])).days
            found += [(project, days)] if days > 0 else []
    return sorted(found, key=lambda each: (-each[1], each[0].pk))


def ends_of(plan, matter):
    """When a plan has each project end; none where something of it has no place."""
    found = {}
    for step in matter.steps:
        end, name = plan.ends.get(task_id(step)), str(step.project_id)
        so_far = found.setdefault(name, end)
        found[name] = None if end is None or so_far is None else max(so_far, end)
    return found
