"""Bars for the pieces of one shape: how many, how long, and which piece comes from which."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from materials.science.errors import OutOfRange, checked
from projects.geometry.patterns.base import Shape
from projects.geometry.runs import Run
from projects.geometry.saw import Saw, gauge_deg
from projects.geometry.stack import Stack

# what a cut gives that has no place in the panel
SPARE, TEST = 0, -1


@dataclass(frozen=True)
class Job:
    """All the pieces of one shape, and how the saw is set for them.

    Parameters: index, of the shape in the panel; shape; stack; whole and edge, pieces of the panel that
    stay whole and that the frame cuts; need, pieces to cut, spares included; tests, cut for trial;
    at_least, the pieces if offcuts of edge pieces served again; per_bar, the most that one bar holds.

    >>> job = Job(0, Shape("T", 30, 60, 45, 135), Stack(), 280, 0, 294, 2, 280, 15)
    >>> job.bars, job.gauges_deg, job.shape.handling
    (20, (45,), 'roll')
    """

    index: int
    shape: Shape
    stack: Stack
    whole: int
    edge: int
    need: int
    tests: int
    at_least: int
    per_bar: int

    @property
    def cuts(self) -> int:
        """All the pieces to cut, tests included."""
        return self.need + self.tests

    @property
    def bars(self) -> int:
        """How many bars hold them."""
        return -(-self.cuts // self.per_bar)

    @property
    def cut_order_deg(self) -> tuple[float, ...]:
        """The angles between cut and edge in the order of sawing: two where a piece has two gauges.

        The one nearer to a square cut goes first, all along the bar: it leaves parcels of two pieces, which
        are longer to hold; the steeper one then parts each of them. [derived: nobody has sawn it]
        """
        shape = self.shape
        if shape.handling != "turn":
            return (shape.left_deg,)
        return tuple(sorted((shape.left_deg, shape.right_deg), key=gauge_deg))

    @property
    def gauges_deg(self) -> tuple[float, ...]:
        """How far the gauge is turned from a square cut, in the order of sawing."""
        return tuple(round(gauge_deg(angle), 9) for angle in self.cut_order_deg)

    def parcel_mm(self, saw: Saw) -> float:
        """The stop for the first pass, in mm along the fence: a pair and its cut where there are two gauges.

        >>> job = Job(0, Shape("Q", 40, 40, 90, 90), Stack(), 6, 0, 7, 2, 6, 12)
        >>> job.parcel_mm(Saw())
        40
        """
        if self.shape.handling != "turn":
            return self.shape.stop_mm
        return self.shape.near_mm + self.shape.far_mm + saw.slot_mm(self.cut_order_deg[1])

    def sled_deg(self, most_gauge_deg: float) -> tuple[float, ...]:
        """The settings beyond the gauge's range, as angles for a sled that holds the bar square to it.

        Parameters: most_gauge_deg, how far the shop's gauge turns.

        >>> Job(0, Shape("T", 15, 52, 30, 150), Stack(), 6, 0, 7, 2, 6, 12).sled_deg(50)
        (30,)
        """
        return tuple(90 - gauge for gauge in self.gauges_deg if gauge > most_gauge_deg)


@dataclass
class Bar:
    """One bar: where it lies in its block and what is cut from it.

    Parameters: job; pieces, the place number of each cut in order, SPARE or TEST; length_mm; number and
    block, counted from 1 in the order of ripping; offset_mm, from the block's jointed edge (its edge
    allowance taken off); phase_mm, where its first strip lies, if the first bar of its block lies as the
    pattern wants it; runs, its pieces between flaws (none: all in one run from the squared end).

    >>> Bar(Job(0, Shape("Q", 40, 40, 90, 90), Stack(), 1, 0, 2, 1, 1, 12), (TEST, 1, SPARE), 175).width_mm
    40
    """

    job: Job
    pieces: tuple[int, ...]
    length_mm: float
    number: int = 0
    block: int = 0
    offset_mm: float = 0.0
    phase_mm: float = 0.0
    runs: tuple[Run, ...] = ()

    @property
    def width_mm(self) -> float:
        """The width of its pieces, when its edges are trued."""
        return self.job.shape.bar_mm

    def cuts(self, saw: Saw) -> list[tuple[float, float]]:
        """Every cut: where its left side meets the bar's near edge, in mm from the end, and its angle.

        >>> bar = Bar(Job(0, Shape("Q", 40, 40, 90, 90), Stack(), 1, 0, 1, 0, 1, 12), (1,), 87)
        >>> bar.cuts(Saw())
        [(3.0, 90), (45.0, 90)]
        """
        return [cut for run in self.cut_runs(saw) for cut in run]

    def cut_runs(self, saw: Saw) -> list[list[tuple[float, float]]]:
        """The cuts of each run; between two cuts of one run lies a piece.

        >>> job = Job(0, Shape("Q", 40, 40, 90, 90), Stack(), 2, 0, 2, 0, 2, 12)
        >>> Bar(job, (1, 2), 300, runs=(Run(3, 1), Run(120, 1))).cut_runs(Saw())
        [[(3.0, 90), (45.0, 90)], [(120.0, 90), (162.0, 90)]]
        """
        runs = self.runs or (Run(saw.trim_mm, len(self.pieces)),)
        return [self.job.shape.slots_mm(run.pieces, saw.kerf_mm, run.first_mm) for run in runs]


def counted(value: float) -> int:
    """A number of things, rounded up unless it is whole but for rounding.

    >>> counted(294.0000000001), counted(294.01)
    (294, 295)
    """
    return math.ceil(value - 1e-9)


def most_pieces(shape: Shape, stack: Stack, saw: Saw) -> int:
    """The most pieces that one bar holds.

    Parameters: shape; stack, whose longest block limits the bar; saw.
    Returns: at least one.
    Raises: OutOfRange where not even one fits.

    >>> most_pieces(Shape("T", 30, 60, 45, 135), Stack(), Saw())
    15
    """
    ends, kerf = saw.trim_mm + saw.hold_mm, saw.kerf_mm
    one, three = (shape.bar_length_mm(count, kerf, ends) for count in (1, 3))
    # two more pieces always take the same length more, so that the first guess is nearly right
    guess = 1 + 2 * max(0, math.floor((stack.max_length_mm - one) / ((three - one) / 2) / 2))
    while shape.bar_length_mm(guess + 1, kerf, ends) <= stack.max_length_mm + 1e-9:
        guess += 1
    while guess and shape.bar_length_mm(guess, kerf, ends) > stack.max_length_mm + 1e-9:
        guess -= 1
    if guess < 1:
        raise OutOfRange("bar_length_mm", one, 0, stack.max_length_mm, "mm")
    return guess


def longest_bias_bar_mm(length_mm: float, width_mm: float, bar_mm: float, stripe_deg: float) -> float:
    """The longest bar that can be cut from a block at an angle to its strips.

    Parameters: length_mm and width_mm, of the block; bar_mm, width of the bar; stripe_deg, between the bar
    and the strips.
    Returns: mm, square-ended; 0 where none fits.
    Raises: OutOfRange.
    Valid for: one bar alone. A cut plan does not use it yet: it lays bars along the strips only.
    Source: geometry; needs none.

    >>> round(longest_bias_bar_mm(600, 200, 30, 30), 2)
    348.04
    """
    alpha = math.radians(checked("stripe_deg", stripe_deg, 0.01, 89.99, "°"))
    for name, value in (("length_mm", length_mm), ("width_mm", width_mm), ("bar_mm", bar_mm)):
        checked(name, value, 0.01, 10_000, "mm")
    across = (width_mm - bar_mm * math.cos(alpha)) / math.sin(alpha)
    return max(0.0, min(across, (length_mm - bar_mm * math.sin(alpha)) / math.cos(alpha)))


def filled(job: Job, groups: Sequence[Sequence[int]], saw: Saw, *, whole_rings: bool = False) -> list[Bar]:
    """The bars of one shape with their pieces in cut order.

    Parameters: job; groups, place numbers that belong together; saw; whole_rings, as for shared_out.
    Returns: Bars, not yet placed in blocks.

    >>> job = Job(0, Shape("Q", 40, 40, 90, 90), Stack(), 6, 0, 7, 1, 6, 5)
    >>> [bar.pieces for bar in filled(job, [[1, 2, 3], [4, 5, 6]], Saw())]
    [(-1, 1, 2, 3, 0), (4, 5, 6)]
    """
    return as_bars(job, shared_out(job, groups, whole_rings=whole_rings), saw)


def shared_out(
    job: Job, groups: Sequence[Sequence[int]], there: Sequence[int] = (), *, whole_rings: bool = False
) -> list[list[int]]:
    """Which pieces are cut from which bar of one shape.

    Tests are cut first of all. A group (a ring, or what belongs together in one repeat) comes from one bar
    as long as a bar holds it; what is left in the bars goes to the groups that found no bar of their own,
    and then to spares.

    Parameters: job; groups, place numbers that belong together; there, how many pieces each bar gives that
    lies there already; whole_rings, take more bars rather than part a group that one bar could hold.
    Returns: the pieces of each bar in cut order: first of those that lie there, then of new ones.

    >>> job = Job(0, Shape("Q", 40, 40, 90, 90), Stack(), 6, 0, 7, 1, 6, 5)
    >>> shared_out(job, [[1, 2, 3], [4, 5, 6]], there=[3])
    [[-1, 4, 5], [1, 2, 3, 6, 0]]
    """
    most, new = job.per_bar, max(0, -(-(job.cuts - sum(there)) // job.per_bar))
    rooms = [*there, *[most] * new]
    waiting = list(groups)
    if max(map(len, groups), default=0) > most:
        waiting = [group[at : at + most] for group in groups for at in range(0, len(group), most)]
    tests, held = job.tests, []
    for room in rooms:
        held.append([TEST] * min(room, tests))
        tests -= len(held[-1])
    if new:
        rooms[-1] = job.cuts - sum(rooms[:-1])
    left = _put_whole(waiting, held, rooms)
    while whole_rings and left:
        held.append([])
        rooms = [*there, *[most] * (len(held) - len(there))]
        left = _put_whole(left, held, rooms)
    rest = [number for group in left for number in group]
    rest += [SPARE] * (job.cuts - job.tests - sum(map(len, waiting)))
    for taken, room in zip(held, rooms, strict=True):
        free = room - len(taken)
        taken += rest[:free]
        rest = rest[free:]
    return held


def as_bars(job: Job, held: Sequence[Sequence[int]], saw: Saw) -> list[Bar]:
    """New bars for pieces in cut order, each as long as they need.

    Parameters: job; held, the pieces of each; saw.
    Returns: Bars, not yet placed in blocks; none for no pieces.

    >>> job = Job(0, Shape("Q", 40, 40, 90, 90), Stack(), 6, 0, 7, 1, 6, 5)
    >>> [bar.length_mm for bar in as_bars(job, [[1], [], [2, 3]], Saw())]
    [87.0, 129.0]
    """
    ends = saw.trim_mm + saw.hold_mm
    counts = {len(taken) for taken in held if taken}
    length = {count: job.shape.bar_length_mm(count, saw.kerf_mm, ends) for count in counts}
    return [Bar(job, tuple(taken), length[len(taken)]) for taken in held if taken]


def _put_whole(groups: list[Sequence[int]], held: list[list[int]], rooms: list[int]) -> list[Sequence[int]]:
    """Puts groups into bars, each whole, the largest first; returns those that no bar holds any more."""
    left: list[Sequence[int]] = []
    for size, equal in itertools.groupby(sorted(groups, key=len, reverse=True), key=len):
        same, at = list(equal), 0
        for taken, room in zip(held, rooms, strict=True):
            fitting = same[at : at + (room - len(taken)) // size]
            taken += itertools.chain.from_iterable(fitting)
            at += len(fitting)
        left += same[at:]
    return left
