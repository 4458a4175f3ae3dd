"""The figures of the Panel page, and what each rule for lines costs."""

from dataclasses import dataclass, replace
from functools import lru_cache

from materials.science.errors import OutOfRange
from projects.panel.design import (
    SLIVER,
    calm_origin,
    cast_of,
    laid_out,
    pattern_of,
    planned,
    seams_of,
    trouble,
)
from projects.panel.patterns import made

MOISTURE_SWING_PERCENT = 4  # points of moisture between a heated winter and summer; from memory
SAME_MM = 0.005  # finer than any saw is set


@dataclass(frozen=True)
class Counts:
    """What a panel takes: pieces, bars, blocks, resin in the gaps; what stands out at its frame."""

    pieces: int
    clipped: int
    slivers: int
    bars: int
    blocks: int
    gaps_ml: float
    shortest_mm: float
    calm: tuple | None
    calm_clipped: int
    calm_slivers: int


@dataclass(frozen=True)
class Rule:
    """One rule for lines, at the sizes that keep it best: what it does and what it costs."""

    name: str
    keeps: bool
    sizes: dict
    bar_mm: float
    pitches: float
    rim_jump_mm: float
    shift_mm: float
    bars: int | None
    wood_mm2: float
    more_wood: float | None
    others: bool


@lru_cache(maxsize=48)
def counts_of(design):
    """The counts of a design that can be made."""
    panel, plan, calm = laid_out(design), planned(design), calm_origin(design)
    slivers, clipped = (0, 0) if calm is None else trouble(laid_out(replace(design, origin=calm)))
    return Counts(
        pieces=len(panel.number),
        clipped=int(panel.clipped.sum()),
        slivers=len(panel.slivers(SLIVER)),
        bars=len(plan.bars),
        blocks=cast_of(design),
        gaps_ml=plan.resin_ml,
        shortest_mm=min(job.shape.stop_mm for job in plan.jobs if job.cuts),
        calm=calm,
        calm_clipped=clipped,
        calm_slivers=slivers,
    )


@lru_cache(maxsize=48)
def rules_of(design):
    """Both rules for lines, each at the nearest sizes that keep it, and the wood one takes over the other."""
    rules = [rule_of(design, name) for name in ("run_on", "alike")]
    known = [rule.wood_mm2 for rule in rules if rule.bars]
    least = min(known, default=0)
    return tuple(replace(rule, more_wood=rule.wood_mm2 / least - 1 if rule.bars else None) for rule in rules)


def rule_of(design, name):
    """One rule for the widest bar of the pattern."""
    from projects.geometry import lines

    shapes, stacks = pattern_of(design).shapes, design.stacks
    widest = max(range(len(shapes)), key=lambda index: shapes[index].bar_mm)
    bar_mm, stack = round(shapes[widest].bar_mm, 9), stacks[widest]
    wanted_mm = lines.width_for(name, bar_mm, stack, design.saw)
    keeps = abs(wanted_mm - bar_mm) < SAME_MM
    sizes = dict(design.sizes) if keeps else lines.scaled(dict(design.sizes), wanted_mm / bar_mm)
    found = lines.bars_of(wanted_mm, stack, design.saw)
    bars, wood = cost_of(replace(design, sizes=tuple(sorted(sizes.items())), lines=name))
    others = len({round(shape.bar_mm, 6) for shape in shapes}) > 1
    pitches = (found.width_mm + (design.saw.between_mm if name == "alike" else 0)) / stack.pitch_mm
    return Rule(
        name, keeps, sizes, found.width_mm, pitches, abs(found.rim_jump_mm), abs(found.shift_mm),
        bars, wood, None, others,
    )  # fmt: skip


def cost_of(design):
    """Bars and the blocks' area of a design, or none where the shop can't make it."""
    try:
        made(design.pattern, dict(design.sizes))
        plan = planned(design)
    except OutOfRange:
        return None, 0.0
    return len(plan.bars), sum(block.length_mm * block.width_mm for block in plan.blocks)


def clearance_mm(design, species):
    """What the frame must leave for the wood to move, at most: all strips across the longer side; or None."""
    from projects.geometry.movement import movement_mm

    rates = [rate for rate in (species and species.radial, species and species.tangential) if rate]
    if not rates:
        return None
    longest = max(design.width_mm, design.height_mm)
    wood = max(1 - stack.resin_fraction for stack in design.stacks)
    return movement_mm(longest, wood, max(rates), MOISTURE_SWING_PERCENT)


@lru_cache(maxsize=48)
def seams_in_words(design):
    """How many seams of each kind there are, and the widest jump of lines that run along one."""
    import numpy as np

    seams = seams_of(design)
    jumps = np.abs(seams.offset_mm[seams.kind == "along"])
    return {**seams.counts(), "jump_mm": float(jumps.max()) if len(jumps) else 0.0}
