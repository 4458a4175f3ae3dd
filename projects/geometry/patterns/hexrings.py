"""Hexagons in rings: a core of six triangles, and round it ring after ring of six trapezoids."""

import math

from materials.science.errors import OutOfRange, checked
from projects.geometry.patterns.base import Pattern, Ring, around, size, trapezoid, turned

MOST_RINGS = 20


def hexrings(side_mm: float, rings: int) -> Pattern:
    """Hexagons of concentric rings, all of one bar width.

    Parameters: side_mm, of the core; rings, the core counted as one.
    Raises: OutOfRange.

    >>> hexrings(20, 3).counts()
    {'T1': 6, 'T2': 6, 'T3': 6}
    """
    side = size("side_mm", side_mm)
    checked("rings", rings, 1, MOST_RINGS, "rings")
    if rings != int(rings):
        raise OutOfRange("rings", rings, 1, MOST_RINGS, "rings")
    bar = side * math.sqrt(3) / 2
    shapes = tuple(trapezoid(f"T{ring}", ring * side, bar, 60) for ring in range(1, int(rings) + 1))
    cell = [
        place
        for index in range(len(shapes))
        for place in around(index, 6, corner=((index + 1) * side / 2, (index + 1) * bar))
    ]
    step = (math.sqrt(3) * side * rings, 0.0)
    lattice = (turned(30, step), turned(90, step))
    return Pattern("hexrings", shapes, tuple(cell), lattice, Ring(6, rings * side, 2))
