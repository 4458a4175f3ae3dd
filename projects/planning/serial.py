"""Serial generation: blocks placed one after the other, each as early as people and machines allow.

Who is busy when is kept as bits of long whole numbers, one per slot, for each resource one number per level
of use: looking for a gap is a few shifts, whatever the load.
"""

import heapq
from bisect import bisect_left
from collections.abc import Sequence

from projects.planning.blocks import Blocks, blocks_of
from projects.planning.calendar import Calendar
from projects.planning.grid import Grid
from projects.planning.passes import culprit, length, misfit
from projects.planning.relief import Missed, Relief

# how many slots are looked through at once: a week of five minutes
WEEK = 2016
WEEK_BITS = (1 << WEEK) - 1
FIRST = -(1 << 60)
# how many times a conflict is leapt over before a whole week is looked through
LEAPS = 6


class Board:
    """Who and what is taken when.

    `levels[r][k]` has a bit set for every slot in which more than k of resource r are taken.

    >>> board = Board(Grid(resources=["people"], capacity=[2]), Calendar([]))
    >>> board.take(0, 1, 0, 3)
    >>> board.levels
    [(7, 0)]
    """

    def __init__(self, grid: Grid, calendar: Calendar) -> None:
        self.grid, self.calendar = grid, calendar
        self.origin = min([grid.start, *(at for at in grid.fixed if at is not None)])
        opened = 0
        for first, close in zip(calendar.opens, calendar.closes, strict=True):
            if close > self.origin:
                first = max(first, self.origin)
                opened |= ((1 << (close - first)) - 1) << (first - self.origin)
        self.closed = ~opened
        self.levels: list[tuple[int, ...]] = [(0,) * count for count in grid.capacity]

    def take(self, resource: int, amount: int, start: int, end: int) -> None:
        """Take so many of a resource from one slot to another; what is not there is not counted."""
        if end <= start:
            return
        bits = ((1 << (end - start)) - 1) << (start - self.origin)
        levels = self.levels[resource]
        if len(levels) == 1 or amount >= len(levels):
            self.levels[resource] = tuple([level | bits for level in levels])
            return
        for _ in range(amount):
            levels = (
                levels[0] | bits,
                *[above | below & bits for below, above in zip(levels[:-1], levels[1:], strict=True)],
            )
        self.levels[resource] = levels

    def gap(self, needs: Sequence[tuple[int, int]], bound: bool, at: int, slots: int) -> int | None:
        """The first slot at or after `at` from which all that is needed is free for so many slots."""
        masks = [self.levels[resource][len(self.levels[resource]) - amount] for resource, amount in needs]
        work = (1 << slots) - 1
        # most often there is a gap at once or behind whatever is in the way
        for _ in range(LEAPS):
            busy = 0
            for mask in masks:
                busy |= mask >> (at - self.origin) & work
            if not busy:
                return at
            at += busy.bit_length()
            if bound:
                opened = self.calendar.first_start(at, slots)
                if opened is None:
                    return None
                at = opened
        return self._search([*masks, self.closed] if bound else masks, bound, at, slots)

    def _search(self, masks: Sequence[int], bound: bool, at: int, slots: int) -> int | None:
        """As `gap`, week by week."""
        work = (1 << slots) - 1
        while True:
            offset, busy = at - self.origin, 0
            for mask in masks:
                busy |= mask >> offset
            found = _first_free(busy & (WEEK_BITS << slots | work), slots)
            if found >= 0:
                return at + found
            if bound and not ~self.closed >> offset:
                return None
            at += WEEK

    def last_conflict(self, resource: int, amount: int, start: int, end: int) -> int:
        """The slot after the last one in which too few of a resource are free; 0 for none."""
        mask = self.levels[resource][len(self.levels[resource]) - amount] >> (start - self.origin)
        held = mask & ((1 << max(end - start, 0)) - 1)
        return start + held.bit_length() if held else 0


