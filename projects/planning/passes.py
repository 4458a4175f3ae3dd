"""Exact earliest and latest times without regard to people and machines.

Both passes work on monotone rules only (later causes give later effects), so the first fixpoint from below
is the earliest schedule and the first from above the latest.
"""

from collections.abc import Sequence

from projects.planning.calendar import Calendar
from projects.planning.grid import Grid
from projects.planning.relief import Missed, Relief

TOO_LONG = "longer than any opening"
NO_OPENING = "no opening left in the calendar"
FAR = 1 << 40


def forward(
    grid: Grid, calendar: Calendar, relief: Relief, bounds: Sequence[int] | None = None
) -> list[int | None]:
    """The earliest start of every node: the least that keeps calendar, links and windows.

    Parameters: grid; calendar; relief, whose windows are not kept and which nodes are absent; bounds, for
    each node a slot before which it may not start, none = its release.
    Returns: a slot for each node, none for those that find no place: they are left out in `relief`, too.
    Raises: Missed for a window that no start meets.
    Source: least fixpoint of monotone operators (Knaster and Tarski; from memory).

    >>> forward(Grid(), Calendar([]), Relief())
    []
    """
    start: list[int | None] = [None] * grid.nodes
    floor = list(grid.release if bounds is None else bounds)
    blamed: dict[int, Missed] = {}
    node = 0
    while node < grid.nodes:
        if node in relief.absent:
            start[node] = None
            node += 1
            continue
        at = _earliest(grid, calendar, relief, start, floor, node)
        if at is None:
            missed = _blame(grid, blamed, node)
            if missed is not None:
                raise missed
            relief.leave_out(grid, node, misfit(grid, calendar, relief, node))
            continue
        start[node] = at
        raised = _raised(grid, relief, start, floor, node, blamed)
        node = node + 1 if raised is None else raised
    return start


def _earliest(
    grid: Grid,
    calendar: Calendar,
    relief: Relief,
    start: Sequence[int | None],
    floor: Sequence[int],
    node: int,
) -> int | None:
    """The first start of one node, those before it being placed."""
    fixed = grid.fixed[node]
    if fixed is not None:
        return fixed
    at = floor[node]
    for edge in grid.into[node]:
        begun = start[edge.before]
        if begun is not None:
            at = max(at, edge.lag.opens(begun + length(grid, relief, edge.before)))
    if not grid.calendar_bound[node]:
        return at
    return calendar.first_start(at, length(grid, relief, node))


def length(grid: Grid, relief: Relief, node: int) -> int:
    """The slots of a node, sanding before it included.

    >>> length(Grid(slots=[6]), Relief(extra={0: 9}), 0)
    15
    """
    return grid.slots[node] + relief.extra.get(node, 0)


def _raised(
    grid: Grid,
    relief: Relief,
    start: list[int | None],
    floor: list[int],
    node: int,
    blamed: dict[int, Missed],
) -> int | None:
    """The node to go on from where a window into `node` is closed already: its cause must start later."""
    at = start[node]
    for edge in grid.into[node]:
        begun = start[edge.before]
        if begun is None or at is None or not relief.keeps(edge):
            continue
        closed = edge.lag.closes(begun + length(grid, relief, edge.before))
        if at > closed:
            missed = blamed.setdefault(id(edge), Missed(edge, at, closed))
            if grid.fixed[edge.before] is not None:
                raise missed
            floor[edge.before] = edge.lag.least_end(at) - length(grid, relief, edge.before)
            return edge.before
    return None


def ancestors(grid: Grid, node: int) -> set[int]:
    """A node and all that it waits for.

    >>> ancestors(Grid(into=[[]], slots=[1]), 0)
    {0}
    """
    found, waiting = {node}, [node]
    while waiting:
        for edge in grid.into[waiting.pop()]:
            if edge.before not in found:
                found.add(edge.before)
                waiting.append(edge.before)
    return found


def _blame(grid: Grid, blamed: dict[int, Missed], node: int) -> Missed | None:
    """The last window among a node's causes that pushed it out of the calendar, if any did."""
    causes = ancestors(grid, node)
    found = [missed for missed in blamed.values() if missed.edge.before in causes]
    return found[-1] if found else None


