"""Bars side by side in blocks: how many blocks are cast, how wide and how long."""

from collections.abc import Sequence
from dataclasses import dataclass

from materials.science.errors import OutOfRange
from projects.geometry.bars import Bar, counted
from projects.geometry.saw import Saw
from projects.geometry.stack import Block, Stack


@dataclass(frozen=True)
class CastBlock:
    """A block to cast, and the bars ripped from it.

    Parameters: number, counted from 1; stack; strips, how many; length_mm, of its longest bar; bars, in
    the order of ripping, the widest first.

    >>> CastBlock(1, Stack(), 50, 600, ()).width_mm
    198
    """

    number: int
    stack: Stack
    strips: int
    length_mm: float
    bars: tuple[Bar, ...]

    @property
    def width_mm(self) -> float:
        """Across the strips."""
        return self.stack.width_mm(self.strips)

    @property
    def block(self) -> Block:
        """The block as it is cast, with rim and over-pour by default."""
        return Block(self.stack, self.strips, self.length_mm)

    @property
    def gap_ml(self) -> float:
        """The resin between its strips, in ml."""
        return self.block.gap_ml


def most_strips(stack: Stack) -> int:
    """The most strips whose block is not wider than the shop can make.

    Parameters: stack.
    Returns: a number of strips.

    >>> most_strips(Stack())
    50
    """
    return int((stack.max_width_mm + stack.gap_mm) / stack.pitch_mm + 1e-9)


def packed_bars(bars: Sequence[Bar], saw: Saw) -> list[CastBlock]:
    """The bars laid side by side into as few blocks as first fit finds, and numbered in that order.

    Parameters: bars, without places: they get number, block, offset and phase; saw.
    Returns: CastBlocks; bars of different stacks never share one.
    Raises: OutOfRange for a bar wider than any block.

    >>> packed_bars([], Saw())
    []
    """
    ordered = sorted(bars, key=lambda bar: (-bar.width_mm, -bar.length_mm))
    filled: list[tuple[Stack, float, list[Bar]]] = []
    # blocks of one stack are tried in order; for one width the first that is full stays full
    for bar in ordered:
        stack = bar.job.stack
        room = stack.width_mm(max(1, most_strips(stack))) - 2 * stack.edge_mm
        if bar.width_mm > room + 1e-9:
            raise OutOfRange("bar_mm", bar.width_mm, 0, round(room, 6), "mm")
        for index, (other, used, held) in enumerate(filled):
            wide = used + saw.kerf_mm + bar.width_mm
            if wide <= room + 1e-9 and (other is stack or other == stack):
                held.append(bar)
                filled[index] = (stack, wide, held)
                break
        else:
            filled.append((stack, bar.width_mm, [bar]))
    blocks: list[CastBlock] = []
    for number, (stack, used, held) in enumerate(filled, start=1):
        _place(held, number, sum(len(block.bars) for block in blocks), saw)
        strips = counted((used + 2 * stack.edge_mm + stack.gap_mm) / stack.pitch_mm)
        blocks.append(CastBlock(number, stack, strips, max(bar.length_mm for bar in held), tuple(held)))
    return blocks


def _place(bars: Sequence[Bar], block: int, before: int, saw: Saw) -> None:
    """Where each bar lies in its block: φ_j = φ_0 - offset, modulo the pitch."""
    offset, first = 0.0, bars[0].job.shape.phase
    for index, bar in enumerate(bars, start=1):
        bar.block, bar.number, bar.offset_mm = block, before + index, offset
        bar.phase_mm = round((first - offset) % bar.job.stack.pitch_mm, 9) % bar.job.stack.pitch_mm
        offset += bar.width_mm + saw.kerf_mm
