"""A plan made of the rows: the planner's answer, looked at by the checker, told in moments and words."""

import hashlib
import json
from dataclasses import dataclass
from datetime import datetime, timedelta

from projects.models import Step
from projects.schedule.instance import instance_of, task_id
from projects.schedule.resting import rest_of

KEPT = timedelta(hours=24)
"""What is planned to begin within so long stays where it is, unless asked."""
IN_A_REQUEST = 400  # steps; more are planned by the worker
TRIES = 1  # of the search inside a request: the six rules and one change


@dataclass(frozen=True)
class Stands:
    """Where a plan has a step: its parts, when it is over with its own waiting, whether it is sanded."""

    parts: tuple[tuple[datetime, datetime], ...]
    over_at: datetime
    relaxed: bool = False


@dataclass(frozen=True)
class Made:
    """A plan: where each step stands by its pk, what has no place and why, which windows were given up.

    `relaxed` and `unplaced` are pairs of a step's pk and sentences; `ends` the end of each project by its pk,
    none where something of it has no place; `faults` what the checker found: nothing in a sound plan.
    """

    stands: dict[int, Stands]
    relaxed: list[tuple[int, str]]
    unplaced: list[tuple[int, str]]
    ends: dict[int, datetime | None]
    faults: list[str]
    score: tuple[int, int, float]


def present(matter):
    """The dates as they stand, as a plan of the core: what has none is left out."""
    from projects.planning.solver import Plan

    starts, ends = {}, {}
    for step in matter.steps:
        begun = step.planned_start
        if step.state != Step.State.TO_DO:
            begun = matter.at
        if begun is not None:
            starts[task_id(step)] = begun
            ends[task_id(step)] = max(step.planned_end or begun, begun)
    return Plan(starts, ends, (), (), 0.0, {})


def make(matter, *, keep=True, iterations=TRIES, seed=1):
    """A plan of the matter; with `keep` what begins within a day stays put.

    Raises CycleError where steps wait for each other.
    """
    from projects.planning.solver import check_plan

    instance, plan = solved(matter, keep=keep, iterations=iterations, seed=seed)
    return told(matter, plan, check_plan(instance, plan))


def solved(matter, *, keep=True, iterations=TRIES, seed=1):
    """The matter as the planner reads it, and the planner's answer."""
    from projects.planning.solver import make_plan

    instance = instance_of(matter)
    until = matter.at + KEPT if keep else None
    plan = make_plan(instance, iterations=iterations, seed=seed, frozen_until=until, previous=present(matter))
    return instance, plan


def told(matter, plan, faults):
    """A plan of the core in our rows' terms."""
    sanded = {link.after for link, _, _ in plan.relaxed}
    stands, ends = {}, {}
    for step in matter.steps:
        name = task_id(step)
        start, end = plan.starts.get(name), plan.ends.get(name)
        if start is not None and end is not None:
            parts = joined(plan.parts.get(name, ((start, end),)))
            stands[step.pk] = Stands(parts, end + rest_of(step), name in sanded)
        project = ends.setdefault(step.project_id, end)
        ends[step.project_id] = None if end is None or project is None else max(project, end)
    unplaced = unplaced_of(matter, plan)
    score = (len(unplaced), len(plan.relaxed), plan.objective)
    return Made(stands, relaxed_of(plan), unplaced, ends, faults, score)


def joined(parts):
    """The parts of a step, those that follow each other at once as one."""
    found = []
    for start, end in parts:
        if found and found[-1][1] == start:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return tuple(found)


def relaxed_of(plan):
    """For each window given up the step that is sanded before, and why."""
    from projects.planning.explain import why_not

    return [(int(link.after), why_not(link, plan)) for link, _, _ in plan.relaxed]


def unplaced_of(matter, plan):
    """For each step without a place the reason; what only waits for such a step says for what."""
    from projects.planning.explain import why_not

    why = {link.after: why_not(link, plan) for link, _, _ in plan.blocked}
    found = []
    for step in matter.steps:
        name = task_id(step)
        if plan.starts.get(name) is not None:
            continue
        if name in why:
            found.append((step.pk, why[name]))
        elif name in plan.unplaced:
            found.append((step.pk, f"{step.title} has no place: {plan.unplaced[name]}."))
        else:
            found.append((step.pk, ""))
    return found


def fingerprint(matter):
    """The hash of all rows that a plan rests on, times of the day aside."""
    steps = [
        [
            str(step.key), step.state, step.position, step.kind, step.mode, step.minutes, step.people,
            key_of(step.machine), key_of(step.assignee), moment(step.started_at), moment(step.planned_start),
            moment(step.planned_end), str(step.project.due_on),
        ]
        for step in matter.steps
    ]  # fmt: skip
    clocks = [[str(clock.key), moment(clock.due_at), moment(clock.closes_at)] for clock in matter.windows]
    machines = [[machine.kind, key_of(machine), machine.amount] for machine in matter.machines]
    hours = [str(sorted(matter.week.items())), str(sorted(matter.exceptions.items()))]
    links = [[str(one.key), one.open_min, one.close_min, one.hard, one.at_c] for one in matter.links]
    away = [[each.member_pk, moment(each.start), moment(each.end)] for each in matter.away]
    told_of = json.dumps([steps, clocks, machines, hours, matter.people, links, away], sort_keys=True)
    return hashlib.sha256(told_of.encode()).hexdigest()


def key_of(row):
    """A row as a hash sees it."""
    return row and str(row.key)


def moment(found):
    """A moment as a hash sees it."""
    return found and found.isoformat()
