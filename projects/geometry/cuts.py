"""From a panel to blocks, bars and cuts, and what is lost on the way."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from materials.science.errors import checked
from projects.geometry.bars import Bar, Job, as_bars, counted, most_pieces, shared_out
from projects.geometry.clipping import Whole
from projects.geometry.packing import CastBlock, packed_bars, stock_block
from projects.geometry.panel import Panel
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
from projects.geometry.steps import Step, steps_for
from projects.geometry.stock import Lane, Spot, Stock, area_of, taken


class Losses(NamedTuple):
    """What of the blocks' area does not end in the panel, as shares of it; their sum is the offcut.

    Parameters: each a share; truing, what jointing takes off sawn edges; flaws, what they cover.

    >>> sum(Losses(0.1, 0.1, 0.1, 0.2))
    0.5
    """

    clip_and_spare: float
    test: float
    kerf_trim_and_hold: float
    rip_and_edge: float
    truing: float = 0
    flaws: float = 0


@dataclass(frozen=True, eq=False)
class CutPlan:
    """A plan from the blocks to the pieces.

    Parameters: panel; saw; jobs, one for each shape; bars, by number; blocks, first what lies there already
    (leftovers of the shelf among it), then those to cast; offcut_fraction, of the blocks' area; losses, the
    same by cause; resin_ml, in the gaps of all blocks but leftovers; bar and cut, for each piece of the
    panel the number of its bar and its place in cut order.

    >>> from projects.geometry.patterns.squares import squares
    >>> from projects.geometry.panel import lay_out
    >>> panel = lay_out(squares(60), 600, 420, Stack(), origin=(30, 30))
    >>> plan = plan_cuts(panel, Stack(), Saw())
    >>> plan.jobs[0].need, plan.jobs[0].per_bar, len(plan.bars), len(plan.blocks), plan.blocks[0].width_mm
    (294, 15, 20, 4, 198)
    """

    panel: Panel
    saw: Saw
    jobs: tuple[Job, ...]
    bars: tuple[Bar, ...]
    blocks: tuple[CastBlock, ...]
    offcut_fraction: float
    losses: Losses
    resin_ml: float
    bar: Whole
    cut: Whole

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The whole work in order."""
        return tuple(steps_for(self.blocks, self.jobs, self.saw, self.panel.face_down.tolist()))

    @property
    def cast(self) -> tuple[CastBlock, ...]:
        """The blocks of this panel: those that lie there, and those still to cast; no leftover."""
        return tuple(block for block in self.blocks if block.stock is None or block.stock.cast)

    @cached_property
    def parted(self) -> int:
        """How many rings or repeats come from more bars than they need."""
        kinds = len(self.jobs)
        group = self.panel.cell * kinds + self.panel.shape
        size = np.bincount(group)
        pairs = np.unique(group * (len(self.bars) + 1) + self.bar)
        used = np.bincount(pairs // (len(self.bars) + 1), minlength=len(size))
        most = np.array([job.per_bar for job in self.jobs])[np.arange(len(size)) % kinds]
        return int((used > -(-size // most)).sum())

    @property
    def least_overhang_mm(self) -> float:
        """How far the glued panel should reach beyond the trimmed one, so that the saw clears it."""
        return self.saw.kerf_mm + 2


def plan_cuts(panel: Panel, stack: Stack | Sequence[Stack], saw: Saw) -> CutPlan:
    """A plan for a panel with as few bars as hold its pieces, spares and tests.

    A ring or repeat comes from one bar as far as these bars hold it; `plan_whole_rings` takes more bars.

    Parameters: panel; stack, one for all shapes or one for each; saw.
    Returns: a CutPlan.
    Raises: OutOfRange where a piece does not fit a bar or a bar does not fit a block.
    Valid for: stripes along the bars, blocks cut in full.
    Source: geometry; needs none.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> plan = plan_cuts(lay_out(basket(40), 400, 240, Stack()), Stack(), Saw())
    >>> plan.jobs[0].need, plan.jobs[0].per_bar, len(plan.bars), round(plan.offcut_fraction, 3)
    (63, 13, 5, 0.262)
    """
    return _planned(panel, stack, saw, whole_rings=False)


def plan_whole_rings(panel: Panel, stack: Stack | Sequence[Stack], saw: Saw) -> CutPlan:
    """A plan that parts no ring or repeat that one bar could hold, which may take more bars.

    Parameters, returns, raises, valid for and source: as for plan_cuts.

    >>> from projects.geometry.patterns.squares import squares
    >>> from projects.geometry.panel import lay_out
    >>> panel = lay_out(squares(60), 600, 420, Stack(), origin=(30, 30))
    >>> plan = plan_whole_rings(panel, Stack(), Saw())
    >>> len(plan.bars), plan.parted
    (24, 0)
    """
    return _planned(panel, stack, saw, whole_rings=True)


def plan_from_stock(
    panel: Panel,
    stack: Stack | Sequence[Stack],
    saw: Saw,
    stock: Sequence[Stock],
    *,
    whole_rings: bool = False,
) -> CutPlan:
    """A plan that first uses what lies there, around its flaws, and casts blocks for the rest.

    Parameters: panel; stack; saw; stock, the one to use first in front, each for the shapes of its own
    stack; whole_rings, as plan_whole_rings.
    Returns: a CutPlan whose first blocks are those of the stock that give a piece.
    Raises, valid for and source: as for plan_cuts.

    >>> from projects.geometry.patterns.basket import basket
    >>> from projects.geometry.panel import lay_out
    >>> board = Stock("A", Stack(), 600, 198, edge_mm=3, spots=(Spot(200, 220, 0, 198),), cast=True)
    >>> plan = plan_from_stock(lay_out(basket(40), 400, 240, Stack()), Stack(), Saw(), [board])
    >>> [len(block.bars) for block in plan.blocks], len(plan.bars[0].pieces), plan.jobs[0].need
    ([4, 2], 12, 63)
    """
    return _planned(panel, stack, saw, whole_rings=whole_rings, stock=stock)


def snap_rip_width(width_mm: float, stack: Stack, saw: Saw) -> float:
    """The nearest bar width that makes all bars of a block alike: with their cut they are whole pitches.

    Parameters: width_mm, as the pattern has it; stack; saw.
    Returns: mm.
    Raises: OutOfRange.
    Valid for: stripes along the bars.
    Source: geometry; needs none.

    >>> snap_rip_width(34.641, Stack(), Saw())
    34
    """
    checked("width_mm", width_mm, 0.01, 10_000, "mm")
    pitches = max(
        round((width_mm + saw.between_mm) / stack.pitch_mm), math.floor(saw.between_mm / stack.pitch_mm) + 1
    )
    return pitches * stack.pitch_mm - saw.between_mm


def run_on_width(width_mm: float, stack: Stack) -> float:
    """The nearest bar width with which lines run on across rims: a whole number of pitches.

    Parameters: width_mm, as the pattern has it; stack.
    Returns: mm. Bars then differ by the kerf from one to the next, so that pieces are sorted by bar.
    Raises: OutOfRange.
    Valid for: stripes along the bars, a strip or a gap on the bar's centre line.
    Source: geometry; needs none.

    >>> run_on_width(34.641, Stack())
    36
    """
    checked("width_mm", width_mm, 0.01, 10_000, "mm")
    return max(1, round(width_mm / stack.pitch_mm)) * stack.pitch_mm


def _planned(
    panel: Panel,
    stack: Stack | Sequence[Stack],
    saw: Saw,
    *,
    whole_rings: bool,
    stock: Sequence[Stock] = (),
) -> CutPlan:
    stacks = (stack,) * len(panel.shapes) if isinstance(stack, Stack) else tuple(stack)
    jobs = _jobs(panel, stacks, saw)
    there = taken(jobs, stock, saw)
    bars, held = _filled(panel, jobs, saw, [bar for _, own in there for bar in own], whole_rings=whole_rings)
    blocks = _there(there, held, saw)
    blocks += packed_bars(bars, saw, (len(blocks), sum(len(block.bars) for block in blocks)))
    bars = [bar for block in blocks for bar in block.bars]
    number, cut = _origins(bars, len(panel.number))
    losses, offcut = _losses(panel, jobs, blocks, saw)
    resin = sum(block.gap_ml for block in blocks if block.stock is None or block.stock.cast)
    return CutPlan(panel, saw, jobs, tuple(bars), tuple(blocks), offcut, losses, resin, number, cut)


def _filled(
    panel: Panel, jobs: Sequence[Job], saw: Saw, there: Sequence[tuple[Job, Lane]], *, whole_rings: bool
) -> tuple[list[Bar], list[list[int]]]:
    """New bars with their pieces, and the pieces of each bar that lies there already."""
    bars: list[Bar] = []
    held: list[list[int]] = [[] for _ in there]
    for job in jobs:
        if job.cuts:
            own = [place for place, (of, _) in enumerate(there) if of is job]
            rooms = [there[place][1].pieces for place in own]
            found = shared_out(job, _groups(panel, job.index), rooms, whole_rings=whole_rings)
            for place, pieces in zip(own, found, strict=False):
                held[place] = pieces
            bars += as_bars(job, found[len(own) :], saw)
    return bars, held


def _there(
    there: Sequence[tuple[Stock, list[tuple[Job, Lane]]]], held: Sequence[list[int]], saw: Saw
) -> list[CastBlock]:
    """What lies there, with the bars that give a piece."""
    blocks: list[CastBlock] = []
    waiting = iter(held)
    bars = 0
    for stock, own in there:
        cut = [(job, lane, pieces) for (job, lane), pieces in zip(own, waiting, strict=False) if pieces]
        if cut:
            blocks.append(stock_block(stock, cut, saw, (len(blocks), bars)))
            bars += len(cut)
    return blocks


def _jobs(panel: Panel, stacks: Sequence[Stack], saw: Saw) -> tuple[Job, ...]:
    """How many pieces of each shape there are to cut."""
    kinds = len(panel.shapes)
    all_pieces = np.bincount(panel.shape, minlength=kinds).tolist()
    edges = np.bincount(panel.shape[panel.clipped], minlength=kinds).tolist()
    seen = np.bincount(panel.shape, weights=panel.visible_area_mm2, minlength=kinds).tolist()
    jobs = []
    for index, (shape, stack) in enumerate(zip(panel.shapes, stacks, strict=True)):
        count = all_pieces[index]
        need = counted(count * (1 + saw.spare_fraction))
        least, most = counted(seen[index] / shape.area_mm2), most_pieces(shape, stack, saw)
        tests = int(saw.test_cuts) if count else 0
        job = Job(index, shape, stack, count - edges[index], edges[index], need, tests, least, most)
        jobs.append(job)
    return tuple(jobs)


def _groups(panel: Panel, shape: int) -> list[list[int]]:
    """The place numbers of one shape, those of one repeat together, in the order of reading."""
    own = np.nonzero(panel.shape == shape)[0]
    # places of a ring go round it, so that neighbours in the bar are neighbours in the ring
    around = own[np.argsort(panel.cell[own] * len(panel.pattern.cell) + panel.place[own])]
    bounds = np.nonzero(np.diff(panel.cell[around], prepend=-1, append=-1))[0]
    order = np.argsort(np.minimum.reduceat(around, bounds[:-1])).tolist()
    numbers, ends = (around + 1).tolist(), bounds.tolist()
    return [numbers[ends[group] : ends[group + 1]] for group in order]


def _origins(bars: Sequence[Bar], pieces: int) -> tuple[Whole, Whole]:
    """For each place the bar it comes from and its place in that bar's cut order, both from 1."""
    places = np.array(list(itertools.chain.from_iterable(bar.pieces for bar in bars)), dtype=np.int64)
    counts = np.array([len(bar.pieces) for bar in bars])
    numbers = np.repeat([bar.number for bar in bars], counts)
    order = np.arange(1, len(places) + 1) - np.repeat(np.cumsum(counts) - counts, counts)
    bar, cut = np.zeros(pieces, dtype=np.int64), np.zeros(pieces, dtype=np.int64)
    placed = places > 0
    bar[places[placed] - 1], cut[places[placed] - 1] = numbers[placed], order[placed]
    return bar, cut


def _losses(panel: Panel, jobs: Sequence[Job], blocks: Sequence[CastBlock], saw: Saw) -> tuple[Losses, float]:
    """What of the blocks is lost, by cause; the parts add up to the whole."""
    cast = sum(block.length_mm * block.width_mm for block in blocks)
    lanes = [(block, block.lane_of(bar)) for block in blocks for bar in block.bars]
    ripped = sum(lane.area_mm2 for _, lane in lanes)
    needed = sum(job.need * job.shape.area_mm2 for job in jobs)
    tests = sum(job.tests * job.shape.area_mm2 for job in jobs)
    seen = float(panel.visible_area_mm2.sum())
    flaws = sum(area_of(block.spots, block.whole) for block in blocks)
    in_bars = sum(area_of(block.spots, lane) for block, lane in lanes)
    trued = sum(part.area_mm2 - area_of(block.spots, part) for block in blocks for part in _trued(block, saw))
    parts = (
        needed - seen,
        tests,
        ripped - needed - tests - in_bars,
        cast - ripped - (flaws - in_bars) - trued,
        trued,
        flaws,
    )
    return Losses(*(part / cast for part in parts)), 1 - seen / cast


def _trued(block: CastBlock, saw: Saw) -> list[Spot]:
    """What jointing takes of a block between its bars: a strip along each sawn edge."""
    if not saw.true_mm:
        return []
    found = []
    for left, right in itertools.pairwise(block.lane_of(bar) for bar in block.bars):
        found.append(Spot(0, block.length_mm, left.high_mm, left.high_mm + saw.true_mm))
        found.append(Spot(0, block.length_mm, right.low_mm - saw.true_mm, right.low_mm))
    return found
