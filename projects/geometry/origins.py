"""Where to put a pattern on its panel so that no slivers are left at the frame."""

from collections.abc import Sequence

from materials.science.errors import OutOfRange, checked
from projects.geometry.panel import lay_out
from projects.geometry.patterns.base import Pattern, Point, turned
from projects.geometry.stack import Stack


def calm_origin(
    pattern: Pattern,
    width_mm: float,
    height_mm: float,
    stack: Stack | Sequence[Stack],
    turn_deg: float = 0,
    fraction: float = 0.1,
    tries: int = 5,
) -> Point:
    """The origin, of several across one repeat, that leaves the fewest slivers, then cuts the fewest pieces.

    Parameters: pattern; width_mm and height_mm, of the panel; stack and turn_deg as for lay_out; fraction,
    below which what is seen of a piece is a sliver; tries, how many along each step of the lattice.
    Returns: mm in the panel; the middle, if no other is better.
    Raises: OutOfRange.
    Valid for: the origins tried: there may be better ones between them.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> x, y = calm_origin(basket(40), 400, 240, Stack())
    >>> (x, y), int(lay_out(basket(40), 400, 240, Stack(), origin=(x, y)).clipped.sum())
    ((200.0, 120.0), 0)
    """
    checked("tries", tries, 1, 20, "tries")
    if tries != int(tries):
        raise OutOfRange("tries", tries, 1, 20, "tries")
    (ux, uy), (vx, vy) = (turned(turn_deg, step) for step in pattern.lattice)
    best: tuple[int, int] | None = None
    found = middle = (width_mm / 2, height_mm / 2)
    for i in range(int(tries)):
        for j in range(int(tries)):
            origin = (middle[0] + (i * ux + j * vx) / tries, middle[1] + (i * uy + j * vy) / tries)
            panel = lay_out(pattern, width_mm, height_mm, stack, origin, turn_deg)
            score = len(panel.slivers(fraction)), int(panel.clipped.sum())
            if best is None or score < best:
                best, found = score, origin
    return found
