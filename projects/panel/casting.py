"""What a block is cast from: how many the panel takes, strips from the shelf, combs, mass, expected width."""

import math
from dataclasses import dataclass

from materials import advice as shelf_advice
from materials.buying import unfit
from materials.models import Lot, Reading
from materials.science.errors import OutOfRange
from projects import advice
from projects.panel.design import planned
from projects.panel.rows import kept_of, stack_of

HEAD_MM = 10  # resin higher on one side of a strip while it runs in; judgement, no source
WARM_SHARE = 0.5  # of its stiffness that a warm, freshly sealed strip keeps; from memory
BOW_SHARE = 0.1  # of the gap that a strip may bow; judgement, no source
MODULUS_GPA = 10  # of a wood whose own is not known; from memory
MOISTURE_PERCENT, SPECIFIC_GRAVITY = 8, 0.6  # of wood in a heated shop; of a wood not chosen, from memory
SEAL_MM = 0.05  # what a sealer adds on each face; common practice, no source
MOST_READINGS = 200


@dataclass(frozen=True)
class FromPanel:
    """Blocks that the panel takes, those of one size together, and the size to cast them all in."""

    blocks: int
    strips: int
    length_mm: float
    all_strips: int
    sizes: tuple
    own_strips: int | None = None
    """Strips of the one that this very block is, where the project has a block for each."""


@dataclass(frozen=True)
class Source:
    """A lot that strips can come from: what one sheet or board gives and how many it takes."""

    lot: Lot
    here: int
    gives: int | None
    takes: int | None
    enough: bool
    unfit: str = ""
    """Why strips that lie there will not do."""


@dataclass(frozen=True)
class Combs:
    """Where combs stand, in mm from the end of the strips, and how far apart they may."""

    places: tuple
    apart_mm: float
    bow_mm: float
    known: bool


@dataclass(frozen=True)
class Width:
    """How wide the stack comes out with combs and with spacers, and from how many readings."""

    combs: object
    spacers: object
    readings: int
    mean_mm: float


def from_panel(kept, block):
    """What the kept panel asks of a block, or None: no panel, or none of it from this block."""
    if kept is None:
        return None
    try:
        plan = planned(kept.design)
    except OutOfRange:
        return None
    own = stack_of(advice.values_of(block), block.resin, kept.shopful.mould)
    casts = [cast for cast in plan.blocks if cast.stack == own]
    if not casts:
        return None
    sizes = [(round(cast.length_mm, 1), round(cast.width_mm, 1), cast.strips) for cast in casts]
    return FromPanel(
        blocks=len(casts),
        strips=max(cast.strips for cast in casts),
        length_mm=float(math.ceil(max(cast.length_mm for cast in casts) - 1e-9)),
        all_strips=sum(cast.strips for cast in casts),
        sizes=tuple((sizes.count(size), *size) for size in dict.fromkeys(sizes)),
        own_strips=own_strips(kept, block, own, casts),
    )


def own_strips(kept, block, own, casts):
    """The strips of the cast that a block stands for: the second block of its kind for the second cast."""
    alike = [each for each in kept.blocks if each.pk == block.pk or like(kept, each, own)]
    if len(alike) < 2 or block.pk not in [each.pk for each in alike]:
        return None
    number = [each.pk for each in alike].index(block.pk)
    return casts[number].strips if number < len(casts) else None


def like(kept, block, own):
    """Whether a block of the project is cast of the same stack."""
    return stack_of(advice.values_of(block), block.resin, kept.shopful.mould) == own


def more_blocks(project):
    """How many blocks the kept panel takes beyond those that the project has; 0 without a panel."""
    return more_of(kept_of(project))


def more_of(kept):
    """The same of a kept design, or None."""
    if kept is None:
        return 0
    try:
        return max(0, len(planned(kept.design).blocks) - len(kept.blocks))
    except OutOfRange:
        return 0


def sources_of(block, need, saw):
    """The lots of the block's wood, with the sheets or boards that so many strips take; one question."""
    if block.species is None:
        return []
    height_mm = block.finished_mm + 2 * block.flatten_mm
    strip = (block.length_mm, height_mm, block.strip_mm)
    return [source(lot, strip, need, saw) for lot in Lot.objects.of(block.shop).of_wood(block.species)]


def source(lot, strip, need, saw):
    """What one lot gives of strips (length, height, thickness)."""
    from projects.geometry.strips import from_board, from_sheet

    here = int(lot.on_hand_thousandths // 1000)
    if lot.unit == Lot.Unit.STRIP:
        long, high, thick = strip
        why = unfit((lot.thickness_mm, lot.width_mm, lot.length_mm), (thick, high, long))
        return Source(lot, here, None, need, here >= need and not why, why)
    sizes = (lot.length_mm, lot.width_mm, lot.thickness_mm)
    if lot.unit != Lot.Unit.PIECE or not all(sizes):
        return Source(lot, here, None, None, False)
    if lot.kind == Lot.Kind.SAWN:
        found = from_board(sizes, strip, saw.kerf_mm)
    else:
        found = from_sheet(sizes[:2], strip[:2])
    takes = found.sheets_for(need) if found.strips else None
    return Source(lot, here, found.strips, takes, takes is not None and here >= takes)


def combs_for(block):
    """Where combs have to stand so that strips bow no more than a tenth of the gap."""
    from materials.science.wood.strips import bow_mm, largest_span_mm

    modulus = block.species and block.species.modulus_gpa
    stiff_gpa = WARM_SHARE * (modulus or MODULUS_GPA)
    apart = largest_span_mm(block.strip_mm, HEAD_MM, stiff_gpa, BOW_SHARE * block.gap_mm)
    spans = max(1, math.ceil(block.length_mm / apart - 1e-9))
    span = block.length_mm / spans
    return Combs(
        places=tuple(span * n for n in range(spans + 1)),
        apart_mm=apart,
        bow_mm=bow_mm(block.strip_mm, span, HEAD_MM, stiff_gpa),
        known=bool(modulus),
    )


def mass_g(block):
    """What the cast block weighs, rim and over-pour included; None without a resin."""
    from materials.science.wood.species import density_kg_m3

    if block.resin is None:
        return None
    made = advice.block_of(advice.values_of(block), advice.stack_of(advice.values_of(block)))
    gravity = (block.species and block.species.specific_gravity) or SPECIFIC_GRAVITY
    wood_g = made.wood_ml * density_kg_m3(gravity, MOISTURE_PERCENT) / 1000
    return wood_g + shelf_advice.mix_of_volume(block.resin, made.resin_ml).mixed_g


def width_of(block):
    """How wide the stack comes out by the readings of its wood, or None without two; one question."""
    from projects.geometry.strips import Thicknesses, stack_growth

    if block.species is None:
        return None
    read = tuple(Reading.objects.of(block.shop).thicknesses_of(block.species)[:MOST_READINGS])
    # readings of other cuts of the same wood say nothing about these strips
    own = tuple(value for value in read if abs(value - block.strip_mm) <= 0.25 * block.strip_mm)
    if len(own) < 2:
        return None
    stack, actual = advice.stack_of(advice.values_of(block)), Thicknesses(own)
    combs, spacers = (
        stack_growth(stack, block.strips, actual, SEAL_MM, gaps_held=held) for held in (False, True)
    )
    return Width(combs, spacers, len(own), actual.mean_mm)
