"""Whether a plan keeps everything it must: worked out from moments alone, without the planner's grid."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from itertools import groupby
from operator import itemgetter

from projects.planning.calendar import in_utc
from projects.planning.curing import cure_rate, temperature_steps
from projects.planning.grid import SANDING_MINUTES
from projects.planning.plan import Plan
from projects.planning.steps import Cure, Instance, Link, Span, Task

# what rounding may be off by
TOLERANCE = timedelta(milliseconds=10)
TOLERANCE_H = 1e-5


def check_plan(instance: Instance, plan: Plan) -> list[str]:
    """What is wrong with a plan, one sentence each; nothing for one that can be trusted.

    Parameters: instance; plan, made of it.
    Returns: sentences. What has begun is taken as it is: people do work late.
    Source: the rules of the model, each looked at by itself.

    >>> from datetime import UTC
    >>> from projects.planning.calendar import Calendar
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> saw = Task("saw", "lamp", "Saw", "hands_on", 60)
    >>> instance = Instance(day, [saw], [], [], {}, Calendar([]), None, {}, {})
    >>> check_plan(instance, Plan({"saw": day}, {"saw": day + timedelta(hours=1)}, (), (), 60, {}))
    ['Saw lies outside opening hours']
    """
    return list(_faults(instance, plan))


def _faults(instance: Instance, plan: Plan) -> Iterator[str]:
    relaxed = {(link.before, link.after) for link, _, _ in plan.relaxed}
    sanded = {after for _, after in relaxed}
    caused = {link.after for link in instance.links}
    for task in sorted(instance.tasks, key=lambda task: task.id):
        yield from _task_faults(instance, plan, task, task.id in sanded, caused)
    causes: dict[str, int] = defaultdict(int)
    tasks = {task.id: task for task in instance.tasks}
    for link in instance.links:
        causes[link.after] += 1
    for link in instance.links:
        pair = tasks[link.before], tasks[link.after]
        sanding = SANDING_MINUTES if link.before in sanded else 0
        yield from _link_faults(
            instance, plan, link, pair, causes[link.after] == 1, (link.before, link.after) in relaxed, sanding
        )
    yield from _missing_faults(instance, plan)
    yield from _crowding(instance, plan)


def _parts(plan: Plan, name: str) -> Sequence[tuple[datetime, datetime]]:
    begun, ended = plan.starts.get(name), plan.ends.get(name)
    if begun is None or ended is None:
        return []
    return plan.parts.get(name, [(begun, ended)])


def _task_faults(instance: Instance, plan: Plan, task: Task, sanded: bool, caused: set[str]) -> Iterator[str]:
    parts = _parts(plan, task.id)
    if not parts:
        return
    if task.fixed_start is not None:
        if parts[0][0] != in_utc(task.fixed_start):
            yield f"{task.name} has begun and was moved"
        return
    wanted = task.minutes + (SANDING_MINUTES if sanded and task.kind == "hands_on" else 0)
    taken = sum((end - begun for begun, end in parts), timedelta()).total_seconds() / 60
    if not wanted - 1e-6 <= taken < wanted + instance.calendar.minutes * (len(parts) + int(sanded)):
        yield f"{task.name} takes {taken:g} min instead of {wanted:g}"
    if len(parts) > 1 and not task.splittable:
        yield f"{task.name} is cut in parts"
    if any(later[0] < earlier[1] for earlier, later in zip(parts[:-1], parts[1:], strict=True)):
        yield f"{task.name} overlaps itself"
    # what goes by itself behind a cause may have begun before the plan does
    behind = task.kind == "passive" and task.id in caused
    least = [in_utc(moment) for moment in (task.release, None if behind else instance.start) if moment]
    if any(parts[0][0] < moment for moment in least):
        yield f"{task.name} starts too early"
    if task.kind == "hands_on" and not all(_open(instance, begun, end) for begun, end in parts):
        yield f"{task.name} lies outside opening hours"


def _open(instance: Instance, begun: datetime, end: datetime) -> bool:
    """Whether the shop is open all the time from one moment to another."""
    sessions = instance.calendar.sessions
    index = bisect_right(sessions, begun, key=itemgetter(0)) - 1
    return index >= 0 and end <= sessions[index][1]


def _cured(instance: Instance, cure: Cure, begun: datetime, until: datetime) -> float:
    """The hours at the sheet's temperature that go by between two moments: step by step."""
    if until <= begun:
        return 0.0
    if instance.climate is None:
        return (until - begun).total_seconds() / 3600
    steps = temperature_steps(instance.climate, begun, until)
    edges = [begun, *(at for at, _ in steps[1:]), until]
    spans = zip(edges[:-1], edges[1:], steps, strict=True)
    return sum(
        (b - a).total_seconds() / 3600 * cure_rate(temp_c, cure.at_c, cure.law) for a, b, (_, temp_c) in spans
    )


