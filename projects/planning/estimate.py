"""When will it be done: a range from many runs of the plan with durations drawn by chance."""

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from materials.science.errors import OutOfRange
from projects.planning.absences import Needs, hours_of_work
from projects.planning.calendar import Calendar
from projects.planning.grid import Edge, Grid, on_grid
from projects.planning.lifts import SAFETY, Chain, Lift
from projects.planning.plan import Plan
from projects.planning.steps import Cure, Instance, Link, Task

Times = NDArray[np.float64]
# beyond this the order of a plan means too little to say how likely a window is missed
WINDOW_DAYS = 10
# how far past the plan's end a chain of windows may be carried by chance
TABLE_DAYS = 14
# so many records of a kind before the shop's own count at all
LEAST_RECORDS = 5


class Finish(NamedTuple):
    """Dates by which a project is done in one, five and nine of ten runs.

    >>> from datetime import UTC
    >>> at = datetime(2026, 3, 3, tzinfo=UTC)
    >>> Finish(at, at, at)._fields
    ('P10', 'P50', 'P90')
    """

    P10: datetime
    P50: datetime
    P90: datetime


@dataclass(frozen=True)
class FinishRange:
    """What many runs of a plan say.

    Parameters: projects, for each a Finish; windows, for each link whose window the plan reaches within ten
    days the chance, 0 to 1, that it is missed.

    >>> FinishRange({}, {}).windows
    {}
    """

    projects: Mapping[str, Finish]
    windows: Mapping[Link, float]


@dataclass(frozen=True)
class Learned:
    """The minutes of a kind of step and their spread, and whose they are.

    Parameters: minutes; spread, factors on them; records, how many there are; own, whether they count.

    >>> Learned(30, (0.8, 1, 1.5), 3, own=False).own
    False
    """

    minutes: float
    spread: tuple[float, float, float]
    records: int
    own: bool


def learned(minutes: float, spread: tuple[float, float, float], logged_minutes: Sequence[float]) -> Learned:
    """The minutes of a kind of step from the shop's own log, drawn towards the default.

    Parameters: minutes and spread, the default; logged_minutes, what it really took, one figure a time.
    Returns: a Learned. Under five records it is the default ("three of five, too few to say"); from five on
    the median counts n/(n + 5), the default the rest; the spread is `own_spread`.
    Source: shrinkage towards a prior worth five records (judgement, no source).

    >>> learned(30, (0.8, 1, 1.5), [40, 42, 38, 44, 40])
    Learned(minutes=35.0, spread=(0.8422, 1, 1.3944), records=5, own=True)
    """
    count = len(logged_minutes)
    if count < LEAST_RECORDS:
        return Learned(minutes, spread, count, own=False)
    share = count / (count + LEAST_RECORDS)
    middle = statistics.median(logged_minutes)
    factors = own_spread(spread, logged_minutes)
    return Learned(share * middle + (1 - share) * minutes, factors, count, own=True)


def own_spread(
    spread: tuple[float, float, float], logged_minutes: Sequence[float]
) -> tuple[float, float, float]:
    """How much a kind of work varies by the shop's own log, drawn towards the default.

    Parameters: spread, the default: factors at best, most likely and at worst; logged_minutes, what it really
    took, one figure a time, each above nothing.
    Returns: three factors: the default's two arms, both made longer or shorter in the same measure, at most
    until the lower one reaches nothing. Under five records, or for a default without arms, the default.
    Raises: OutOfRange for a record of no time.
    Valid for: records of one kind that vary by chance; so few say nothing of the shape, which stays.
    Source: a variance moderated towards a prior, (v0 s0^2 + v s^2)/(v0 + v): G. K. Smyth, Linear Models and
    Empirical Bayes Methods (2004), from memory; s0^2 is the variance of the default's triangle, s^2 that of
    the records over their median, v their number less one. That v0 is five is a judgement, no source.

    >>> own_spread((0.8, 1, 1.5), [40, 42, 38, 44, 40])
    (0.8422, 1, 1.3944)
    """
    for minutes in logged_minutes:
        if not 0 < minutes < math.inf:
            raise OutOfRange("logged_minutes", minutes, 0, math.inf, "min")
    low, likely, high = spread
    usual = (low**2 + likely**2 + high**2 - low * likely - low * high - likely * high) / 18
    if len(logged_minutes) < LEAST_RECORDS or not usual:
        return spread
    middle = statistics.median(logged_minutes)
    freedom = len(logged_minutes) - 1
    own = statistics.variance([likely * minutes / middle for minutes in logged_minutes])
    drawn = (LEAST_RECORDS * usual + freedom * own) / (LEAST_RECORDS + freedom)
    longer = math.sqrt(drawn / usual)
    if low < likely:
        longer = min(longer, likely / (likely - low))
    return (
        round(max(0.0, likely - longer * (likely - low)), 4),
        likely,
        round(likely + longer * (high - likely), 4),
    )


