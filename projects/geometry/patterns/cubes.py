"""Hexagons of three rhombi, which the eye reads as cubes."""

import math

from projects.geometry.patterns.base import Pattern, Ring, around, rhombus, size, turned


def cubes(side_mm: float) -> Pattern:
    """Three rhombi round a point, their blunt corners in the middle.

    Parameters: side_mm, of each rhombus.
    Raises: OutOfRange.

    >>> round(cubes(30).cell_area_mm2, 4), cubes(30).ring.faces
    (2338.2686, 1)
    """
    side = size("side_mm", side_mm)
    step = (math.sqrt(3) * side, 0.0)
    cell = tuple(around(0, 3, corner=(side, 0)))
    lattice = (turned(30, step), turned(90, step))
    return Pattern("cubes", (rhombus("R", side, 60),), cell, lattice, Ring(3, side, 1))
