"""An instance on the grid of slots: nodes in order, and the lags between them as plain numbers.

A step that may be done in parts becomes a chain of nodes; every other step is one node.
"""

import math
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import timedelta

from projects.planning.calendar import in_utc
from projects.planning.curing import CureCurve
from projects.planning.steps import Instance, Link, Task

# parts of work that may be interrupted: an hour at most (judgement, no source)
PART_MINUTES = 60
# sanding a face whose window has closed, before the next coat (judgement, no source)
SANDING_MINUTES = 45
LONG_AGO = 0
# what a float may be off by, in slots: a third of a millisecond
CLOSE_ENOUGH = 1e-6


class Lag:
    """From the end of one node to the start of another: when it opens, and when it closes if it does.

    `early` is by how much of a slot the node before really ends earlier than the grid says: closings are
    counted from the real end, openings from the grid's, so that both err to the safe side. Where the node
    before has ended already, its real end is known (`late` equals `early`) and both count from it.

    >>> lag = Lag(open_slots=2.4, close_slots=9.9)
    >>> lag.opens(100), lag.closes(100)
    (103, 109)
    """

    __slots__ = (
        *("close_h", "close_slots", "closing", "curve", "early", "late"),
        *("open_h", "open_slots", "opening"),
    )

    def __init__(
        self,
        open_slots: float = 0,
        close_slots: float | None = None,
        early: float = 0,
        curve: CureCurve | None = None,
        open_h: float = 0,
        close_h: float | None = None,
        late: float = 0,
    ) -> None:
        self.late = late
        self.open_slots = math.ceil(open_slots - late - CLOSE_ENOUGH)
        self.close_slots = None if close_slots is None else math.floor(close_slots - early + CLOSE_ENOUGH)
        self.early, self.curve, self.open_h, self.close_h = early, curve, open_h, close_h
        self.opening: dict[int, int] = {}
        self.closing: dict[int, int] = {}

    @property
    def has_window(self) -> bool:
        """Whether it ever closes."""
        return self.close_slots is not None or self.close_h is not None

    def opens(self, end: int) -> int:
        """The first slot at which the node after may start."""
        if self.curve is None:
            return end + self.open_slots
        found = self.opening.get(end)
        if found is None:
            cured = math.ceil(self.curve.ready(end - self.late, self.open_h) - CLOSE_ENOUGH)
            found = self.opening[end] = max(end + self.open_slots, cured)
        return found

    def closes(self, end: int) -> int:
        """The last slot at which the node after may start; asked only where there is a window."""
        if self.curve is None or self.close_h is None:
            return end + (self.close_slots or 0)
        if self.closing is self.opening:
            return self.opens(end)
        found = self.closing.get(end)
        if found is None:
            found = math.floor(self.curve.ready(end - self.early, self.close_h) + CLOSE_ENOUGH)
            if self.close_slots is not None:
                found = min(found, end + self.close_slots)
            self.closing[end] = found
        return found

    def least_end(self, start: int) -> int:
        """The first end of the node before for which the window is not yet closed at `start`."""
        if self.curve is None or self.close_h is None:
            return start - (self.close_slots or 0)
        end = math.ceil(self.curve.begun(start, self.close_h) + self.early - CLOSE_ENOUGH)
        while self.closes(end) < start:
            end += 1
        while self.closes(end - 1) >= start:
            end -= 1
        return end

    def most_end(self, start: int) -> int:
        """The last end of the node before for which the window is open at `start`."""
        if self.curve is None:
            return start - self.open_slots
        end = math.floor(self.curve.begun(start, self.open_h) + self.late + CLOSE_ENOUGH)
        while self.opens(end) > start:
            end -= 1
        while self.opens(end + 1) <= start:
            end += 1
        return end


@dataclass(frozen=True)
class Edge:
    """A lag between two nodes, and the link that it comes from; parts of one step have none.

    >>> Edge(0, 1, Lag()).link is None
    True
    """

    before: int
    after: int
    lag: Lag
    link: Link | None = None


@dataclass
class Grid:
    """Nodes in topological order, each with its figures in slots.

    `calendar_bound` says for each node whether it must lie inside a session; `fixed` is its start where it
    has begun; `needs` are pairs (number of the resource, amount).

    >>> Grid().nodes
    0
    """

    start: int = 0
    resources: list[str] = field(default_factory=list)
    capacity: list[int] = field(default_factory=list)
    task: list[Task] = field(default_factory=list)
    slots: list[int] = field(default_factory=list)
    calendar_bound: list[bool] = field(default_factory=list)
    fixed: list[int | None] = field(default_factory=list)
    release: list[int] = field(default_factory=list)
    needs: list[list[tuple[int, int]]] = field(default_factory=list)
    into: list[list[Edge]] = field(default_factory=list)
    out_of: list[list[Edge]] = field(default_factory=list)
    spans: list[tuple[int, int, int, int]] = field(default_factory=list)
    first_node: dict[str, int] = field(default_factory=dict)
    last_node: dict[str, int] = field(default_factory=dict)
    projects: list[str] = field(default_factory=list)

    @property
    def nodes(self) -> int:
        """How many nodes there are."""
        return len(self.slots)

    def windows(self) -> list[Edge]:
        """The edges that close, in order."""
        return [edge for edges in self.into for edge in edges if edge.lag.has_window]


