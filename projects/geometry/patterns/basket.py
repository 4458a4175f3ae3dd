"""Squares whose stripes run along and across by turns, like a woven basket."""

from projects.geometry.patterns.base import Pattern, Place, rectangle, size


def basket(side_mm: float) -> Pattern:
    """Squares, every other one turned by a quarter.

    Parameters: side_mm, of each square.
    Raises: OutOfRange.

    >>> basket(40).cell_area_mm2
    3200
    """
    side = size("side_mm", side_mm)
    cell = (Place(0, 0, False, (0, 0)), Place(0, 90, False, (2 * side, 0)))
    return Pattern("basket", (rectangle("Q", side, side),), cell, ((side, side), (side, -side)))