def finish_range(instance: Instance, plan: Plan, samples: int = 2000, seed: int = 1) -> FinishRange:
    """When projects are done if hands-on steps take as long as chance has it.

    Parameters: instance; plan, made of it: its order of people and machines is kept; samples, how many
    runs; seed.
    Returns: a FinishRange; the same for the same arguments. Projects with a step without a place are left
    out.
    Valid for: a fixed way of working: whoever is next by the plan goes on as soon as may be; a step that
    begins a chain of windows waits for a safe start; passive steps take their time.
    Source: Monte Carlo over triangular durations.

    >>> from datetime import UTC
    >>> from projects.planning.calendar import Calendar
    >>> from projects.planning.solver import make_plan
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> saw = Task("saw", "lamp", "Saw", "hands_on", 60, spread=(1, 1, 1))
    >>> instance = Instance(day, [saw], [], [], {}, shop, None, {}, {})
    >>> finish_range(instance, make_plan(instance)).projects["lamp"].P50.isoformat()
    '2026-03-03T09:00:00+00:00'
    """
    grid = on_grid(instance)
    run = _Run(instance, grid, plan, samples, seed)
    for node in run.order:
        run.step(node)
    projects = {}
    for name in grid.projects:
        nodes = [node for node in range(grid.nodes) if grid.task[node].project == name]
        if all(node in run.ends for node in nodes):
            done = np.max([run.ends[node] for node in nodes], axis=0)
            low, middle, high = np.percentile(done, [10, 50, 90], method="inverted_cdf")
            projects[name] = Finish(*(instance.calendar.moment(float(at)) for at in (low, middle, high)))
    return FinishRange(projects, run.missed)


