"""What a block is cast from: how many the panel takes, strips from the shelf, combs, mass."""

import math
from dataclasses import dataclass

from materials import advice as shelf_advice
from materials.buying import unfit
from materials.models import Lot, Reading
from materials.science.errors import OutOfRange
from projects import advice
from projects.panel.design import cast_of, planned
from projects.panel.named import rows_of_plan
from projects.panel.rows import kept_of, stack_of
from projects.panel.stock import castings_of

HEAD_MM = 10  # resin higher on one side of a strip while it runs in; judgement, no source
WARM_SHARE = 0.5  # of its stiffness that a warm, freshly sealed strip keeps; from memory
BOW_SHARE = 0.1  # of the gap that a strip may bow; judgement, no source
MODULUS_GPA = 10  # of a wood whose own is not known; from memory
MOISTURE_PERCENT, SPECIFIC_GRAVITY = 8, 0.6  # of wood in a heated shop; of a wood not chosen, from memory
SEAL_MM = 0.05  # what a sealer adds on each face; common practice, no source
PLAY_MM = 0.2  # of a sealed strip in its slot, in all; common practice, no source
MOST_READINGS = 200
CLASS_MM = 0.05  # how wide a class of thicknesses is; judgement, no source
MOST_ONE_IN = 2_000  # rarer than that is said to be never
LIKELY_STRIPS = 0.5  # so many are expected to bind: then it is said as a caution (a judgement)


@dataclass(frozen=True)
class FromPanel:
    """Blocks that the panel takes, those of one size together, and the size to cast them all in."""

    blocks: int
    strips: int
    length_mm: float
    all_strips: int
    sizes: tuple
    all_ml: float
    own_strips: int | None = None
    """Strips of the one that this very block is, where the project has a block for each."""
    own_length_mm: float | None = None
    """Its length, in whole millimetres."""

    @property
    def wanted(self):
        """Strips and length of this very block, or of the largest where one block stands for all."""
        return self.own_strips or self.strips, self.own_length_mm or self.length_mm

    def fits(self, strips, length_mm):
        """Whether a block of so many strips of that length is what the panel takes."""
        return self.wanted == (strips, length_mm)


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
    ends_in_strips: float = 0
    """Share of each sheet or board that becomes strips."""
    last: float = 0
    """Share of the last one's strips that are needed."""


@dataclass(frozen=True)
class Combs:
    """Where combs stand, in mm from the end of the strips, and how far apart they may."""

    places: tuple
    apart_mm: float
    bow_mm: float
    known: bool


def from_panel(kept, block):
    """What the kept panel asks of a block, or None: no panel, or none of it from this block."""
    if kept is None:
        return None
    try:
        plan = planned(kept.design)
    except OutOfRange:
        return None
    own = stack_of(advice.values_of(block), block.resin, kept.shopful.mould)
    casts = [cast for cast in plan.cast if cast.stack == own]
    if not casts:
        return None
    coming = [cast for cast in casts if cast.stock is None] or casts  # others lie there as they are
    own_strips, own_length_mm = own_size(kept, block, own)
    sizes = [(round(cast.length_mm, 1), round(cast.width_mm, 1), cast.strips) for cast in casts]
    return FromPanel(
        blocks=len(casts),
        strips=max(cast.strips for cast in coming),
        length_mm=whole_mm(max(cast.length_mm for cast in coming)),
        all_strips=sum(cast.strips for cast in casts),
        sizes=tuple((sizes.count(size), *size) for size in dict.fromkeys(sizes)),
        all_ml=sum(needed_ml(block, cast) for cast in casts),
        own_strips=own_strips,
        own_length_mm=own_length_mm,
    )


def whole_mm(length_mm):
    """A length as blocks are cast: the next whole millimetre."""
    return float(math.ceil(length_mm - 1e-9))


