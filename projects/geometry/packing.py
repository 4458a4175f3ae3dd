"""Bars side by side in blocks: how many blocks are cast, how wide and how long."""

import itertools
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
    of_stack: dict[Stack, list[Bar]] = {}
    for _, same in itertools.groupby(bars, key=lambda bar: bar.job.index):
        own = list(same)
        of_stack.setdefault(own[0].job.stack, []).extend(own)
    blocks: list[CastBlock] = []
    before = 0
    for stack, own in of_stack.items():
        for held, used in _first_fit(own, stack, saw):
            _place(held, len(blocks) + 1, before, saw)
            before += len(held)
            strips = counted((used + 2 * stack.edge_mm + stack.gap_mm) / stack.pitch_mm)
            longest = max(bar.length_mm for bar in held)
            blocks.append(CastBlock(len(blocks) + 1, stack, strips, longest, tuple(held)))
    return blocks


def _first_fit(bars: Sequence[Bar], stack: Stack, saw: Saw) -> list[tuple[list[Bar], float]]:
    """The bars of each block and the width they use, each bar in the first block that has room for it."""
    room = stack.width_mm(max(1, most_strips(stack))) - 2 * stack.edge_mm + 1e-9
    held: list[list[Bar]] = []
    used: list[float] = []
    widest = sorted(bars, key=lambda bar: (-bar.job.shape.bar_mm, -bar.length_mm))
    for wide, same in itertools.groupby(widest, key=lambda bar: bar.job.shape.bar_mm):
        if wide > room:
            raise OutOfRange("bar_mm", wide, 0, round(room, 6), "mm")
        at = 0  # a block too full for one bar is too full for all of its width
        for bar in same:
            while at < len(held) and used[at] + saw.kerf_mm + wide > room:
                at += 1
            if at == len(held):
                held.append([bar])
                used.append(wide)
            else:
                held[at].append(bar)
                used[at] += saw.kerf_mm + wide
    return list(zip(held, used, strict=True))


def _place(bars: Sequence[Bar], block: int, before: int, saw: Saw) -> None:
    """Where each bar lies in its block: φ_j = φ_0 - offset, modulo the pitch."""
    offset, first, pitch = 0.0, bars[0].job.shape.phase, bars[0].job.stack.pitch_mm
    for index, bar in enumerate(bars, start=1):
        bar.block, bar.number, bar.offset_mm = block, before + index, offset
        bar.phase_mm = round((first - offset) % pitch, 9) % pitch
        offset += bar.job.shape.bar_mm + saw.kerf_mm
