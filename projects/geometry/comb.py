"""Combs that hold the strips at their pitch, as drawings to cut or print.

A comb lies in its own frame: x along it, y from its back (0) to the tips of its teeth, z its thickness.
`clearance_mm` is the play of a strip in its slot in all, twice the figure per side. The slot takes the
sealed strip.
"""

import math
from dataclasses import dataclass, replace

from materials.science.errors import OutOfRange, checked
from workshop.drawing.svg import element, figure, fill, picture

# a printed tooth thinner than this breaks (judgement, no source)
THIN_TOOTH_MM = 0.8
MOST_SLOTS = 5_000
Corner = tuple[float, float]


@dataclass(frozen=True)
class Comb:
    """A comb with as many slots as its bed is long enough for.

    Parameters: strip_mm and gap_mm, of the stack, the strip as it is when sealed; clearance_mm, the play of
    a strip in its slot in all; bed_mm, the longest comb the printer or cutter makes; tooth_mm, length of
    the teeth; base_mm, height of the back; thickness_mm; scale_error_percent, by how much the machine's
    pieces come out too long (less than 0: too short): it does not change the drawing.
    Raises: OutOfRange, also where no tooth or no slot is left.
    Source: geometry; needs none.

    >>> comb = Comb(2, 2, 0.2, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3, scale_error_percent=0.3)
    >>> comb.slots, comb.teeth, round(comb.length_mm, 9), round(comb.drift_mm, 3), comb.binds_after
    (44, 45, 177.8, 0.528, 16)
    """

    strip_mm: float
    gap_mm: float
    clearance_mm: float
    bed_mm: float
    tooth_mm: float
    base_mm: float
    thickness_mm: float
    scale_error_percent: float = 0

    def __post_init__(self) -> None:
        for name in ("strip_mm", "gap_mm", "bed_mm", "tooth_mm", "base_mm", "thickness_mm"):
            checked(name, getattr(self, name), 0.01, 10_000, "mm")
        checked("clearance_mm", self.clearance_mm, 0, 10_000, "mm")
        checked("scale_error_percent", self.scale_error_percent, -5, 5, "%")
        if self.clearance_mm >= self.gap_mm:  # the slots would run into each other
            raise OutOfRange("clearance_mm", self.clearance_mm, 0, self.gap_mm, "mm")
        checked("bed_mm", self.bed_mm, self.pitch_mm + self.tooth_width_mm, 10_000, "mm")
        checked("slots", self.slots, 1, MOST_SLOTS, "slots")

    @property
    def pitch_mm(self) -> float:
        """From slot to slot, in mm."""
        return self.strip_mm + self.gap_mm

    @property
    def slot_mm(self) -> float:
        """The width of a slot, in mm."""
        return self.strip_mm + self.clearance_mm

    @property
    def tooth_width_mm(self) -> float:
        """The width of a tooth, in mm."""
        return self.gap_mm - self.clearance_mm

    @property
    def slots(self) -> int:
        """How many strips it holds."""
        return math.floor((self.bed_mm - self.tooth_width_mm) / self.pitch_mm + 1e-9)

    @property
    def teeth(self) -> int:
        """How many teeth it has: one more than slots."""
        return self.slots + 1

    @property
    def length_mm(self) -> float:
        """Its length, in mm."""
        return self.slots * self.pitch_mm + self.tooth_width_mm

    @property
    def area_mm2(self) -> float:
        """The area of its outline."""
        return self.length_mm * self.base_mm + self.teeth * self.tooth_width_mm * self.tooth_mm

    @property
    def volume_mm3(self) -> float:
        """Its volume."""
        return self.area_mm2 * self.thickness_mm

    @property
    def drift_mm(self) -> float:
        """How far the machine's error moves the last slot, in mm."""
        return self.slots * self.pitch_mm * self.scale_error_percent / 100

    @property
    def binds_after(self) -> int | None:
        """After how many slots a straight strip across two such errors' combs binds; None: never."""
        step = self.pitch_mm * abs(self.scale_error_percent) / 100
        return math.floor(self.clearance_mm / step + 1e-9) if step else None

    def outline(self) -> list[Corner]:
        """Its corners, counter-clockwise from the back's left end, four for each tooth.

        >>> comb = Comb(2, 2, 0.2, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3)
        >>> len(comb.outline()), comb.outline()[:2] == [(0.0, 0.0), (comb.length_mm, 0.0)]
        (180, True)
        """
        tip = self.base_mm + self.tooth_mm
        corners = [(0.0, 0.0), (self._x[-1], 0.0)]
        for tooth in reversed(range(self.teeth)):
            left, right = self._x[2 * tooth], self._x[2 * tooth + 1]
            corners += [(right, self.base_mm)] if tooth < self.slots else []
            corners += [(right, tip), (left, tip)]
            corners += [(left, self.base_mm)] if tooth else []
        return corners

    @property
    def _x(self) -> list[float]:
        """Where teeth begin and end, from left to right."""
        wide = self.tooth_width_mm
        return [n * self.pitch_mm + end for n in range(self.teeth) for end in (0.0, wide)]

    def svg(self) -> str:
        """The comb in true size for a cutter: one drawing unit is one millimetre.

        >>> Comb(2, 2, 0.2, 20, 8, 6, 3).svg().split('aria-label="')[1].split('"')[0]
        'A comb of 4 slots of 2.2 mm at a pitch of 4 mm, 17.8 mm long, 14 mm high.'
        """
        high = self.base_mm + self.tooth_mm
        corners = "L".join(f"{x:.6g} {high - y:.6g}" for x, y in self.outline())
        said = (
            f"A comb of {self.slots} slots of {figure(self.slot_mm)} mm at a pitch of "
            f"{figure(self.pitch_mm)} mm, {figure(self.length_mm)} mm long, {figure(high)} mm high."
        )
        shape = element("path", d=f"M{corners}z", **fill("strip", outline="ink", width=0.1))
        wide, tall = f"{self.length_mm:.6g}mm", f"{high:.6g}mm"
        return picture(
            (self.length_mm, high), shape, sentence=said, class_="draw comb", width=wide, height=tall
        )

    def dxf(self) -> str:
        """The comb as a DXF drawing in millimetres: one closed line on layer COMB.

        Raises: ImportError where ezdxf is not installed.

        >>> Comb(2, 2, 0.2, 20, 8, 6, 3).dxf().count("LWPOLYLINE")
        1
        """
        from projects.geometry.comb_files import dxf

        return dxf(self.outline())

    def stl(self) -> bytes:
        """The comb as a watertight body in millimetres (binary STL).

        >>> len(Comb(2, 2, 0.2, 20, 8, 6, 3).stl())
        5884
        """
        from projects.geometry.comb_files import stl

        return stl(self._x, self.base_mm, self.base_mm + self.tooth_mm, self.thickness_mm)

    def check(self) -> list[str]:
        """What speaks against the comb, in words; nothing if nothing does.

        >>> Comb(0.6, 0.9, 0.2, 180, 8, 6, 3).check()
        ['A tooth is only 0.7 mm wide: under 0.8 mm it breaks easily.']
        """
        found = []
        if self.tooth_width_mm < THIN_TOOTH_MM - 1e-9:
            wide, least = figure(self.tooth_width_mm), figure(THIN_TOOTH_MM)
            found.append(f"A tooth is only {wide} mm wide: under {least} mm it breaks easily.")
        if self.clearance_mm == 0:
            found.append("A strip has no play in its slot: it will not go in.")
        if self.binds_after is not None and self.binds_after < self.slots:
            found.append(
                f"Strips bind after {self.binds_after} slots: the machine's error has then used up the play. "
                "Take all combs of a block from one machine, where the error only makes the block grow."
            )
        return found


