"""Hexagons of six triangles whose stripes run round the middle."""

import math

from projects.geometry.patterns.base import Pattern, Ring, around, isosceles, size, turned


def hexagons(side_mm: float) -> Pattern:
    """Hexagons of six equal triangles.

    Parameters: side_mm, of the hexagon and of each triangle.
    Raises: OutOfRange.

    >>> round(hexagons(40).cell_area_mm2, 4), hexagons(40).ring
    (4156.9219, Ring(pieces=6, radius_mm=40, faces=2))
    """
    side = size("side_mm", side_mm)
    piece = isosceles("T", side, 60)
    cell = tuple(around(0, 6, corner=(side / 2, piece.bar_mm)))
    step = (math.sqrt(3) * side, 0.0)
    return Pattern("hexagons", (piece,), cell, (turned(30, step), turned(90, step)), Ring(6, side, 2))
