"""What flaws cost: pieces lost in each block, and whether enough is left for the panel."""

from dataclasses import dataclass, replace

from materials.science.errors import OutOfRange
from projects.geometry.bars import SPARE
from projects.panel.design import cast_of, planned


@dataclass(frozen=True)
class Lost:
    """A block with flaws: how many it has, and how many pieces fewer it gives."""

    name: str
    flaws: int
    pieces: int
    bars: int


@dataclass(frozen=True)
class Cost:
    """What the flaws of all blocks cost: block by block, and in blocks to cast.

    `blocks`: those the panel takes now; `more`: how many of them for the flaws; `missing`: pieces that
    must come from these, spares left out.
    """

    lost: tuple
    share: float
    blocks: int
    more: int
    missing: int


def cost_of(kept):
    """The cost of a kept design's flaws, or None where no block has any, or none can be planned."""
    design = kept.design
    marked = [one for one in design.stock if one.cast and one.spots]
    if not marked:
        return None
    clear = replace(design, stock=tuple(replace(one, spots=()) for one in design.stock))
    try:
        plan, without = planned(design), planned(clear)
    except OutOfRange:
        return None
    now, before = pieces_by_name(plan), pieces_by_name(without)
    more = max(0, cast_of(design) - cast_of(clear))
    extra = plan.blocks[len(plan.blocks) - more :] if more else ()
    return Cost(
        lost=tuple(
            Lost(
                name=one.key,
                flaws=len(one.spots),
                pieces=max(0, before.get(one.key, (0, 0))[0] - now.get(one.key, (0, 0))[0]),
                bars=now.get(one.key, (0, 0))[1],
            )
            for one in marked
        ),
        share=plan.losses.flaws,
        blocks=cast_of(design),
        more=more,
        missing=sum(piece != SPARE for block in extra for bar in block.bars for piece in bar.pieces),
    )


def pieces_by_name(plan):
    """How many pieces and bars each block gives that lies there, by its name."""
    return {
        block.stock.key: (sum(len(bar.pieces) for bar in block.bars), len(block.bars))
        for block in plan.blocks
        if block.stock
    }
