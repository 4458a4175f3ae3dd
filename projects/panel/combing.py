"""The usual comb of a block: its figures before anybody types, and the combs that it makes."""

from dataclasses import dataclass

from materials.science.errors import OutOfRange
from projects.panel.casting import PLAY_MM, SEAL_MM, combs_for

USUAL = {
    "seal_mm": SEAL_MM, "clearance_mm": PLAY_MM, "bed_mm": 180.0, "base_mm": 6.0, "thickness_mm": 3.0,
    "scale_error_percent": 0.0,
}  # fmt: skip
TOOTH_MM = 8.0


@dataclass(frozen=True)
class Usual:
    """The usual combs of a block: all of them, those of one place, and where the places are."""

    many: int
    slots: tuple
    slot_mm: float
    places_mm: tuple


def usual(block, printer):
    """Before anybody types: the shop's printer, teeth no longer than half a strip is high."""
    bed = {"bed_mm": printer.bed_mm} if printer and printer.bed_mm else {}
    tooth = min(TOOTH_MM, block.poured_mm / 2)
    return {**USUAL, **bed, "tooth_mm": tooth}


def made_of(block, values):
    """The combs of one place from what a comb is made of. Raises OutOfRange."""
    from projects.geometry.comb import Comb, side_by_side

    values = dict(values)
    strip_mm = block.strip_mm + 2 * values.pop("seal_mm")
    gap_mm = block.strip_mm + block.gap_mm - strip_mm
    return side_by_side(block.strips, Comb(strip_mm, gap_mm, **values))


def usual_combs(block, printer):
    """The usual combs of a block; None where none can be made."""
    try:
        combs = made_of(block, usual(block, printer))
    except OutOfRange:
        return None
    places = combs_for(block).places
    return Usual(len(combs) * len(places), tuple(each.slots for each in combs), combs[0].slot_mm, places)
