"""Rectangles set square to each other in steps, like a parquet floor."""

from materials.science.errors import checked
from projects.geometry.patterns.base import Pattern, Place, rectangle, size


def herringbone(width_mm: float, ratio: float) -> Pattern:
    """Rectangles, one lying and one standing, in steps.

    Parameters: width_mm, of the bar; ratio, how many times longer each piece is than wide (need not be
    whole).
    Raises: OutOfRange.

    >>> herringbone(20, 3).cell_area_mm2
    2400
    """
    width = size("width_mm", width_mm)
    length = checked("ratio", ratio, 1, 50, "") * width
    cell = (Place(0, 0, False, (0, 0)), Place(0, 90, False, (width, width)))
    return Pattern("herringbone", (rectangle("R", length, width),), cell, ((width, width), (length, -length)))
