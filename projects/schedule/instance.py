"""The matter of a shop in the planner's units."""

from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from projects.models import Step
from projects.schedule.absent import away_at, hands_of
from projects.schedule.links import open_windows, past_waits, poured_on, waits_of
from workshop.models import Machine

KIND, STATE = Step.Kind, Step.State
IN_PARTS = {
    KIND.MEASURE, KIND.COMBS, KIND.FLATTEN, KIND.CUT, KIND.DRY_FIT, KIND.LEVEL, KIND.SAND, KIND.OTHER,
}  # fmt: skip
"""Kinds of work that may be laid down and taken up again (common practice, no source)."""
MOULDS, CLAMPS = "moulds", "sets of clamps"
AWAY = "away"  # in place of a project, for days on which somebody is not here
LEAST_MINUTES = 5  # what is under way takes at least so long
LONGEST_PAST = timedelta(days=365)


def instance_of(matter):
    """All that is to be planned, as the planner reads it.

    Raises CycleError where steps wait for each other.
    """
    from materials.science.climate import Climate
    from projects.planning.calendar import Calendar
    from projects.planning.network import Instance
    from projects.planning.windows import safer

    shop = matter.shop
    calendar = Calendar(matter.sessions(matter.today - timedelta(days=1), matter.days + 1))
    climate = Climate(
        shop.day_c, shop.night_c, shop.day_from, shop.day_to, shop.zone, readings=matter.readings
    )
    tasks = tasks_of(matter, calendar.sessions)
    clocks, windows = clocked(matter)
    spans, markers, held = spans_of(matter)
    links = [link_of(wait) for wait in waits_of(matter.steps, matter.links)]
    planned = safer(
        Instance(
            matter.at,
            [*tasks, *clocks, *markers.tasks, *away_tasks(matter)],
            [*links, *markers.links],
            spans,
            {"people": matter.people, **held, **machines_of(matter)},
            calendar,
            climate,
            due_of(matter),
            {},
        )
    )
    # a running clock was set at the temperature that was measured: its window needs no reserve
    return replace(planned, links=(*planned.links, *windows))


def task_id(step):
    """A step as the planner knows it; in the order in which steps were made."""
    return f"{step.pk:012d}"


def due_of(matter):
    """By when each project is wanted: the end of its day by the shop's clock."""
    projects = {step.project_id: step.project for step in matter.steps}
    return {
        str(pk): datetime.combine(project.due_on + timedelta(days=1), time(0), tzinfo=matter.shop.tz)
        for pk, project in projects.items()
        if project.due_on
    }


def machines_of(matter):
    """How many there are of each machine and of each pair of hands that a step names, or that is away."""
    named = {hands_of(step.assignee_id): 1 for step in matter.steps if step.assignee_id}
    named |= {hands_of(each.member_pk): 1 for each in matter.away}
    named |= {f"machine {step.machine_id}": step.machine.amount for step in matter.steps if step.machine_id}
    return named


def away_tasks(matter):
    """For each stretch of somebody's days away what holds their pair of hands; it is no step of anything.

    It belongs to no project, and begins no sooner than now: what was before is over.
    """
    from projects.planning.network import Task

    found = []
    for number, each in enumerate(matter.away):
        start = max(each.start, matter.at)
        minutes = (each.end - start).total_seconds() / 60
        found.append(
            Task(
                f"away {number:012d}", AWAY, f"{each.name} is away", "passive", minutes, people=1,
                resources={hands_of(each.member_pk): 1}, fixed_start=start, spread=(1, 1, 1),
            )
        )  # fmt: skip
    return found


def tasks_of(matter, sessions):
    """The open steps; as many of those under way as there are hands here go on at once."""
    gone = {each.member_pk for each in away_at(matter.away, matter.at)}
    free, found = matter.people - len(gone), []
    awaited = {window.step.pk for window in open_windows(matter.steps, matter.windows)}
    anew = poured_on(matter.steps)
    for step in matter.steps:
        if step.pk in anew or (step.state == STATE.UNDER_WAY and step.pk in awaited):
            # a pour with more to come goes on when its window lets it; the cure counts from the last pour
            found.append(plain_task(step, step.minutes))
            continue
        here = free >= step.people and step.assignee_id not in gone
        task = task_of(step, matter, sessions, goes_on=here)
        if step.state == STATE.UNDER_WAY and task.fixed_start is not None:
            free -= step.people
        found.append(task)
    return found


def task_of(step, matter, sessions, goes_on=True):
    """One step."""
    if step.state == STATE.WAITING or (step.is_passive and step.state == STATE.UNDER_WAY):
        return waiting_task(step, matter)
    if step.state == STATE.UNDER_WAY:
        return begun_task(step, matter, sessions, goes_on)
    return plain_task(step, step.minutes)


def plain_task(step, minutes, **more):
    """A step that nobody has begun, or what is left of one."""
    from projects.planning.network import Task

    kind = "passive" if step.is_passive else "hands_on"
    hands = 0 if step.is_passive else step.people
    values = {"splittable": kind == "hands_on" and step.kind in IN_PARTS, **more}
    return Task(
        task_id(step), str(step.project_id), step.title, kind, minutes, people=hands,
        resources=resources_of(step), **values,
    )  # fmt: skip


def resources_of(step):
    """The machine and the pair of hands that a step names; a mould is held longer than its step."""
    found = {}
    if step.machine_id and step.machine.kind not in (Machine.Kind.MOULD, Machine.Kind.CLAMPS):
        found[f"machine {step.machine_id}"] = 1
    if step.assignee_id and not step.is_passive:
        found[hands_of(step.assignee_id)] = 1
    return found


