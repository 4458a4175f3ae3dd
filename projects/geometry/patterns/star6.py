"""Stars of six rhombi, with flat triangles between their points."""

import math

from projects.geometry.patterns.base import Pattern, Ring, around, isosceles, rhombus, size, turned


def star6(side_mm: float) -> Pattern:
    """Stars with six points.

    Parameters: side_mm, of each rhombus.
    Raises: OutOfRange.

    >>> star6(30).counts(), round(star6(30).cell_area_mm2, 4)
    ({'R': 6, 'T': 6}, 7014.8058)
    """
    side = size("side_mm", side_mm)
    long = math.sqrt(3) * side
    shapes = (rhombus("R", side, 60), isosceles("T", long, 30))
    cell = around(0, 6) + around(1, 6, corner=(long / 2, side / 2), out=(side, 0), turn_deg=90)
    lattice = ((3 * side, 0.0), turned(60, (3 * side, 0.0)))
    return Pattern("star6", shapes, tuple(cell), lattice, Ring(6, side, 1))