def _link_faults(
    instance: Instance,
    plan: Plan,
    link: Link,
    pair: tuple[Task, Task],
    alone: bool,
    relaxed: bool,
    sanding: float,
) -> Iterator[str]:
    before, after = pair
    ends, at = plan.ends.get(link.before), plan.starts.get(link.after)
    if at is None or after.fixed_start is not None:
        return
    if ends is None:
        yield f"{after.name} is planned although {before.name} is not"
        return
    parts = _parts(plan, link.before)
    # the last part of a step may end a little earlier than the grid says
    real_end = (
        min(ends, in_utc(parts[0][0]) + timedelta(minutes=before.minutes + sanding))
        if len(parts) == 1
        else ends
    )
    waited = at - ends
    if waited < timedelta(minutes=link.open_minutes) - TOLERANCE:
        yield f"{after.name} starts before {link.label or before.name} allows"
    if link.cure is not None and _cured(instance, link.cure, ends, at) < link.cure.open_h - TOLERANCE_H:
        yield f"{after.name} starts before {link.label or before.name} has cured"
    if after.kind == "passive" and alone and not relaxed and not _at_once(instance, link, ends, at):
        yield f"{after.name} does not start as its cause ends"
    if relaxed:
        return
    if link.close_minutes is not None and at - real_end > timedelta(minutes=link.close_minutes) + TOLERANCE:
        yield f"{after.name} starts after its window has closed"
    close_h = None if link.cure is None else link.cure.close_h
    if link.cure is not None and close_h is not None:
        over_h = _cured(instance, link.cure, real_end, at) - close_h
        if over_h > TOLERANCE_H:
            yield f"{after.name} starts after its cure has closed the window"


def _at_once(instance: Instance, link: Link, ends: datetime, at: datetime) -> bool:
    """Whether a passive step starts within one step of the grid after it may."""
    earlier = at - timedelta(minutes=instance.calendar.minutes)
    too_early = earlier - ends < timedelta(minutes=link.open_minutes) - TOLERANCE
    if link.cure is not None:
        too_early = too_early or _cured(instance, link.cure, ends, earlier) < link.cure.open_h - TOLERANCE_H
    return too_early or earlier < ends


def _missing_faults(instance: Instance, plan: Plan) -> Iterator[str]:
    """Steps without a place that are neither behind a hard window nor told of."""
    excused = {link.after for link, _, _ in plan.blocked} | set(plan.unplaced)
    after = defaultdict(list)
    for link in instance.links:
        after[link.before].append(link.after)
    waiting = list(excused)
    while waiting:
        for later in after[waiting.pop()]:
            if later not in excused:
                excused.add(later)
                waiting.append(later)
    for task in instance.tasks:
        if plan.starts.get(task.id) is None and task.id not in excused:
            yield f"{task.name} has no place and nothing says why"


def _crowding(instance: Instance, plan: Plan) -> Iterator[str]:
    """Moments at which more is taken than there is, begun work put aside."""
    fixed = {task.id for task in instance.tasks if task.fixed_start is not None}
    # for each resource (moment, what is taken from then on, of which by work that has begun)
    turns: dict[str, list[tuple[datetime, int, int]]] = defaultdict(list)

    def take(resource: str, begun: datetime, end: datetime, amount: int, has_begun: bool) -> None:
        if begun < end:
            turns[resource].append((begun, amount, amount * has_begun))
            turns[resource].append((end, -amount, -amount * has_begun))

    for task in instance.tasks:
        for begun, end in _parts(plan, task.id):
            for resource, amount in task.needs.items():
                take(resource, begun, end, amount, task.id in fixed)
    for span in instance.spans:
        held = _held(plan, span)
        if held is not None:
            take(span.resource, *held, span.amount, span.first in fixed)
    for resource, found in sorted(turns.items()):
        taken = by_begun = 0
        for moment, group in groupby(sorted(found), key=itemgetter(0)):
            for _, amount, begun_amount in group:
                taken += amount
                by_begun += begun_amount
            if taken > by_begun and taken > max(instance.capacity(resource), by_begun):
                yield f"more {resource} than there are at {moment:%Y-%m-%d %H:%M}"


def _held(plan: Plan, span: Span) -> tuple[datetime, datetime] | None:
    begun, end = plan.starts.get(span.first), plan.ends.get(span.last)
    return None if begun is None or end is None else (begun, end)