class _Run:
    """All samples of a plan at once: an array of positions in slots for each node."""

    def __init__(self, instance: Instance, grid: Grid, plan: Plan, samples: int, seed: int) -> None:
        self.instance, self.grid, self.samples = instance, grid, samples
        self.calendar = instance.calendar
        self.chance = np.random.default_rng(seed)
        # whoever is away does no work, however late the work before it came to its end
        self.hours = hours_of_work(instance, grid)
        self.openings: dict[int, tuple[Times, Times]] = {}
        self.planned = _planned(instance, grid, plan)
        self.order = sorted(self.planned, key=lambda node: (self.planned[node], node))
        self.relaxed = {(link.before, link.after) for link, _, _ in plan.relaxed}
        self.sanding = _sanding(instance, grid, plan)
        self.arcs = _arcs(instance, grid, plan, self.planned)
        self.safe = _safe_starts(instance, grid, self.planned, self.hours)
        self.starts: dict[int, Times] = {}
        self.ends: dict[int, Times] = {}
        self.missed: dict[Link, float] = {}

    def step(self, node: int) -> None:
        """Start and end of one node in every sample."""
        grid, fixed = self.grid, self.grid.fixed[node]
        if fixed is not None:
            at = np.full(
                self.samples, self.calendar.position(grid.task[node].fixed_start or self.instance.start)
            )
            self.starts[node] = at
            self.ends[node] = at + grid.task[node].minutes / self.calendar.minutes
            return
        ready = np.full(self.samples, float(grid.release[node]))
        for edge in grid.into[node]:
            if edge.before in self.ends:
                ready = np.maximum(ready, _opens(edge, self.ends[edge.before]))
        for before in self.arcs.get(node, ()):
            if before in self.ends:
                ready = np.maximum(ready, self.ends[before])
        slots = self._slots(node)
        if grid.calendar_bound[node]:
            ready = self._inside(ready, slots, self.hours.get(tuple(grid.needs[node]), self.calendar))
            if node in self.safe:
                ready = self._safe(node, ready)
        self.starts[node], self.ends[node] = ready, ready + slots
        self._count_missed(node)

    def _slots(self, node: int) -> Times:
        """The length of a node in every sample."""
        task, mode = self.grid.task[node], float(self.grid.slots[node])
        low, likely, high = (mode * factor for factor in task.spread)
        if task.kind == "passive" or low == high:
            return np.full(self.samples, mode + self.sanding.get(node, 0))
        return self.chance.triangular(low, likely, high, self.samples) + self.sanding.get(node, 0)

    def _opening(self, calendar: Calendar) -> tuple[Times, Times]:
        """The openings and closings of a calendar as arrays."""
        if id(calendar) not in self.openings:
            pair = (np.array(calendar.opens, np.float64), np.array(calendar.closes, np.float64))
            self.openings[id(calendar)] = pair
        return self.openings[id(calendar)]

    def _inside(self, ready: Times, slots: Times, calendar: Calendar) -> Times:
        """The first moment from which the work fits into one session; more than any session takes all."""
        opens, closes = self._opening(calendar)
        wanted = np.minimum(slots, float(calendar.longest))
        index = np.searchsorted(closes, ready, "right")
        for _ in range(len(closes)):
            index = np.minimum(index, len(closes) - 1)
            at = np.maximum(ready, opens[index])
            over = (at + wanted > closes[index]) & (index < len(closes) - 1)
            if not over.any():
                break
            index = index + over
        return at

    def _safe(self, node: int, ready: Times) -> Times:
        """The next start that leads through the windows that follow; as it is where there is none."""
        first, table = self.safe[node]
        index = np.ceil(ready - 1e-9).astype(np.int64) - first
        inside = (index >= 0) & (index < len(table))
        found = table[np.clip(index, 0, len(table) - 1)]
        return np.where(inside & (found < len(table)), np.maximum(ready, found + first), ready)

    def _count_missed(self, node: int) -> None:
        horizon = self.grid.start + WINDOW_DAYS * 24 * 60 / self.calendar.minutes
        for edge in self.grid.into[node]:
            link = edge.link
            if link is None or not link.has_window or edge.before not in self.ends:
                continue
            if self.planned[node] <= horizon and (link.before, link.after) not in self.relaxed:
                late = self.starts[node] > _closes(edge, self.ends[edge.before]) + 1e-9
                self.missed[link] = float(np.mean(late))


def _opens(edge: Edge, ends: Times) -> Times:
    """When the node after may start, for arrays of ends."""
    lag = edge.lag
    opens = ends + lag.open_slots
    return opens if lag.curve is None else np.maximum(opens, lag.curve.ready_all(ends, lag.open_h))


def _closes(edge: Edge, ends: Times) -> Times:
    """When the window closes, for arrays of ends."""
    lag = edge.lag
    closes = ends + (math.inf if lag.close_slots is None else lag.close_slots)
    if lag.curve is None or lag.close_h is None:
        return closes
    return np.minimum(closes, lag.curve.ready_all(ends, lag.close_h))


def _planned(instance: Instance, grid: Grid, plan: Plan) -> dict[int, float]:
    """Where the plan starts each node that has a place."""
    found = {}
    for name, first in grid.first_node.items():
        begun = plan.starts.get(name)
        if begun is None:
            continue
        pieces = plan.parts.get(name, [(begun, begun)])
        for node in range(first, grid.last_node[name] + 1):
            found[node] = instance.calendar.position(pieces[min(node - first, len(pieces) - 1)][0])
    return found


