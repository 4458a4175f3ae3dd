"""Which stretches of a real bar give pieces: between its ends and around its flaws."""

from collections.abc import Sequence
from typing import NamedTuple

from materials.science.errors import checked
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


def first_pieces(runs: Sequence[Run], count: int) -> tuple[Run, ...]:
    """The runs that so many pieces take, the first ones first.

    Parameters: runs; count, pieces.
    Returns: Runs, the last one shortened.

    >>> first_pieces([Run(3, 4), Run(220, 8)], 6)
    (Run(first_mm=3, pieces=4), Run(first_mm=220, pieces=2))
    """
    found = []
    for run in runs:
        taken = min(run.pieces, count)
        if taken > 0:
            found.append(Run(run.first_mm, taken))
        count -= taken
    return tuple(found)