def on_grid(instance: Instance) -> Grid:
    """An instance as nodes, edges and numbers.

    Parameters: instance.
    Returns: a Grid.

    >>> from datetime import UTC, datetime
    >>> from projects.planning.calendar import Calendar
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> saw = Task("saw", "lamp", "Saw", "hands_on", 130, splittable=True)
    >>> on_grid(Instance(start, [saw], [], [], {}, Calendar([]), None, {}, {})).slots
    [12, 12, 2]
    """
    grid = Grid(start=instance.calendar.slot_up(instance.start))
    grid.projects = sorted({task.project for task in instance.tasks})
    wanted = {name for task in instance.tasks for name in task.needs} | {s.resource for s in instance.spans}
    grid.resources = sorted(wanted)
    grid.capacity = [instance.capacity(name) for name in grid.resources]
    tasks = {task.id: task for task in instance.tasks}
    caused = {link.after for link in instance.links}
    for name in instance.order:
        _add_nodes(grid, instance, tasks[name], caused)
    _add_edges(grid, instance, tasks)
    number = {name: index for index, name in enumerate(grid.resources)}
    grid.spans = [
        (number[span.resource], span.amount, grid.first_node[span.first], grid.last_node[span.last])
        for span in instance.spans
        if span.amount
    ]
    return grid


def _parts(task: Task) -> list[float]:
    """The minutes of each part of a step."""
    if not task.splittable or task.kind == "passive" or task.fixed_start is not None:
        return [task.minutes]
    whole, rest = divmod(task.minutes, PART_MINUTES)
    return [PART_MINUTES] * int(whole) + ([rest] if rest or not whole else [])


def _add_nodes(grid: Grid, instance: Instance, task: Task, caused: set[str]) -> None:
    calendar = instance.calendar
    number = {name: index for index, name in enumerate(grid.resources)}
    grid.first_node[task.id] = grid.nodes
    for minutes in _parts(task):
        fixed, slots = None, math.ceil(minutes / calendar.minutes - CLOSE_ENOUGH)
        if task.fixed_start is not None:
            fixed = calendar.slot_down(task.fixed_start)
            slots = calendar.slot_up(in_utc(task.fixed_start) + timedelta(minutes=minutes)) - fixed
        grid.task.append(task)
        grid.slots.append(slots)
        grid.fixed.append(fixed)
        grid.calendar_bound.append(task.kind == "hands_on" and fixed is None)
        # what goes by itself behind a cause may have begun before the plan does
        least = LONG_AGO if task.kind == "passive" and task.id in caused else grid.start
        grid.release.append(least if task.release is None else max(least, calendar.slot_up(task.release)))
        grid.needs.append(sorted((number[name], amount) for name, amount in task.needs.items()))
        grid.into.append([])
        grid.out_of.append([])
        if grid.nodes - 1 > grid.first_node[task.id]:
            _join(grid, Edge(grid.nodes - 2, grid.nodes - 1, Lag()))
    grid.last_node[task.id] = grid.nodes - 1


def _join(grid: Grid, edge: Edge) -> None:
    grid.into[edge.after].append(edge)
    grid.out_of[edge.before].append(edge)


def _add_edges(grid: Grid, instance: Instance, tasks: dict[str, Task]) -> None:
    curves: dict[tuple[float, str], CureCurve] = {}
    causes: dict[str, int] = defaultdict(int)
    for link in instance.links:
        causes[link.after] += 1
    for link in sorted(instance.links, key=lambda link: (link.before, link.after, link.label)):
        before, after = grid.last_node[link.before], grid.first_node[link.after]
        lag = _lag(instance, link, tasks[link.before], curves)
        alone = causes[link.after] == 1 and tasks[link.after].kind == "passive"
        if alone and not link.has_window and (grid.needs[after] or tasks[link.after].release is not None):
            # chemistry starts when its cause ends: where something could hold it up, the cause waits
            lag = _at_once(lag)
        _join(grid, Edge(before, after, lag, link))


def _at_once(lag: Lag) -> Lag:
    """The same lag, closing as it opens."""
    if lag.curve is None:
        return Lag(lag.open_slots, lag.open_slots)
    at_once = Lag(lag.open_slots, None, 0, lag.curve, lag.open_h, lag.open_h, lag.late)
    at_once.closing = at_once.opening
    return at_once


def _lag(instance: Instance, link: Link, before: Task, curves: dict[tuple[float, str], CureCurve]) -> Lag:
    minutes, cure, calendar = instance.calendar.minutes, link.cure, instance.calendar
    part = _parts(before)[-1]
    early = math.ceil(part / minutes - CLOSE_ENOUGH) - part / minutes
    late = 0.0
    if before.fixed_start is not None:
        end = in_utc(before.fixed_start) + timedelta(minutes=before.minutes)
        early = calendar.slot_up(end) - calendar.position(end)
        late = early
    close = None if link.close_minutes is None else link.close_minutes / minutes
    if cure is None:
        return Lag(link.open_minutes / minutes, close, early, late=late)
    key = (cure.at_c, cure.law)
    if key not in curves:
        curves[key] = _curve(instance, cure.at_c, cure.law)
    return Lag(link.open_minutes / minutes, close, early, curves[key], cure.open_h, cure.close_h, late)


def _curve(instance: Instance, at_c: float, law: str) -> CureCurve:
    begun = [task.fixed_start for task in instance.tasks if task.fixed_start is not None]
    first = min(in_utc(moment) for moment in [instance.start, *begun])
    last = max(instance.calendar.moment(instance.calendar.end), in_utc(instance.start)) + timedelta(days=60)
    return CureCurve(instance.climate, first - timedelta(days=1), last, at_c, law, instance.calendar.minutes)