def _sanding(instance: Instance, grid: Grid, plan: Plan) -> dict[int, float]:
    """The slots that the plan adds to steps whose window it misses."""
    found = {}
    for link, _, _ in plan.relaxed:
        node, begun, end = grid.first_node[link.after], plan.starts[link.after], plan.ends[link.after]
        if link.after in plan.parts:
            begun, end = plan.parts[link.after][0]
        if begun is not None and end is not None:
            taken = (end - begun) / timedelta(minutes=instance.calendar.minutes)
            found[node] = max(0.0, taken - grid.slots[node])
    return found


def _arcs(instance: Instance, grid: Grid, plan: Plan, planned: Mapping[int, float]) -> dict[int, list[int]]:
    """Who hands a person or a machine on to whom: for each node those whose end frees what it takes."""
    windowed = {node for node in range(grid.nodes) if any(e.lag.has_window for e in grid.into[node])}
    takes: list[list[tuple[float, float, int, int, int]]] = [[] for _ in grid.resources]
    for node, at in planned.items():
        for resource, amount in grid.needs[node]:
            takes[resource].append((at, at + grid.slots[node], node, node, amount))
    for resource, amount, first, last in grid.spans:
        if first in planned and last in planned:
            takes[resource].append((planned[first], planned[last] + grid.slots[last], first, last, amount))
    found: dict[int, list[int]] = {}
    for resource, taken in enumerate(takes):
        units: list[tuple[float, int]] = [(-math.inf, -1)] * grid.capacity[resource]
        for at, end, first, last, amount in sorted(taken):
            # the unit that came free last before the start, so that idle ones stay free for others
            free = sorted((u for u in units if u[0] <= at + 1e-9), reverse=True)[:amount]
            for unit in free:
                units.remove(unit)
                units.append((end, last))
                # whoever has a window to meet leaves other work lying
                if unit[1] >= 0 and not (first in windowed and unit[1] not in windowed):
                    found.setdefault(first, []).append(unit[1])
    return found


def _safe_starts(
    instance: Instance, grid: Grid, planned: Mapping[int, float], hours: Mapping[Needs, Calendar]
) -> dict[int, tuple[int, NDArray[np.int64]]]:
    """For each step that begins a chain of windows the table of next starts that lead through it."""
    found, tables = {}, {}
    last = max(planned.values(), default=grid.start) + TABLE_DAYS * 24 * 60 / instance.calendar.minutes
    count = min(int(last), instance.calendar.end) - grid.start
    for node in sorted(planned):
        if grid.fixed[node] is not None or any(e.lag.has_window for e in grid.into[node]):
            continue
        chain = _chain_from(grid, node)
        if len(chain) < 2 or count < 1:
            continue
        calendar = hours.get(tuple(grid.needs[node]), instance.calendar)
        lengths = tuple((task.minutes, None if link is None else link.cure) for task, link in chain)
        key = (id(calendar), lengths)
        if key not in tables:
            tables[key] = _table(instance, calendar, grid.start, chain, count)
        if len(tables[key]):
            found[node] = (grid.start, tables[key])
    return found


def _table(
    instance: Instance, calendar: Calendar, first: int, chain: Sequence[tuple[Task, Link | None]], count: int
) -> NDArray[np.int64]:
    """For each slot the next start of a chain, with a reserve if there is any such start; empty for none."""
    lifts = [Lift(min(max(task.minutes, 1), 24 * 60), 0, 0) for task, _ in chain]
    cures = [link.cure for _, link in chain if link is not None and link.cure is not None]
    last = Cure(0, 0)
    for safety in (SAFETY, (1.0, 1.0)):
        table = Chain(lifts, calendar, instance.climate, first, count, safety, [*cures, last])
        if table.good[0].any():
            return table.following[0]
    return np.zeros(0, np.int64)


def _chain_from(grid: Grid, node: int) -> list[tuple[Task, Link | None]]:
    """The steps that follow one another through windows of cures, each with its link to the next."""
    found: list[tuple[Task, Link | None]] = []
    while True:
        onward = [edge for edge in grid.out_of[node] if edge.lag.close_h is not None]
        link = onward[0].link if onward and grid.slots[node] else None
        found.append((grid.task[node], link))
        if link is None:
            return found
        node = onward[0].after
