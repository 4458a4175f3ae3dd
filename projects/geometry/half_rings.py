"""Rings glued as two halves: how fat their points are cut, and what truing the diameter takes off.

Points that are all a hair fat make each half a little more than half a circle. Truing its straight side then
takes a wedge off: nothing at the middle, which stays where it is, most at the rim.
"""

import math
from typing import NamedTuple

from materials.science.errors import OutOfRange, checked


class Truing(NamedTuple):
    """How two halves of a ring are cut, and what truing takes off each of their faces.

    Parameters: gauge_deg, by how much each cut makes the points blunter; face_mm, off each face at the rim
    if the cuts come out as set; most_mm, if the saw errs to the fat side; longer, the factor by which the
    long edge of a piece grows whose corner in the middle is made by two cuts (1 where by one).

    >>> Truing(0.1, 0.52, 1.05, 1.004).gauge_deg
    0.1
    """

    gauge_deg: float
    face_mm: float
    most_mm: float
    longer: float


def half_ring_truing(pieces: int, radius_mm: float, error_deg: float, faces: int = 2) -> Truing:
    """What to allow so that no half of a ring comes out lean, and truing its diameter keeps the middle.

    Parameters: pieces, in the whole ring, an even number; radius_mm, to its rim; error_deg, of the gauge;
    faces, how many cuts make the corner in the middle, as for ring_gap.
    Returns: a Truing. With no error nothing is to be trued.
    Raises: OutOfRange, also for a ring that has no two halves.
    Valid for: one gauge setting for all cuts, off by no more than error_deg either way.
    Source: geometry; needs none. [derived: nobody has sawn it]

    >>> found = half_ring_truing(6, 100, 0.1)
    >>> found.gauge_deg, round(found.face_mm, 4), round(found.most_mm, 4), round(found.longer, 5)
    (0.1, 0.5236, 1.0472, 1.00403)
    """
    if pieces % 2:
        raise OutOfRange("half_ring_pieces", pieces / 2, 2, 500, "pieces")
    checked("half_ring_pieces", pieces / 2, 2, 500, "pieces")
    checked("radius_mm", radius_mm, 0.01, 100_000, "mm")
    checked("error_deg", error_deg, 0, 10, "°")
    checked("faces", faces, 1, 2, "cuts")
    # of what both halves are too fat, each of the four faces takes a quarter
    over = math.radians(min(faces * pieces * error_deg, 180) / 4)
    corner = math.pi / pieces
    longer = math.tan(corner + math.radians(error_deg)) / math.tan(corner) if faces == 2 else 1.0
    return Truing(error_deg, radius_mm * math.sin(over), radius_mm * math.sin(2 * over), longer)
