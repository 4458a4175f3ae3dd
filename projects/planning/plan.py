"""A plan: when each step starts and ends, and what it could not keep."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from projects.planning.calendar import in_utc
from projects.planning.grid import Grid
from projects.planning.passes import length
from projects.planning.relief import Missed, Relief
from projects.planning.rules import cost, finishes, lateness
from projects.planning.steps import Instance, Link

Kept = tuple[Link, datetime, datetime]


@dataclass(frozen=True)
class Plan:
    """Starts and ends, and what was given up for there to be a plan.

    Parameters: starts and ends, for each id an aware moment in UTC, none for a step that found no place;
    relaxed, triples (link, needed, closed) of windows that are missed and sanded instead: when the step can
    be done and when its window closed; blocked, triples (link, needed, closes) of hard windows that no start
    meets; objective, the sum over projects of weight × (20 × minutes late + minutes to the end); late, for
    each late project the minutes; parts, for each step done in parts their (start, end); unplaced, for steps
    that have no place for another reason than a window that reason in words; names and zone, to tell it.

    >>> Plan({}, {}, (), (), 0.0, {}).unplaced
    {}
    """

    starts: Mapping[str, datetime | None]
    ends: Mapping[str, datetime | None]
    relaxed: Sequence[Kept]
    blocked: Sequence[Kept]
    objective: float
    late: Mapping[str, float]
    parts: Mapping[str, Sequence[tuple[datetime, datetime]]] = field(default_factory=dict)
    unplaced: Mapping[str, str] = field(default_factory=dict)
    opened: Mapping[tuple[str, str], datetime] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    zone: str = "UTC"


def told(instance: Instance, grid: Grid, starts: Sequence[int | None], relief: Relief) -> Plan:
    """Slots made into a plan.

    Parameters: instance; grid; starts, a slot or none for each node; relief, what was given up.
    Returns: a Plan.

    >>> from datetime import UTC
    >>> from projects.planning.calendar import Calendar
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> told(Instance(start, [], [], [], {}, Calendar([]), None, {}, {}), Grid(), [], Relief()).objective
    0
    """
    calendar = instance.calendar
    begun: dict[str, datetime | None] = {}
    ended: dict[str, datetime | None] = {}
    parts = {}
    for name in sorted(grid.first_node):
        first, last = grid.first_node[name], grid.last_node[name]
        pieces = _pieces(instance, grid, starts, relief, range(first, last + 1))
        begun[name] = pieces[0][0] if pieces else None
        ended[name] = pieces[-1][1] if pieces else None
        if len(pieces) > 1:
            parts[name] = tuple(pieces)
    ends = finishes(grid, relief, starts, calendar)
    opened = {}
    for edge in [*relief.relaxed, *(missed.edge for missed in relief.blocked)]:
        at = starts[edge.before]
        if edge.link is not None and at is not None:
            opens = edge.lag.opens(at + length(grid, relief, edge.before))
            opened[edge.link.before, edge.link.after] = calendar.moment(opens)
    return Plan(
        begun,
        ended,
        tuple(_relaxed(instance, grid, starts, relief)),
        tuple(_blocked(instance, grid, starts, relief)),
        cost(instance, ends),
        lateness(instance, ends),
        parts,
        {grid.task[node].id: reason for node, reason in sorted(relief.misfits.items())},
        opened,
        {task.id: task.name for task in sorted(instance.tasks, key=lambda task: task.id)},
        "UTC" if instance.climate is None else instance.climate.zone,
    )


def _pieces(
    instance: Instance, grid: Grid, starts: Sequence[int | None], relief: Relief, nodes: range
) -> list[tuple[datetime, datetime]]:
    """Start and end of each part of a step; nothing unless all have a place."""
    task, calendar = grid.task[nodes[0]], instance.calendar
    if task.fixed_start is not None:
        begun = in_utc(task.fixed_start)
        return [(begun, begun + timedelta(minutes=task.minutes))]
    placed = [(node, at) for node in nodes if (at := starts[node]) is not None]
    if len(placed) < len(nodes):
        return []
    return [(calendar.moment(at), calendar.moment(at + length(grid, relief, node))) for node, at in placed]


def _relaxed(instance: Instance, grid: Grid, starts: Sequence[int | None], relief: Relief) -> list[Kept]:
    """The windows missed and sanded, as far as both steps have a place."""
    calendar, found = instance.calendar, []
    for edge in relief.relaxed:
        before, after = starts[edge.before], starts[edge.after]
        if edge.link is not None and before is not None and after is not None:
            closed = edge.lag.closes(before + length(grid, relief, edge.before))
            found.append((edge.link, calendar.moment(after), calendar.moment(closed)))
    return sorted(found, key=lambda kept: (kept[0].before, kept[0].after))


def _blocked(instance: Instance, grid: Grid, starts: Sequence[int | None], relief: Relief) -> list[Kept]:
    """The hard windows that no start meets: when the step could be done at the earliest, when it must be."""
    calendar = instance.calendar
    found = [_blocked_at(instance, grid, starts, relief, missed) for missed in relief.blocked]
    told_of = [
        (missed.edge.link, calendar.moment(needed), calendar.moment(closes))
        for missed, (needed, closes) in zip(relief.blocked, found, strict=True)
        if missed.edge.link is not None
    ]
    return sorted(told_of, key=lambda kept: (kept[0].before, kept[0].after))


def _blocked_at(
    instance: Instance, grid: Grid, starts: Sequence[int | None], relief: Relief, missed: Missed
) -> tuple[int, int]:
    """Needed and closing slot, for the step before where the plan has it; else as they were first met."""
    edge, at = missed.edge, starts[missed.edge.before]
    if at is None:
        return missed.needed, missed.closed
    end = at + length(grid, relief, edge.before)
    closes = edge.lag.closes(end)
    needed = instance.calendar.first_start(
        max(edge.lag.opens(end), grid.release[edge.after]), length(grid, relief, edge.after)
    )
    if grid.fixed[edge.after] is not None or needed is None or needed <= closes:
        return missed.needed, missed.closed
    return needed, closes