def waiting_task(step, matter):
    """What waits by itself: from when it began until its clock, its sheet or now lets it end."""
    from projects.planning.network import Task

    start = max(step.started_at or matter.at, matter.at - LONGEST_PAST)
    usual = start + timedelta(minutes=step.minutes) if step.is_passive else matter.at
    end = max(matter.over.get(step.pk) or usual, matter.at)
    minutes = (end - start).total_seconds() / 60
    return Task(
        task_id(step), str(step.project_id), step.title, "passive", minutes, people=0, fixed_start=start
    )


def begun_task(step, matter, sessions, goes_on):
    """What is left of work under way: fixed where it is gone on with now and done before closing."""
    from projects.planning.forward import open_minutes

    began = max(step.started_at or matter.at, matter.at - LONGEST_PAST)
    left = max(LEAST_MINUTES, step.minutes - open_minutes(sessions, began, matter.at))
    end = matter.at + timedelta(minutes=left)
    fits = any(opened <= matter.at and end <= close for opened, close in sessions)
    if fits and goes_on:
        return plain_task(step, left, fixed_start=matter.at)
    return plain_task(step, left, splittable=True)


def link_of(wait):
    """A wait as the planner reads it."""
    from projects.planning.network import Cure, Link

    cure = None
    if wait.cure:
        open_h, close_h, at_c = wait.cure
        cure = Cure(open_h, close_h, at_c)
    return Link(
        task_id(wait.before),
        task_id(wait.after),
        open_minutes=wait.open_minutes,
        close_minutes=wait.close_minutes,
        hard=wait.hard,
        cure=cure,
        label=wait.label,
    )


def clocked(matter):
    """The windows of running clocks: for each the moment it began, and the step that must meet it."""
    from projects.planning.network import Link, Task

    clocks, links = [], []
    for window in open_windows(matter.steps, matter.windows):
        clock, after = window.clock, task_id(window.step)
        if matter.at - clock.started_at > LONGEST_PAST:
            continue
        name = f"clock {clock.pk:012d}"
        start, project = clock.started_at, str(window.step.project_id)
        clocks.append(Task(name, project, clock.step.title, "passive", 0, people=0, fixed_start=start))
        close = clock.closes_at and max(clock.due_at, clock.closes_at)
        links.append(
            Link(
                name,
                after,
                (clock.due_at - start).total_seconds() / 60,
                close and (close - start).total_seconds() / 60,
                hard=window.hard and close is not None,
                label="recoat window",
            )
        )
    met = {link.after for link in links}
    for wait, ended_at in past_waits(matter.steps, matter.links):
        if task_id(wait.after) in met or matter.at - ended_at > LONGEST_PAST:
            continue
        link = link_of(wait)
        title, project = wait.before.title, str(wait.after.project_id)
        clocks.append(Task(link.before, project, title, "passive", 0, people=0, fixed_start=ended_at))
        links.append(link)
    return list({clock.id: clock for clock in clocks}.values()), links


def spans_of(matter):
    """What is held through nights: a mould from its building to the demoulding, clamps while glue cures.

    Gives the spans, the markers of moulds in use, and how many there are of both.
    """
    moulds = sum(machine.amount for machine in matter.machines if machine.kind == Machine.Kind.MOULD)
    clamps = sum(machine.amount for machine in matter.machines if machine.kind == Machine.Kind.CLAMPS)
    spans, markers = [], Markers([], [])
    if moulds:
        spans, markers = mould_spans(matter)
    if clamps:
        spans += clamp_spans(matter)
    return spans, markers, {MOULDS: moulds, CLAMPS: clamps}


@dataclass(frozen=True)
class Markers:
    """For each mould in use the moment from which it is held, and what is to be done with its block."""

    tasks: list
    links: list


def mould_spans(matter):
    """For each block that is in a mould, or will be, from when to when it holds one."""
    from projects.planning.network import Link, Span, Task

    spans, markers = [], Markers([], [])
    for block in dict.fromkeys(step.block_id for step in matter.steps if step.block_id):
        steps = [step for step in matter.steps if step.block_id == block]
        out = next((step for step in steps if step.kind == KIND.DEMOULD), None)
        first = next((step for step in steps if step.kind in (KIND.MOULD, KIND.LOAD, KIND.POUR)), None)
        if out is None or (first is None and block not in matter.held):
            continue
        name = f"mould {block:012d}"
        if block in matter.held:
            project = str(out.project_id)
            marker = Task(name, project, "mould in use", "passive", 0, people=0, fixed_start=matter.at)
            markers.tasks.append(marker)
            # what is left to do with the block is planned as one with what holds the mould
            left = [step for step in steps if step.state == STATE.TO_DO]
            markers.links.extend(Link(name, task_id(step)) for step in left[:1])
        spans.append(Span(MOULDS, 1, name if block in matter.held else task_id(first), task_id(out)))
    return spans, markers


def clamp_spans(matter):
    """For each glue-up the clamps until its glue has cured."""
    from projects.planning.network import Span

    found = []
    for before, after in zip(matter.steps, matter.steps[1:], strict=False):
        glued = before.kind == KIND.GLUE_UP and before.project_id == after.project_id
        if glued and after.kind == KIND.CLAMPED:
            found.append(Span(CLAMPS, 1, task_id(before), task_id(after)))
    clamped = [step for step in matter.steps if step.kind == KIND.CLAMPED and step.state == STATE.WAITING]
    return found + [Span(CLAMPS, 1, task_id(step), task_id(step)) for step in clamped]
