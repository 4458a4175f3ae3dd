"""From rows to what lies there already: blocks with flaws or shorter than planned, and leftovers taken."""

from dataclasses import dataclass

from materials.models import Lot
from projects import advice

SAME_MM = 0.05  # strips and gaps that differ by less are one; judgement, no source
DEPTH_MM = 0.5  # finished depths that differ by less can be brought to one; judgement, no source
SHORT_MM = 1  # so much less than planned the stub of a bar and the edges take up; judgement, no source
LEAST_KEPT_MM = 100  # of an end worth keeping; judgement, no source


def stock_of(blocks, stacks, taken):
    """All that lies there for a panel: leftovers first, then blocks that are not as planned, as pure values.

    `stacks`: by the key of each block its pure stack; `taken`: leftovers as a design keeps them.
    """
    left = [leftover_of(one, stacks.values()) for one in taken]
    marked = [
        real_block(block, stacks[str(block.key)], casting)
        for block in blocks
        for casting in castings_of(block)
    ]
    return tuple(one for one in (*left, *marked) if one is not None)


def castings_of(block):
    """Which castings of a block lie there unlike the plan: with flaws, or measured shorter or narrower."""
    return sorted({flaw.casting for flaw in flaws_of(block)} | ({1} if shorter(block) else set()))


def flaws_of(block):
    """The kept flaws of a block, asked for once."""
    if not hasattr(block, "kept_flaws"):
        block.kept_flaws = list(block.flaws.kept().in_order())
    return block.kept_flaws


def real_block(block, stack, casting):
    """One casting of a block as it lies there, with its flaws."""
    from projects.geometry.stock import Stock

    length, width = size_of(block, casting)
    spots = tuple(spot_of(flaw) for flaw in flaws_of(block) if flaw.casting == casting)
    return Stock(
        key=name_of(block, casting), stack=stack, length_mm=length, width_mm=width, edge_mm=stack.edge_mm,
        spots=spots, cast=True,
    )  # fmt: skip


def pictures(block, casting=1, new=None):
    """One casting from above with its flaws, and with one that is about to be marked."""
    from projects.geometry.flaw_drawing import flaws_svg
    from workshop.drawn import drawn

    real = real_block(block, advice.stack_of(advice.values_of(block)), casting)
    return {media: drawn(flaws_svg(real, media, new)) for media in ("narrow", "wide")}


def name_of(block, casting):
    """How one casting of a block is called: Block A for the first, then Block A, casting 2."""
    return str(block) if casting == 1 else f"{block}, casting {casting}"


def size_of(block, casting=1):
    """Length and width of a block; the first casting as measured, where that is less than planned."""
    planned, found = planned_size(block), measured_size(block) if casting == 1 else (None, None)
    return tuple(min(plan, real or plan) for plan, real in zip(planned, found, strict=True))


def planned_size(block):
    """Length and width of a block as planned."""
    return block.length_mm, advice.stack_of(advice.values_of(block)).width_mm(block.strips)


def measured_size(block):
    """Length and width of the first casting as measured out of its mould, None where nobody did."""
    return tuple((block.measured.get(name) or {}).get("measured") for name in ("length_mm", "width_mm"))


def shorter(block):
    """By words, measured and planned of a block where it came out less than planned; empty otherwise."""
    pairs = zip(("long", "wide"), measured_size(block), planned_size(block), strict=True)
    return [(word, real, plan) for word, real, plan in pairs if real and plan - real > SHORT_MM]


def spot_of(flaw):
    """A flaw as a rectangle."""
    from projects.geometry.stock import Spot

    half, side = flaw.length_mm / 2, flaw.width_mm / 2
    along, across = flaw.along_mm, flaw.across_mm
    return Spot(along - half, along + half, across - side, across + side)


def leftover_of(one, stacks):
    """A leftover as it lies there, or None where no block of the panel has its stripes."""
    from projects.geometry.stock import Stock

    for stack in stacks:
        if same_stripes(one, stack):
            return Stock(one["code"], stack, one["length_mm"], one["width_mm"], 0.0, one["phase_mm"])
    return None


def same_stripes(one, stack):
    """Whether strips, gaps and depth are those of a stack."""
    pairs = (
        (one["strip_mm"], stack.strip_mm, SAME_MM),
        (one["gap_mm"], stack.gap_mm, SAME_MM),
        (one["thickness_mm"], stack.depth_mm, DEPTH_MM),
    )
    return all(value is not None and abs(value - wanted) <= near for value, wanted, near in pairs)


def taken_of(row):
    """The leftovers that a kept design cuts first."""
    return row.overrides.get("leftovers", [])


@dataclass(frozen=True)
class Fits:
    """A leftover of the shelf that serves a panel: the pieces it gives, how far its lines lie off."""

    lot: Lot
    pieces: int
    of_piece: str
    off_mm: float
    unmeasured: bool

    @property
    def is_off(self):
        """Whether its lines lie visibly beside those of the panel."""
        return self.off_mm > SAME_MM


def fitting(kept):
    """The leftovers of the shelf that give pieces for a panel, those with the most pieces first."""
    from projects.geometry.stock import taken
    from projects.panel.design import planned

    woods = {block.species_id for block in kept.blocks if block.species_id}
    rows = Lot.objects.of(kept.row.shop).here().some_left().filter(kind=Lot.Kind.LEFTOVER)
    found = []
    for lot in rows.filter(species__in=woods).with_names().order_by("code", "pk")[:MOST_LEFTOVERS]:
        one = {name: getattr(lot, name) for name in FIGURES} | {"code": lot.code}
        stock = leftover_of(one, kept.design.stacks)
        for _, lanes in taken(planned(kept.design).jobs, [stock] if stock else [], kept.design.saw):
            job, lane = lanes[0]
            found.append(
                Fits(
                    lot=lot,
                    pieces=sum(lane.pieces for _, lane in lanes),
                    of_piece=job.shape.name,
                    off_mm=stock.off_mm(lane.offset_mm, job.shape),
                    unmeasured=lot.phase_mm is None,
                )
            )
    return sorted(found, key=lambda one: (one.is_off, -one.pieces))


FIGURES = ("strip_mm", "gap_mm", "thickness_mm", "length_mm", "width_mm", "phase_mm")
MOST_LEFTOVERS = 60  # of one wood that a page looks through


@dataclass(frozen=True)
class Kept:
    """What the cutting leaves that is worth keeping."""

    place: int
    bar: int
    number: int
    block: str
    length_mm: float
    width_mm: float
    phase_mm: float
    strip_mm: float
    gap_mm: float
    depth_mm: float

    @property
    def name(self):
        """How its place in the plan is said."""
        return f"bar {self.bar}" if self.bar else f"the width left of {self.block}"

    @property
    def by_number(self):
        """How tickets said it of a block that had no letter yet."""
        return self.name if self.bar else f"the width left of block {self.number}"


def left_over(design, letters):
    """The ends and widths that the cutting leaves, the longest first; `letters` of the plan's blocks."""
    from projects.geometry.leftovers import leftovers
    from projects.panel.design import planned
    from projects.panel.named import short_name

    plan = planned(design)
    names = {block.number: short_name(block, letters) for block in plan.blocks}
    return [
        Kept(
            place, left.bar, left.block, names[left.block], left.length_mm, left.width_mm,
            left.first_line_mm, left.strip_mm, left.gap_mm, left.depth_mm,
        )
        for place, left in enumerate(leftovers(plan, LEAST_KEPT_MM), start=1)
    ]  # fmt: skip