def _first_free(busy: int, slots: int) -> int:
    """The first of a week's bits from which `slots` bits are clear; -1 for none."""
    seen = 1
    while seen < slots:
        shift = min(seen, slots - seen)
        busy |= busy >> shift
        seen += shift
    free = ~busy & WEEK_BITS
    return (free & -free).bit_length() - 1


class Serial:
    """Serial generation over one grid, again and again with other priorities.

    >>> Serial(Grid(), Calendar([]), Relief()).run([])[0]
    []
    """

    def __init__(self, grid: Grid, calendar: Calendar, relief: Relief) -> None:
        self.grid, self.calendar, self.relief = grid, calendar, relief
        self.board = Board(grid, calendar)
        for node, at in enumerate(grid.fixed):
            if at is not None:
                for resource, amount in grid.needs[node]:
                    self.board.take(resource, amount, at, at + grid.slots[node])
        self.levels = list(self.board.levels)
        self.blocks = blocks_of(grid, relief)
        self.into = [
            [(e.before, e.lag.open_slots if e.lag.curve is None else -1, e.lag) for e in edges]
            for edges in grid.into
        ]

    def run(
        self, priority: Sequence[float], floor: Sequence[int] | None = None
    ) -> tuple[list[int | None], Relief]:
        """One plan: a start for each node (none = no place) and what it gives up.

        Parameters: priority, for each node, the least first; floor, for each node a slot before which it may
        not start, none = its release.
        """
        relief, blocks = self.relief.copy(), self.blocks
        while True:
            try:
                one = _Pass(self, relief, blocks, floor)
                one.place_all(priority)
            except Missed as missed:
                relief.give_up(self.grid, culprit(self.grid, self.calendar, relief, missed))
                blocks = blocks_of(self.grid, relief)
            else:
                return one.start, relief


