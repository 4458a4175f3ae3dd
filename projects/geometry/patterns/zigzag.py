"""Columns of slanting pieces, every other one face down, so that the stripes run in zigzags."""

import math

from materials.science.errors import checked
from projects.geometry.patterns.base import Pattern, Place, parallelogram, size


def zigzag(column_mm: float, bar_mm: float, angle_deg: float) -> Pattern:
    """Columns of parallelograms whose stripes rise in one column and fall in the next.

    Parameters: column_mm, width of a column; bar_mm, width of the bar; angle_deg, of both cuts.
    Raises: OutOfRange.

    >>> round(zigzag(30, 60, 45).cell_area_mm2, 4)
    5091.1688
    """
    size("column_mm", column_mm)
    size("bar_mm", bar_mm)
    sine = math.sin(math.radians(checked("angle_deg", angle_deg, 10, 170, "°")))
    piece = parallelogram("P", column_mm / sine, bar_mm, angle_deg)
    cell = (Place(0, 90 - angle_deg, False, (0, 0)), Place(0, 90 + angle_deg, True, (2 * column_mm, 0)))
    return Pattern("zigzag", (piece,), cell, ((2 * column_mm, 0), (0, bar_mm / sine)))
