"""Bars side by side in blocks: how many blocks are cast, how wide and how long."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from materials.science.errors import OutOfRange
from projects.geometry.bars import Bar, Job, counted
from projects.geometry.runs import first_pieces
from projects.geometry.saw import Saw
from projects.geometry.stack import Block, Stack
from projects.geometry.stock import Lane, Spot, Stock


@dataclass(frozen=True)
class CastBlock:
    """A block to cast, or what lies there already, and the bars ripped from it.

    Parameters: number, counted from 1; stack; strips, how many; length_mm, of its longest bar, or as it
    lies there; bars, in the order of ripping, the widest first; stock, what lies there (None: to be cast);
    name, how the shop calls it (empty: by its number).

    >>> CastBlock(1, Stack(), 50, 600, ()).width_mm
    198
    """

    number: int
    stack: Stack
    strips: int
    length_mm: float
    bars: tuple[Bar, ...]
    stock: Stock | None = None
    name: str = ""

    @property
    def width_mm(self) -> float:
        """Across the strips."""
        return self.stock.width_mm if self.stock else self.stack.width_mm(self.strips)

    @property
    def edge_mm(self) -> float:
        """What is taken off each of its long edges."""
        return self.stock.edge_mm if self.stock else self.stack.edge_mm

    @property
    def spots(self) -> tuple[Spot, ...]:
        """Its flaws."""
        return self.stock.spots if self.stock else ()

    @property
    def whole(self) -> Spot:
        """All of it as a rectangle."""
        return Spot(0, self.length_mm, 0, self.width_mm)

    def lane_of(self, bar: Bar) -> Spot:
        """Where a bar lies in it as it is used up."""
        low = self.edge_mm + bar.offset_mm
        return Spot(0, bar.length_mm, low, low + bar.width_mm)

    def flaws_of(self, bar: Bar) -> list[Spot]:
        """The flaws that a bar's width crosses."""
        low = self.edge_mm + bar.offset_mm
        return [spot for spot in self.spots if spot.low_mm < low + bar.width_mm and spot.high_mm > low]

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


def packed_bars(bars: Sequence[Bar], saw: Saw, before: tuple[int, int] = (0, 0)) -> list[CastBlock]:
    """The bars laid side by side into as few blocks as first fit finds, and numbered in that order.

    Parameters: bars, without places: they get number, block, offset and phase; saw; before,
    how many blocks and bars are numbered already.
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
    blocks_before, bars_before = before
    for stack, own in of_stack.items():
        for held, used in _first_fit(own, stack, saw):
            number = blocks_before + len(blocks) + 1
            _place(held, number, bars_before, saw)
            bars_before += len(held)
            strips = counted((used + 2 * stack.edge_mm + stack.gap_mm) / stack.pitch_mm)
            longest = max(bar.length_mm for bar in held)
            blocks.append(CastBlock(number, stack, strips, longest, tuple(held)))
    return blocks


def stock_block(
    stock: Stock, cut: Sequence[tuple[Job, Lane, Sequence[int]]], saw: Saw, before: tuple[int, int]
) -> CastBlock:
    """What lies there with the bars that are ripped from it.

    Parameters: stock; cut, for each bar its job, where it lies, and its pieces in cut order; saw; before,
    how many blocks and bars are numbered already.
    Returns: a CastBlock.

    >>> from projects.geometry.patterns.base import rectangle
    >>> from projects.geometry.runs import Run
    >>> job = Job(0, rectangle("Q", 40, 40), Stack(), 1, 0, 1, 0, 1, 12)
    >>> held = Stock("L-03", Stack(), 412, 60, first_line_mm=1)
    >>> stock_block(held, [(job, Lane(1, (Run(3, 8),)), [1])], Saw(), (0, 0)).bars[0].length_mm
    87.0
    """
    bars = []
    pitch = stock.stack.pitch_mm
    first_line = stock.first_line_mm
    if first_line is None:
        first_line = stock.edge_mm + cut[0][1].offset_mm + cut[0][0].shape.phase
    for number, (job, lane, pieces) in enumerate(cut, start=before[1] + 1):
        runs = first_pieces(lane.runs, len(pieces))
        last = runs[-1]
        length = last.first_mm + job.shape.bar_length_mm(last.pieces, saw.kerf_mm, saw.hold_mm)
        phase = round((first_line - stock.edge_mm - lane.offset_mm) % pitch, 9) % pitch
        bars.append(Bar(job, tuple(pieces), length, number, before[0] + 1, lane.offset_mm, phase, runs))
    return CastBlock(before[0] + 1, stock.stack, stock.strips, stock.length_mm, tuple(bars), stock)


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
            while at < len(held) and used[at] + saw.between_mm + wide > room:
                at += 1
            if at == len(held):
                held.append([bar])
                used.append(wide)
            else:
                held[at].append(bar)
                used[at] += saw.between_mm + wide
    return list(zip(held, used, strict=True))


def _place(bars: Sequence[Bar], block: int, before: int, saw: Saw) -> None:
    """Where each bar lies in its block: φ_j = φ_0 - offset, modulo the pitch."""
    offset, first, pitch = 0.0, bars[0].job.shape.phase, bars[0].job.stack.pitch_mm
    for index, bar in enumerate(bars, start=1):
        bar.block, bar.number, bar.offset_mm = block, before + index, offset
        bar.phase_mm = round((first - offset) % pitch, 9) % pitch
        offset += bar.job.shape.bar_mm + saw.between_mm
