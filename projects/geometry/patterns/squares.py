"""Squares of four triangles, whose stripes make squares one inside the other."""

import math

from projects.geometry.patterns.base import Pattern, Ring, around, isosceles, size


def squares(side_mm: float) -> Pattern:
    """Squares cut along both diagonals.

    Parameters: side_mm, of the square.
    Raises: OutOfRange.

    >>> squares(60).counts(), squares(60).cell_area_mm2
    ({'T': 4}, 3600)
    """
    side = size("side_mm", side_mm)
    cell = tuple(around(0, 4, corner=(side / 2, side / 2)))
    ring = Ring(4, side / math.sqrt(2), 2)
    return Pattern("squares", (isosceles("T", side, 45),), cell, ((side, 0), (0, side)), ring)
