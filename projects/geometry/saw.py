"""What a shop's saw takes away, and how exact it is."""

import math
from dataclasses import dataclass

from materials.science.errors import OutOfRange, checked

MOST_PIECES = 10_000


@dataclass(frozen=True)
class Saw:
    """A saw with its stops and gauge.

    Parameters: kerf_mm, the width of its cut; trim_mm, what squaring a bar's end takes; hold_mm, the stub
    at the other end that can't be cut (it is no safe distance for fingers); test_cuts, pieces cut for
    trial of each shape; spare_fraction, spare pieces as a share of those needed; angle_error_deg and
    length_error_mm, how far gauge and stop may be off; true_mm, what jointing takes off each sawn edge.
    Raises: OutOfRange.

    >>> Saw().kerf_mm, Saw(kerf_mm=1.2).slot_mm(30)
    (2, 2.4)
    """

    kerf_mm: float = 2
    trim_mm: float = 3
    hold_mm: float = 40
    test_cuts: int = 2
    spare_fraction: float = 0.05
    angle_error_deg: float = 0.1
    length_error_mm: float = 0.1
    true_mm: float = 0

    def __post_init__(self) -> None:
        checked("kerf_mm", self.kerf_mm, 0, 20, "mm")
        checked("trim_mm", self.trim_mm, 0, 1_000, "mm")
        checked("hold_mm", self.hold_mm, 0, 1_000, "mm")
        checked("test_cuts", self.test_cuts, 0, 100, "pieces")
        if self.test_cuts != int(self.test_cuts):
            raise OutOfRange("test_cuts", self.test_cuts, 0, 100, "pieces")
        checked("spare_fraction", self.spare_fraction, 0, 1, "")
        checked("angle_error_deg", self.angle_error_deg, 0, 10, "°")
        checked("length_error_mm", self.length_error_mm, 0, 10, "mm")
        checked("true_mm", self.true_mm, 0, 10, "mm")

    @property
    def between_mm(self) -> float:
        """What lies between two finished bars of a block, in mm: the cut, and what trues its two sides.

        >>> Saw().between_mm, Saw(true_mm=0.5).between_mm
        (2, 3.0)
        """
        return self.kerf_mm + 2 * self.true_mm

    def slot_mm(self, angle_deg: float) -> float:
        """The width of a cut measured along the bar, in mm, for a cut at an angle to the bar's edge.

        >>> round(Saw().slot_mm(45), 4)
        2.8284
        """
        return round(self.kerf_mm / math.sin(math.radians(angle_deg)), 12)


def gauge_deg(angle_deg: float) -> float:
    """How far the gauge is turned away from a square cut.

    Parameters: angle_deg, between the cut and the bar's edge.
    Returns: degrees; 0 is a square cut.
    Raises: OutOfRange.
    Valid for: vertical cuts, the blade not tilted.
    Source: geometry; needs none.

    >>> gauge_deg(60), gauge_deg(120), gauge_deg(90)
    (30, 30, 0)
    """
    return abs(90 - checked("angle_deg", angle_deg, 0.01, 179.99, "°"))


def mitre_deg(pieces: int) -> float:
    """The mitre at each end of the pieces of a closed frame of equal sides.

    Parameters: pieces, sides of the frame.
    Returns: degrees from a square cut.
    Raises: OutOfRange.
    Source: geometry; needs none.

    >>> mitre_deg(6)
    30.0
    """
    return 180 / checked("pieces", pieces, 3, MOST_PIECES, "pieces")


def interior_deg(pieces: int) -> float:
    """The angle between two sides of a closed frame of equal sides.

    Parameters: pieces, sides of the frame.
    Returns: degrees.
    Raises: OutOfRange.
    Source: geometry; needs none.

    >>> interior_deg(6)
    120.0
    """
    return 180 - 2 * mitre_deg(pieces)


def side_mm(pieces: int, apothem_mm: float) -> float:
    """The side of an equal-sided figure from the distance between its middle and a side.

    Parameters: pieces, how many sides; apothem_mm, that distance.
    Returns: mm.
    Raises: OutOfRange.
    Source: geometry; needs none.

    >>> round(side_mm(6, 100), 2)
    115.47
    """
    checked("apothem_mm", apothem_mm, 0.01, 10_000, "mm")
    return 2 * apothem_mm * math.tan(math.radians(mitre_deg(pieces)))


def pieces_from(length_mm: float, piece_mm: float, kerf_mm: float) -> int:
    """How many square pieces come from a length that has both ends ready.

    Parameters: length_mm, the length at hand; piece_mm, each piece; kerf_mm, between two of them.
    Returns: whole pieces.
    Raises: OutOfRange.
    Source: arithmetic; needs none.

    >>> pieces_from(600, 40, 3.175)
    13
    """
    checked("length_mm", length_mm, 0, 100_000, "mm")
    checked("piece_mm", piece_mm, 0.01, 100_000, "mm")
    checked("kerf_mm", kerf_mm, 0, 20, "mm")
    return math.floor((length_mm + kerf_mm) / (piece_mm + kerf_mm) + 1e-9)


def five_cut_error_deg(first_mm: float, last_mm: float, length_mm: float) -> float:
    """The error of a square cut, from a board cut on all four sides and then a strip off the first side.

    Parameters: first_mm and last_mm, the strip's width at its two ends; length_mm, its length.
    Returns: degrees per cut; the sign says which way.
    Raises: OutOfRange.
    Valid for: four cuts with one and the same gauge setting, the fifth giving the strip.
    Source: geometry of the five-cut test (common practice).

    >>> round(five_cut_error_deg(20.1, 20.0, 400), 5)
    0.00358
    """
    for name, value in (("first_mm", first_mm), ("last_mm", last_mm)):
        checked(name, value, 0.01, 10_000, "mm")
    checked("length_mm", length_mm, 1, 10_000, "mm")
    return math.degrees(math.atan((first_mm - last_mm) / (4 * length_mm)))
