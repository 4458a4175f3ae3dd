"""Stars of eight rhombi, with squares and triangles between their points."""

import math

from projects.geometry.patterns.base import (
    Pattern,
    Ring,
    around,
    isosceles,
    laid,
    rectangle,
    rhombus,
    size,
    turned,
)


def star8(side_mm: float) -> Pattern:
    """Stars with eight points; every other rhombus lies face down.

    Parameters: side_mm, of each rhombus.
    Raises: OutOfRange.

    >>> star8(30).counts(), round(star8(30).cell_area_mm2, 4)
    ({'R': 8, 'Q': 4, 'T': 4}, 10491.1688)
    """
    side = size("side_mm", side_mm)
    long = math.sqrt(2) * side
    shapes = (rhombus("R", side, 45), rectangle("Q", side, side), isosceles("T", long, 45))
    cell = [
        *(laid(0, 90 * turn + 90 * down, face_down=bool(down)) for turn in range(4) for down in (0, 1)),
        *around(1, 4, out=turned(45, (side, 0))),
        *around(2, 4, corner=(long / 2, long / 2), out=(side, 0), turn_deg=90),
    ]
    repeat = 2 * side + long
    return Pattern("star8", shapes, tuple(cell), ((repeat, 0), (0, repeat)), Ring(8, side, 1))