def combs_across(strips: int, comb: Comb) -> int:
    """How many combs stand side by side to hold the strips of a block.

    Parameters: strips, of the block; comb.
    Returns: a number of combs.
    Raises: OutOfRange.

    >>> combs_across(50, Comb(2, 2, 0.2, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3))
    2
    """
    checked("strips", strips, 1, 10_000, "strips")
    return -(-strips // comb.slots)


def side_by_side(strips: int, comb: Comb) -> list[Comb]:
    """The combs that stand side by side at one place, with no more slots than there are strips.

    Parameters: strips, of the block; comb, the longest that the machine makes.
    Returns: combs that differ by one slot at most, the longer ones first.
    Raises: OutOfRange.
    Source: arithmetic; needs none.

    >>> longest = Comb(2, 2, 0.2, bed_mm=180, tooth_mm=8, base_mm=6, thickness_mm=3)
    >>> [each.slots for each in side_by_side(18, longest)], [each.slots for each in side_by_side(51, longest)]
    ([18], [26, 25])
    """
    fewest, more = divmod(strips, across := combs_across(strips, comb))
    return [_with_slots(comb, fewest + (place < more)) for place in range(across)]


def row_length_mm(combs: list[Comb]) -> float:
    """How long combs of one place are together, each with its first tooth over the last one's.

    Butted, they would leave a gap of two teeth between two of them.

    Parameters: combs, of one pitch and tooth.
    Returns: mm.
    Source: geometry; needs none.

    >>> round(row_length_mm(side_by_side(50, Comb(2, 2, 0.2, 180, 8, 6, 3))), 9)
    201.8
    """
    return sum(comb.slots * comb.pitch_mm for comb in combs) + combs[0].tooth_width_mm


def _with_slots(comb: Comb, slots: int) -> Comb:
    """The same comb, only as long as so many slots are."""
    return replace(comb, bed_mm=slots * comb.pitch_mm + comb.tooth_width_mm)


def slot_for_mm(strip_mm: float, variation_mm: float, per_side_mm: float) -> float:
    """The width of a slot for strips that are not all alike.

    Parameters: strip_mm, as it is when sealed; variation_mm, by how much the thickest is thicker;
    per_side_mm, the play on each side.
    Returns: mm.
    Raises: OutOfRange.
    Source: arithmetic; needs none.

    >>> round(slot_for_mm(0.6, 0.03, 0.1), 9)
    0.83
    """
    checked("strip_mm", strip_mm, 0.01, 10_000, "mm")
    checked("variation_mm", variation_mm, 0, 10_000, "mm")
    return strip_mm + variation_mm + 2 * checked("per_side_mm", per_side_mm, 0, 100, "mm")
