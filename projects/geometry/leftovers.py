"""Bars with flaws, and what is left of bars: neither is thrown away unlooked at."""

from collections.abc import Sequence
from typing import NamedTuple

from materials.science.errors import checked
from projects.geometry.cuts import CutPlan
from projects.geometry.patterns.base import Shape
from projects.geometry.saw import Saw


class Flaw(NamedTuple):
    """A stretch of a bar that no piece may use: bubbles, a bow, a thin end.

    Parameters: from_mm and to_mm, from the end that is squared.

    >>> Flaw(120, 135).to_mm - Flaw(120, 135).from_mm
    15
    """

    from_mm: float
    to_mm: float


class Run(NamedTuple):
    """Pieces cut one after the other without a flaw between them.

    Parameters: first_mm, where the first cut's outermost point lies; pieces, how many.

    >>> Run(3, 5).pieces
    5
    """

    first_mm: float
    pieces: int


class Leftover(NamedTuple):
    """What is left of a bar, as it goes back to the shelf.

    Parameters: strip_mm, gap_mm and depth_mm, of its stack; length_mm and width_mm; first_line_mm, from its
    near edge to the centre of the first strip.

    >>> Leftover(2, 2, 10, 180, 30, 1).length_mm
    180
    """

    strip_mm: float
    gap_mm: float
    depth_mm: float
    length_mm: float
    width_mm: float
    first_line_mm: float


def clear_stretches(length_mm: float, saw: Saw, flaws: Sequence[Flaw]) -> list[tuple[float, float]]:
    """Where pieces may lie in a bar: between its squared end, its flaws and its stub.

    Parameters: length_mm, of the bar; saw; flaws, in any order; they may overlap.
    Returns: pairs of mm from the squared end.
    Raises: OutOfRange for a flaw that ends before it begins.

    >>> clear_stretches(600, Saw(), [Flaw(200, 220)])
    [(3, 200), (220, 560)]
    """
    checked("length_mm", length_mm, 0.01, 10_000, "mm")
    at, end, found = saw.trim_mm, length_mm - saw.hold_mm, []
    for flaw in sorted(flaws):
        checked("flaw_end_mm", flaw.to_mm, flaw.from_mm, 10_000, "mm")
        if min(flaw.from_mm, end) > at:
            found.append((at, min(flaw.from_mm, end)))
        at = max(at, flaw.to_mm)
    return [*found, (at, end)] if end > at else found


def cut_around(shape: Shape, length_mm: float, saw: Saw, flaws: Sequence[Flaw]) -> list[Run]:
    """The pieces that a real bar gives, none of them with a flaw in it.

    Parameters: shape; length_mm, of the bar; saw; flaws.
    Returns: one Run for each clear stretch that holds a piece.
    Raises: OutOfRange.
    Valid for: each stretch begun anew, so that wedges on both sides of a flaw are waste.
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.base import rectangle
    >>> cut_around(rectangle("Q", 40, 40), 600, Saw(), [Flaw(200, 220)])
    [Run(first_mm=3, pieces=4), Run(first_mm=220, pieces=8)]
    """
    runs = []
    for start, end in clear_stretches(length_mm, saw, flaws):
        pieces = 0
        while shape.bar_length_mm(pieces + 1, saw.kerf_mm, 0) <= end - start + 1e-9:
            pieces += 1
        if pieces:
            runs.append(Run(start, pieces))
    return runs


def leftovers(plan: CutPlan, least_mm: float = 100) -> list[Leftover]:
    """The ends of bars that are long enough to keep: the stub, and what a block is longer than its bar.

    Parameters: plan; least_mm, the shortest worth keeping (judgement, no source).
    Returns: Leftovers, the longest first.
    Raises: OutOfRange.
    Valid for: blocks cut as planned.

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.cuts import plan_cuts
    >>> from projects.geometry.stack import Stack
    >>> plan = plan_cuts(lay_out(basket(40), 400, 240, Stack()), Stack(), Saw())
    >>> [round(left.length_mm) for left in leftovers(plan, least_mm=50)]
    []
    """
    checked("least_mm", least_mm, 0, 10_000, "mm")
    found = []
    for block in plan.blocks:
        stack = block.stack
        for bar in block.bars:
            rest_mm = block.length_mm - bar.length_mm + plan.saw.hold_mm
            if rest_mm >= least_mm:
                kept = (stack.strip_mm, stack.gap_mm, stack.depth_mm, rest_mm, bar.width_mm, bar.phase_mm)
                found.append(Leftover(*kept))
    return sorted(found, key=lambda left: -left.length_mm)
