"""What lies there already: cast blocks with their flaws, and leftovers of the shelf."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from materials.science.errors import checked
from projects.geometry.bars import Job
from projects.geometry.patterns.base import Shape
from projects.geometry.runs import Flaw, Run, cut_around
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack


class Spot(NamedTuple):
    """A flaw of a block as seen from above: no piece may use this rectangle.

    Parameters: from_mm and to_mm, along the strips from the end that is squared; low_mm and high_mm, across
    them from the edge that rips are counted from, before it is jointed.

    >>> Spot(120, 135, 40, 52).area_mm2
    180
    """

    from_mm: float
    to_mm: float
    low_mm: float
    high_mm: float

    @property
    def area_mm2(self) -> float:
        """The area of the rectangle; nothing where it has none."""
        return max(0.0, self.to_mm - self.from_mm) * max(0.0, self.high_mm - self.low_mm)

    def within(self, other: "Spot") -> "Spot":
        """The part of it that lies in another rectangle.

        >>> Spot(0, 20, 0, 20).within(Spot(10, 50, 0, 50)).area_mm2
        200
        """
        return Spot(
            max(self.from_mm, other.from_mm),
            min(self.to_mm, other.to_mm),
            max(self.low_mm, other.low_mm),
            min(self.high_mm, other.high_mm),
        )


@dataclass(frozen=True)
class Stock:
    """A block or a leftover as it lies there.

    Parameters: key, by which the caller knows it; stack; length_mm and width_mm; edge_mm, taken off each
    long edge before the first bar; first_line_mm, from the near edge to the centre of a strip (None: the
    first bar is ripped where the pattern wants it); spots, its flaws; cast, whether it is a block of this
    panel (a leftover's resin was poured for another).
    Raises: OutOfRange.

    >>> Stock("L-03", Stack(), 412, 60, first_line_mm=1).room_mm
    60
    """

    key: str
    stack: Stack
    length_mm: float
    width_mm: float
    edge_mm: float = 0
    first_line_mm: float | None = None
    spots: tuple[Spot, ...] = ()
    cast: bool = False

    def __post_init__(self) -> None:
        checked("length_mm", self.length_mm, 0.01, 10_000, "mm")
        checked("width_mm", self.width_mm, 0.01, 10_000, "mm")
        checked("edge_mm", self.edge_mm, 0, 10_000, "mm")
        for spot in self.spots:
            checked("flaw_end_mm", spot.to_mm, spot.from_mm, 100_000, "mm")
            checked("flaw_top_mm", spot.high_mm, spot.low_mm, 100_000, "mm")

    @property
    def room_mm(self) -> float:
        """The width that bars can use."""
        return self.width_mm - 2 * self.edge_mm

    @property
    def strips(self) -> int:
        """How many whole strips lie side by side in it."""
        return max(1, int((self.width_mm + self.stack.gap_mm) / self.stack.pitch_mm + 1e-9))

    @property
    def whole(self) -> Spot:
        """All of it as a rectangle."""
        return Spot(0, self.length_mm, 0, self.width_mm)

    def off_mm(self, offset_mm: float, shape: Shape) -> float:
        """How far the lines of a bar lie from where the pattern wants them.

        Parameters: offset_mm, where the bar begins; shape.
        Returns: mm, at most half a pitch; 0 where the first line was not measured.

        >>> Stock("L", Stack(), 412, 60, first_line_mm=1).off_mm(0, Shape("Q", 40, 40, 90, 90))
        1.0
        """
        if self.first_line_mm is None:
            return 0.0
        pitch = self.stack.pitch_mm
        off = (self.first_line_mm - self.edge_mm - offset_mm - shape.phase) % pitch
        return min(off, pitch - off)


class Lane(NamedTuple):
    """A bar that can be ripped from a block as it lies there.

    Parameters: offset_mm, from the jointed edge; runs, its pieces between flaws.

    >>> Lane(0, (Run(3, 5), Run(300, 2))).pieces
    7
    """

    offset_mm: float
    runs: tuple[Run, ...]

    @property
    def pieces(self) -> int:
        """How many pieces it gives."""
        return sum(run.pieces for run in self.runs)


def lanes(stock: Stock, shape: Shape, saw: Saw, from_mm: float = 0) -> list[Lane]:
    """The bars of one shape side by side in a block, laid so that its flaws cost as few pieces as can be.

    Parameters: stock; shape; saw; from_mm, where the first may begin, from the jointed edge.
    Returns: Lanes in the order of ripping; none where no piece fits.
    Valid for: stripes along the bars; a bar begins right after the last one or beyond a flaw, a whole
    number of pitches further where there is room.
    Source: geometry; the best choice among these by dynamic programming.

    >>> from projects.geometry.patterns.base import rectangle
    >>> board = Stock("A", Stack(), 600, 198, edge_mm=3, spots=(Spot(0, 600, 41, 43),))
    >>> [(lane.offset_mm, lane.pieces) for lane in lanes(board, rectangle("Q", 40, 40), Saw())]
    [(40, 13), (82, 13), (124, 13)]
    """
    best: dict[float, tuple[int, list[Lane]]] = {}

    def from_here(offset: float) -> tuple[int, list[Lane]]:
        """The most pieces from an offset on, and the lanes that give them."""
        key = round(offset, 6)
        if key not in best:
            best[key] = (0, [])
            if offset + shape.bar_mm <= stock.room_mm + 1e-9:
                best[key] = max(choices(offset), key=lambda choice: choice[0])
        return best[key]

    def choices(offset: float) -> Iterator[tuple[int, list[Lane]]]:
        lane = Lane(offset, tuple(_runs(stock, shape, saw, offset)))
        if lane.pieces:
            more, rest = from_here(offset + shape.bar_mm + saw.between_mm)
            yield lane.pieces + more, [lane, *rest]
        yield 0, []
        for start in _beyond(stock, shape, offset):
            yield from_here(start)

    return from_here(_in_phase(stock, shape, from_mm))[1]


def taken(
    jobs: Sequence[Job], stock: Sequence[Stock], saw: Saw
) -> list[tuple[Stock, list[tuple[Job, Lane]]]]:
    """Which bars come from what lies there, until the pieces of each shape are enough.

    Parameters: jobs; stock, the one to use first in front; saw.
    Returns: for each that gives any, its bars in the order of ripping, the widest first.

    >>> taken([], [Stock("L-03", Stack(), 412, 60)], Saw())
    []
    """
    left = {job.index: job.cuts for job in jobs}
    found = []
    for one in stock:
        bars: list[tuple[Job, Lane]] = []
        at = 0.0
        for job in sorted(jobs, key=lambda job: -job.shape.bar_mm):
            if job.stack != one.stack or left[job.index] <= 0:
                continue
            for lane in lanes(one, job.shape, saw, at):
                if left[job.index] > 0:
                    bars.append((job, lane))
                    left[job.index] -= lane.pieces
                    at = lane.offset_mm + job.shape.bar_mm + saw.between_mm
        if bars:
            found.append((one, bars))
    return found


def area_of(spots: Sequence[Spot], within: Spot) -> float:
    """The area that flaws cover in a rectangle, each part counted once.

    Parameters: spots, which may overlap; within.
    Returns: mm².

    >>> area_of([Spot(0, 10, 0, 10), Spot(5, 15, 0, 10)], Spot(0, 12, 0, 100))
    120.0
    """
    inside = [part for part in (spot.within(within) for spot in spots) if part.area_mm2]
    edges = sorted({edge for part in inside for edge in (part.from_mm, part.to_mm)})
    total = 0.0
    for left, right in zip(edges, edges[1:], strict=False):
        at, high = -math.inf, 0.0
        for part in sorted(inside, key=lambda part: part.low_mm):
            if part.from_mm <= left and part.to_mm >= right:
                high += max(0.0, part.high_mm - max(at, part.low_mm))
                at = max(at, part.high_mm)
        total += (right - left) * high
    return total


def _runs(stock: Stock, shape: Shape, saw: Saw, offset: float) -> list[Run]:
    """The pieces of a bar at an offset, around the flaws that lie in it."""
    low = stock.edge_mm + offset
    high = low + shape.bar_mm
    touched = [spot for spot in stock.spots if spot.low_mm < high - 1e-9 and spot.high_mm > low + 1e-9]
    return cut_around(shape, stock.length_mm, saw, [Flaw(spot.from_mm, spot.to_mm) for spot in touched])


def _beyond(stock: Stock, shape: Shape, offset: float) -> Iterator[float]:
    """Where a bar could begin instead, past each flaw that lies in it; by whole pitches if there is room."""
    low, pitch = stock.edge_mm + offset, stock.stack.pitch_mm
    for spot in stock.spots:
        if low + 1e-9 < spot.high_mm and spot.low_mm < low + shape.bar_mm - 1e-9:
            start = spot.high_mm - stock.edge_mm
            whole = offset + math.ceil((start - offset) / pitch - 1e-9) * pitch
            yield whole if whole + shape.bar_mm <= stock.room_mm + 1e-9 else start


def _in_phase(stock: Stock, shape: Shape, from_mm: float) -> float:
    """The first offset at which the lines lie as the pattern wants them; the very first if none has room."""
    if stock.first_line_mm is None:
        return from_mm
    pitch = stock.stack.pitch_mm
    shift = round((stock.first_line_mm - stock.edge_mm - from_mm - shape.phase) % pitch, 9) % pitch
    fits = from_mm + shift + shape.bar_mm <= stock.room_mm + 1e-9
    return from_mm + shift if fits else from_mm
