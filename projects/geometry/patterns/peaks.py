"""Rows of peaks, each of two right triangles, with the sky between them in whole triangles."""

import math

from projects.geometry.patterns.base import Pattern, Place, isosceles, right_triangle, size


def peaks(base_mm: float, height_mm: float) -> Pattern:
    """Peaks of two mirrored halves, each row shifted by half a base.

    Parameters: base_mm, foot of a peak; height_mm.
    Raises: OutOfRange.

    >>> peaks(60, 52).counts(), peaks(60, 52).cell_area_mm2
    ({'R': 2, 'S': 1}, 3120.0)
    """
    base, height = size("base_mm", base_mm), size("height_mm", height_mm)
    slope = math.degrees(math.atan2(2 * height, base))
    shapes = (right_triangle("R", base / 2, height), isosceles("S", base, slope))
    cell = (
        Place(0, slope, True, (0, 0)),
        Place(0, 180 - slope, False, (base, 0)),
        Place(1, 180, False, (1.5 * base, height)),
    )
    return Pattern("peaks", shapes, cell, ((base, 0), (base / 2, height)))