def misfit(grid: Grid, calendar: Calendar, relief: Relief, node: int) -> str:
    """Why a node finds no place in the calendar, in words.

    >>> misfit(Grid(slots=[6]), Calendar([]), Relief(), 0)
    'no opening left in the calendar'
    """
    if calendar.opens and length(grid, relief, node) > calendar.longest:
        return f"{TOO_LONG}, with the sanding before it" if node in relief.extra else TOO_LONG
    return NO_OPENING


def culprit(grid: Grid, calendar: Calendar, relief: Relief, missed: Missed) -> Missed:
    """Among the windows that led to a miss, one that can't be met all by itself, else the one missed.

    Parameters: grid; calendar; relief, as it is so far; missed, what was raised.
    Returns: a Missed, so that no window is given up for another's sake.

    >>> from projects.planning.grid import Edge, Lag
    >>> missed = Missed(Edge(0, 1, Lag()), 20, 12)
    >>> culprit(Grid(slots=[1, 1], into=[[], [missed.edge]]), Calendar([]), Relief(), missed) is missed
    True
    """
    causes = ancestors(grid, missed.edge.after) | ancestors(grid, missed.edge.before)
    windows = [edge for edge in grid.windows() if edge.after in causes and relief.keeps(edge)]
    for edge in windows if len(windows) > 1 else ():
        alone = relief.copy()
        alone.dropped |= {id(other) for other in grid.windows() if other is not edge}
        try:
            forward(grid, calendar, alone)
        except Missed as found:
            return found
    return missed


def relieved(
    grid: Grid, calendar: Calendar, relief: Relief, bounds: Sequence[int] | None = None
) -> list[int | None]:
    """Earliest starts, windows that can't be met being given up one by one until there are some.

    Parameters and returns: as forward.

    >>> relieved(Grid(), Calendar([]), Relief())
    []
    """
    while True:
        try:
            return forward(grid, calendar, relief, bounds)
        except Missed as missed:
            relief.give_up(grid, culprit(grid, calendar, relief, missed))


def backward(grid: Grid, calendar: Calendar, relief: Relief, ends: Sequence[int]) -> list[int]:
    """The latest start of every node: the greatest that keeps calendar, links, windows and the given ends.

    Parameters: grid; calendar; relief; ends, for each node the slot by which it must have ended.
    Returns: a slot for each node. A node that has begun stays where it is.
    Source: greatest fixpoint, the mirror of forward.

    >>> backward(Grid(), Calendar([]), Relief(), [])
    []
    """
    latest = [FAR] * grid.nodes
    cap = [end - length(grid, relief, node) for node, end in enumerate(ends)]
    node = grid.nodes - 1
    while node >= 0:
        latest[node] = _latest(grid, calendar, relief, latest, cap, node)
        again = _lowered(grid, calendar, relief, latest, cap, node)
        node = node - 1 if again is None else again
    return latest


def _latest(
    grid: Grid, calendar: Calendar, relief: Relief, latest: Sequence[int], cap: Sequence[int], node: int
) -> int:
    fixed = grid.fixed[node]
    if fixed is not None:
        return fixed
    at, slots = cap[node], length(grid, relief, node)
    for edge in grid.out_of[node]:
        if grid.fixed[edge.after] is None:
            at = min(at, edge.lag.most_end(latest[edge.after]) - slots)
    return calendar.last_start(at, slots) if grid.calendar_bound[node] else at


def _lowered(
    grid: Grid, calendar: Calendar, relief: Relief, latest: list[int], cap: list[int], node: int
) -> int | None:
    """The node to go on from where one behind `node` would start after its window or its cause's end.

    Before the first opening nothing is pressed further: it is too late already, and a window that no start
    meets would press for ever.
    """
    again = None
    first = calendar.opens[0] if calendar.opens else FAR
    end = latest[node] + length(grid, relief, node)
    for edge in grid.out_of[node]:
        alone = len(grid.into[edge.after]) == 1 and grid.task[edge.after].kind == "passive"
        if grid.fixed[edge.after] is not None or not (alone or relief.keeps(edge)):
            continue
        closes = edge.lag.opens(end) if alone and not edge.lag.has_window else edge.lag.closes(end)
        if latest[edge.after] > closes and (closes >= first or not edge.lag.has_window):
            cap[edge.after] = closes
            again = edge.after if again is None else max(again, edge.after)
    return again
