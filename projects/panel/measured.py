"""Blocks that came out of their mould smaller than planned: what of the panel they no longer give."""

from dataclasses import dataclass, replace

from materials.science.errors import OutOfRange
from projects.panel.design import cast_of, planned
from projects.panel.flawed import pieces_by_name
from projects.panel.stock import name_of, planned_size, shorter


@dataclass(frozen=True)
class Short:
    """A block: which of its sizes came out less, and how many bars and pieces fewer it gives."""

    name: str
    sizes: tuple
    pieces: int
    bars: int

    @property
    def fits(self):
        """Whether all the bars that were planned still come from it with all their pieces."""
        return not self.pieces and not self.bars


@dataclass(frozen=True)
class Measured:
    """What all of them come to, and how many blocks more they cost."""

    blocks: tuple
    more: int


def measured_of(kept):
    """The smaller blocks of a kept design, or None where none is, or none can be planned."""
    small = {name_of(block, 1): block for block in kept.blocks if shorter(block)}
    if not small:
        return None
    as_planned = replace(
        kept.design, stock=tuple(as_large(one, small.get(one.key)) for one in kept.design.stock)
    )
    try:
        now, before = (pieces_by_name(planned(each)) for each in (kept.design, as_planned))
    except OutOfRange:
        return None
    blocks = tuple(short_of(name, block, now, before) for name, block in small.items())
    return Measured(blocks, max(0, cast_of(kept.design) - cast_of(as_planned)))


def as_large(stock, block):
    """A block as it lies there, as large as it was planned; anything else as it is."""
    if block is None:
        return stock
    length, width = planned_size(block)
    return replace(stock, length_mm=length, width_mm=width)


def short_of(name, block, now, before):
    """What one block no longer gives."""
    (pieces, bars), (pieces_before, bars_before) = now.get(name, (0, 0)), before.get(name, (0, 0))
    return Short(name, tuple(shorter(block)), max(0, pieces_before - pieces), max(0, bars_before - bars))
