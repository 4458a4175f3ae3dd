"""What is left of bars: long ends are not thrown away unlooked at."""

from typing import NamedTuple

from materials.science.errors import checked
from projects.geometry.bars import Bar
from projects.geometry.cuts import CutPlan
from projects.geometry.packing import CastBlock
from projects.geometry.runs import Flaw, clear_stretches
from projects.geometry.saw import Saw

AS_IT_IS = Saw(trim_mm=0, hold_mm=0)


class Leftover(NamedTuple):
    """What is left of a bar, as it goes back to the shelf.

    Parameters: strip_mm, gap_mm and depth_mm, of its stack; length_mm and width_mm; first_line_mm, from its
    near edge to the centre of the first strip; bar and block, the numbers it has in the plan.

    >>> Leftover(2, 2, 10, 180, 30, 1).length_mm
    180
    """

    strip_mm: float
    gap_mm: float
    depth_mm: float
    length_mm: float
    width_mm: float
    first_line_mm: float
    bar: int = 0
    block: int = 0


def leftovers(plan: CutPlan, least_mm: float = 100) -> list[Leftover]:
    """The ends of bars that are long enough to keep: the stub, and what a block is longer than its bar.

    Parameters: plan; least_mm, the shortest worth keeping (judgement, no source).
    Returns: Leftovers, the longest first; of an end with flaws, its longest clear part.
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
            rest_mm = _rest_mm(block, bar, plan.saw)
            if rest_mm >= least_mm:
                kept = (stack.strip_mm, stack.gap_mm, stack.depth_mm, rest_mm, bar.width_mm, bar.phase_mm)
                found.append(Leftover(*kept, bar.number, bar.block))
    return sorted(found, key=lambda left: -left.length_mm)


def _rest_mm(block: CastBlock, bar: Bar, saw: Saw) -> float:
    """How long the end of a bar is that no piece comes from, flaws left out."""
    begins = bar.length_mm - saw.hold_mm
    rest = block.length_mm - begins
    flaws = [
        Flaw(max(0.0, spot.from_mm - begins), spot.to_mm - begins)
        for spot in block.flaws_of(bar)
        if spot.to_mm > begins
    ]
    if not flaws or rest <= 0:
        return rest
    return max((end - start for start, end in clear_stretches(rest, AS_IT_IS, flaws)), default=0.0)