class _Pass:
    """The placing of all blocks for one list of priorities."""

    def __init__(self, serial: Serial, relief: Relief, blocks: Blocks, floor: Sequence[int] | None) -> None:
        self.grid, self.calendar, self.into = serial.grid, serial.calendar, serial.into
        self.relief, self.blocks, self.board = relief, blocks, serial.board
        self.board.levels = list(serial.levels)
        self.floor = list(self.grid.release if floor is None else floor)
        self.start: list[int | None] = [None] * self.grid.nodes
        self.end = [0] * self.grid.nodes
        self.slots = [length(self.grid, relief, node) for node in range(self.grid.nodes)]
        self.windows = [[e for e in edges if relief.keeps(e)] for edges in self.grid.into]
        self.blamed: dict[int, Missed] = {}

    def place_all(self, priority: Sequence[float]) -> None:
        """Place every block, among those that wait for nothing the one of least priority first.

        Work that is done in parts goes on before anything else is begun: nobody lays it down without need.
        """
        blocks = self.blocks
        rank = [
            FIRST if self.goes_on(nodes) else min(priority[node] for node in nodes) for nodes in blocks.nodes
        ]
        waits = list(blocks.waits)
        ready = [(rank[block], block) for block, count in enumerate(waits) if not count]
        heapq.heapify(ready)
        while ready:
            _, block = heapq.heappop(ready)
            self.place_block(blocks.nodes[block], blocks.spans[block])
            for later in blocks.after[block]:
                waits[later] -= 1
                if not waits[later]:
                    heapq.heappush(ready, (rank[later], later))

    def goes_on(self, nodes: Sequence[int]) -> bool:
        """Whether a block has begun, or its first node is a further part of a step."""
        task, first = self.grid.task, nodes[0]
        further = first > 0 and task[first] is task[first - 1]
        return further or any(self.grid.fixed[node] is not None for node in nodes)

    def place_block(self, nodes: Sequence[int], spans: Sequence[tuple[int, int, int, int]]) -> None:
        """Place the nodes of one block; where a window or something held is in the way, go back and wait."""
        board, index = self.board, 0
        before: list[list[tuple[int, ...]]] = [[]] * len(nodes)
        while index < len(nodes):
            node = nodes[index]
            before[index] = list(board.levels)
            if node in self.relief.absent:
                self.start[node] = None
                back: int | None = None
            else:
                back = self.place(node)
            if back is None and spans:
                back = self.hold(node, spans)
            if back is None:
                index += 1
                continue
            index = bisect_left(nodes, back)
            board.levels = before[index]

    def place(self, node: int) -> int | None:
        """Place one node; or the node before it that must start later."""
        at, grid = self.floor[node], self.grid
        fixed = grid.fixed[node]
        if fixed is not None:
            at = fixed
        else:
            for before, lo, lag in self.into[node]:
                opens = self.end[before] + lo if lo >= 0 else lag.opens(self.end[before])
                at = max(at, opens)
            found = self.seek(node, at)
            if found is None:
                return None
            at = found
        self.start[node] = at
        self.end[node] = end = at + self.slots[node]
        for edge in self.windows[node]:
            if self.start[edge.before] is not None and at > edge.lag.closes(self.end[edge.before]):
                return self.raise_before(
                    edge.before, id(edge), Missed(edge, at, edge.lag.closes(self.end[edge.before]))
                )
        if fixed is None:
            for resource, amount in grid.needs[node]:
                self.board.take(resource, amount, at, end)
        return None

    def raise_before(self, before: int, key: int, missed: Missed) -> int:
        """Let the cause of a window start as late as the window asks."""
        first = self.blamed.setdefault(key, missed)
        if self.grid.fixed[before] is not None:
            raise first
        self.floor[before] = missed.edge.lag.least_end(missed.needed) - self.slots[before]
        return before

    def seek(self, node: int, at: int) -> int | None:
        """The first start at or after `at` that calendar, people and machines allow."""
        grid, slots, needs = self.grid, self.slots[node], self.grid.needs[node]
        found: int | None = at
        if grid.calendar_bound[node]:
            found = self.calendar.first_start(at, slots)
        if needs and found is not None:
            if any(amount > grid.capacity[resource] for resource, amount in needs):
                found = None
            else:
                found = self.board.gap(needs, grid.calendar_bound[node], found, slots)
        if found is None:
            self.no_place(node, [(r, amount) for r, amount in needs if amount > grid.capacity[r]])
        return found

    def no_place(self, node: int, scarce: Sequence[tuple[int, int]]) -> None:
        """Leave a node out and say why; or raise the window that pushed it out of the calendar."""
        nodes = set(self.blocks.nodes[self.blocks.of[node]])
        pushed = [missed for missed in self.blamed.values() if missed.edge.before in nodes]
        if pushed and not scarce:
            raise pushed[-1]
        reason = misfit(self.grid, self.calendar, self.relief, node)
        if scarce:
            resource, amount = scarce[0]
            reason = (
                f"needs {amount} {self.grid.resources[resource]}, there are {self.grid.capacity[resource]}"
            )
        self.relief.leave_out(self.grid, node, reason)
        self.start[node] = None

    def hold(self, node: int, spans: Sequence[tuple[int, int, int, int]]) -> int | None:
        """Take what is held until `node`; or the node with which the holding begins, if it must wait."""
        for resource, amount, first, last in spans:
            begun = self.start[first]
            if last != node or begun is None:
                continue
            end = self.end[node] if self.start[node] is not None else self.end_of_block(first)
            if self.grid.fixed[first] is None:
                if amount > self.grid.capacity[resource]:
                    self.no_place(first, [(resource, amount)])
                    return first
                busy = self.board.last_conflict(resource, amount, begun, end)
                if busy:
                    self.floor[first] = busy
                    return first
            self.board.take(resource, amount, begun, end)
        return None

    def end_of_block(self, node: int) -> int:
        """When the last placed node of a block ends."""
        nodes = self.blocks.nodes[self.blocks.of[node]]
        return max(self.end[each] for each in nodes if self.start[each] is not None)