def needed_ml(block, cast):
    """The resin to mix for one block of the plan: rim, over-pour and losses as the kept block has them."""
    from projects.geometry.stack import Block as Cast
    from projects.geometry.stack import needed_resin

    made = Cast(cast.stack, cast.strips, cast.length_mm, block.rim_mm, block.over_mm)
    return needed_resin(made, block.film_percent, block.soak_percent).total_ml


def all_g(block, asked):
    """What all the blocks of a panel take of resin together, A and B; None without resin or panel."""
    if asked is None or block.resin is None:
        return None
    return shelf_advice.mix_of_volume(block.resin, asked.all_ml).mixed_g


def own_size(kept, block, own):
    """Strips and length of the cast that a block is; None for one that stands for all of its stack."""
    alike = [each for each in kept.blocks if each.pk == block.pk or like(kept, each, own)]
    if len(alike) < 2 or block.pk not in [each.pk for each in alike]:
        return None, None
    if castings_of(block):  # it lies there as it is
        return block.strips, block.length_mm
    rows, blocks = rows_of_plan(kept), planned(kept.design).blocks
    found = next((each for each in blocks if block.pk == getattr(rows.get(each.number), "pk", None)), None)
    return (found.strips, whole_mm(found.length_mm)) if found else (None, None)


def differing(kept):
    """The project's blocks that are not of the size that the panel takes them in."""
    found = []
    for block in kept.blocks:
        asked = from_panel(kept, block)
        stands = asked and (asked.own_strips or len(kept.blocks) == 1)
        if stands and not asked.fits(block.strips, block.length_mm):
            found.append(block)
    return found


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
        return max(0, cast_of(kept.design) - len(kept.blocks))
    except OutOfRange:
        return 0


def sources_of(block, need, saw):
    """The lots of the block's wood, with the sheets or boards that so many strips take; one question."""
    if block.species is None:
        return []
    height_mm = block.poured_mm
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
    if not found.strips:
        return Source(lot, here, 0, None, False)
    takes, last = found.sheets_for(need), found.last_fraction(need)
    return Source(
        lot, here, found.strips, takes, here >= takes, ends_in_strips=found.used_fraction, last=last
    )


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


def thicknesses_of(block):
    """The readings of a block's strips as the calculations take them, or None without two; one question."""
    from projects.geometry.strips import Thicknesses

    if block.species is None:
        return None
    read = tuple(Reading.objects.of(block.shop).thicknesses_of(block.species)[:MOST_READINGS])
    # readings of other cuts of the same wood say nothing about these strips
    own = tuple(value for value in read if abs(value - block.strip_mm) <= 0.25 * block.strip_mm)
    return Thicknesses(own) if len(own) > 1 else None


@dataclass(frozen=True)
class Binding:
    """Whether strips go into their slots: by how many readings, one strip's chance to bind, any strip's."""

    readings: int
    mean_mm: float
    spread_mm: float
    chance: float
    one_in: int | None
    expected: float
    any_chance: float
    classes: tuple

    @property
    def is_likely(self):
        """Whether a strip of the block is more likely to bind than not, as the readings have it."""
        return self.expected > LIKELY_STRIPS


def binding_of(block, actual, slot_mm, seal_mm):
    """How likely strips bind in a comb's slots, and their readings in classes; None without readings."""
    from projects.geometry.strips import any_binds

    if actual is None:
        return None
    chance = actual.binding_chance(slot_mm, seal_mm)
    classes = actual.classes(CLASS_MM)
    return Binding(
        readings=len(actual.readings_mm),
        mean_mm=actual.mean_mm,
        spread_mm=actual.spread_mm,
        chance=chance,
        one_in=round(1 / chance) if chance > 1 / MOST_ONE_IN else None,
        expected=chance * block.strips,
        any_chance=any_binds(chance, block.strips),
        classes=tuple(
            (middle, len(own), middle + CLASS_MM / 2 + 2 * seal_mm > slot_mm)
            for middle, own in classes.items()
        ),
    )
