"""Blocks and bars as they are sawn: the striped thing itself, to scale, with its saw lines."""

import itertools
from collections.abc import Sequence
from typing import Literal

from projects.geometry.bars import Bar, Job
from projects.geometry.packing import CastBlock
from projects.geometry.patterns.base import cot
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
from projects.geometry.stock import Spot
from workshop.drawing.svg import (
    element,
    figure,
    fill,
    hatch,
    line,
    number,
    picture,
    rectangles,
    text_width,
    words,
)

Media = Literal["narrow", "wide"]
WIDTHS: dict[Media, float] = {"narrow": 358, "wide": 720}
MARGIN, TEXT_ROW, LEAST_ROW = 8, 20, 15
# the label of the longest bar's number stands beside the block
LABELS = 46
CHAIN = "7 3 1.5 3"
Box = tuple[float, float, float, float]


def block_cuts_svg(block: CastBlock, saw: Saw, media: Media = "wide") -> str:
    """A block from above with its strips and its flaws, and where bars are ripped from it.

    Parameters: block; saw; media, "narrow" or "wide".
    Returns: an SVG element.

    >>> from projects.geometry.cuts import plan_cuts
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.squares import squares
    >>> plan = plan_cuts(lay_out(squares(60), 600, 420, Stack(), origin=(30, 30)), Stack(), Saw())
    >>> block_cuts_svg(plan.blocks[0], Saw()).split('aria-label="')[1].split('"')[0]
    'Block 1 from above: 568.3 × 198 mm, 50 strips, ripped into 6 bars: 6 of 30 mm.'
    """
    scale = (WIDTHS[media] - 2 * MARGIN - LABELS) / block.length_mm
    wide, high = block.length_mm * scale, block.width_mm * scale
    edge = block.edge_mm * scale
    kerfs = [(0.0, at * scale, wide, saw.kerf_mm * scale) for at in _rips(block, saw)]
    waste = [(0.0, at * scale, wide, size * scale) for at, size in _beside(block, saw)]
    strips = [(0.0, at * scale, wide, size * scale) for at, size in _lines(block)]
    inner = [
        _boxes([(0.0, 0.0, wide, high)], "resin"),
        _boxes(strips, "lam"),
        *_wasted(waste),
        _boxes([kerf for kerf in kerfs if kerf[1] < high], "paper"),
        _chains([kerf for kerf in kerfs if kerf[1] < high]),
        _chains([(0.0, 0.0, wide, 2 * edge)]) if edge else "",
        spots_drawn(block.spots, block.whole, scale),
        element("path", d=rectangles([(0, 0, wide, high)]), **line("ink", 1)),
    ]
    drawing = element("g", *inner, transform=f"translate({MARGIN} {MARGIN})")
    names = [
        words(MARGIN + wide + 8, MARGIN + middle + 4, f"bar {bar.number}", quiet=True)
        for bar, middle in _readable(block.bars, edge, scale)
    ]
    size = (WIDTHS[media], high + 2 * MARGIN)
    return picture(size, drawing, *names, sentence=_block_sentence(block), class_="draw cuts")


def spots_drawn(spots: Sequence[Spot], whole: Spot, scale: float) -> str:
    """Flaws, each as a crossed-out rectangle, as far as they lie in a block or a bar.

    Parameters: spots; whole, what they lie in; scale, drawing units for a millimetre.
    Returns: an SVG path; nothing for no flaw.

    >>> spots_drawn([], Spot(0, 600, 0, 198), 1)
    ''
    """
    inside = [part for part in (spot.within(whole) for spot in spots) if part.area_mm2]
    if not inside:
        return ""
    boxes: list[Box] = []
    crosses = ""
    for part in inside:
        x, y = (part.from_mm - whole.from_mm) * scale, (part.low_mm - whole.low_mm) * scale
        wide, high = (part.to_mm - part.from_mm) * scale, (part.high_mm - part.low_mm) * scale
        boxes.append((x, y, wide, high))
        crosses += f"M{number(x)} {number(y)}l{number(wide)} {number(high)}"
        crosses += f"M{number(x)} {number(y + high)}l{number(wide)} {number(-high)}"
    back = element("path", d=rectangles(boxes), **fill("paper"), fill_opacity=0.6)
    return back + element("path", d=rectangles(boxes) + crosses, **line("stop", 1.6))


def bar_cuts_svg(
    bar: Bar, saw: Saw, media: Media = "wide", span_mm: float | None = None, spots: Sequence[Spot] = ()
) -> str:
    """A bar from above with its strips and every cut, and the pieces counted in cut order.

    Parameters: bar; saw; media, "narrow" or "wide"; span_mm, the length that fills the drawing, so that
    several bars are to one scale (None: the bar's own); spots, flaws, measured from the bar's own edge.
    Returns: an SVG element; where a piece has two gauges the second one's cuts are dashed.

    >>> from projects.geometry.cuts import plan_cuts
    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.squares import squares
    >>> plan = plan_cuts(lay_out(squares(60), 600, 420, Stack(), origin=(30, 30)), Stack(), Saw())
    >>> bar_cuts_svg(plan.bars[0], Saw()).split('aria-label="')[1].split('"')[0]
    'A bar of 568.3 × 30 mm with 16 cuts that give 15 pieces; a stub of 40 mm stays in the hand.'
    """
    job = bar.job
    scale = (WIDTHS[media] - 2 * MARGIN) / max(span_mm or 0, bar.length_mm)
    wide, high = bar.length_mm * scale, bar.width_mm * scale
    cuts = bar.cuts(saw)
    slots = [_slot(at, angle, bar.width_mm, saw, scale) for at, angle in cuts]
    first_pass = job.cut_order_deg[0]
    later = [slot for slot, (_, angle) in zip(slots, cuts, strict=True) if _later(job, angle, first_pass)]
    stub = wide - saw.hold_mm * scale
    between = _between_runs(bar, saw, scale)
    inner = [
        _boxes([(0.0, 0.0, wide, high)], "resin"),
        _boxes(_strips_of(bar, scale), "lam"),
        *_wasted([(0.0, 0.0, saw.trim_mm * scale, high), *between, (stub, 0.0, wide - stub, high)]),
        element("path", d="".join(f"M{'L'.join(slot)}z" for slot in slots), **fill("paper", "ink", 0.6)),
        element("path", d="".join(f"M{slot[0]}L{slot[3]}" for slot in later), **line("stop", 2, "4 3")),
        spots_drawn(spots, Spot(0, bar.length_mm, 0, bar.width_mm), scale),
        element("path", d=rectangles([(0, 0, wide, high)]), **line("ink", 1)),
    ]
    drawing = element("g", *inner, transform=f"translate({MARGIN} {MARGIN})")
    count = len(bar.pieces)
    names = [
        words(MARGIN + at, MARGIN + high + 14, str(n), anchor="middle", quiet=True)
        for n, at in _counted(_middles(slots, [len(run) for run in bar.cut_runs(saw)]), count)
    ]
    size = (WIDTHS[media], high + 2 * MARGIN + TEXT_ROW)
    sentence = (
        f"A bar of {figure(bar.length_mm)} × {figure(bar.width_mm)} mm with {len(cuts)} cuts that give "
        f"{count} {'pieces' if count > 1 else 'piece'}; a stub of {figure(saw.hold_mm)} mm stays in the hand."
    )
    return picture(size, drawing, *names, sentence=sentence, class_="draw cuts")


def _boxes(boxes: Sequence[Box], ink: str) -> str:
    return element("path", d=rectangles(boxes), **fill(ink)) if boxes else ""


def _wasted(boxes: Sequence[Box]) -> list[str]:
    """What ends in no piece: paled, and hatched so that it shows on paper."""
    real = [box for box in boxes if box[2] > 0.2 and box[3] > 0.2]
    if not real:
        return []
    lines = "".join(hatch(*box, step=5) for box in real)
    pale = element("path", d=rectangles(real), **fill("paper"), fill_opacity=0.7)
    return [pale, *([element("path", d=lines, **line("edge", 0.8))] if lines else [])]


def _chains(kerfs: Sequence[Box]) -> str:
    """A chain line along the middle of each cut."""
    path = "".join(f"M{number(x)} {number(y + high / 2)}h{number(wide)}" for x, y, wide, high in kerfs)
    return element("path", d=path, **line("stop", 1.5, CHAIN)) if path else ""


def _readable(bars: Sequence[Bar], edge: float, scale: float) -> list[tuple[Bar, float]]:
    """The bars whose numbers can stand beside them, with the middle of each."""
    found: list[tuple[Bar, float]] = []
    for bar in bars:
        middle = edge + (bar.offset_mm + bar.width_mm / 2) * scale
        if not found or middle - found[-1][1] >= LEAST_ROW:
            found.append((bar, middle))
    return found


def _strips_of(bar: Bar, scale: float) -> list[Box]:
    """The strips of a bar, cut where the bar's edges are."""
    stack: Stack = bar.job.stack
    pitch, half = stack.pitch_mm, stack.strip_mm / 2
    found = []
    centre = bar.phase_mm % pitch - pitch
    while centre - half < bar.width_mm:
        low, high = max(0.0, centre - half), min(bar.width_mm, centre + half)
        if high > low:
            found.append((0.0, low * scale, bar.length_mm * scale, (high - low) * scale))
        centre += pitch
    return found


def _slot(at_mm: float, angle_deg: float, bar_mm: float, saw: Saw, scale: float) -> list[str]:
    """The four corners of a cut: along the near edge, then back along the far one."""
    lean, wide = bar_mm * cot(angle_deg), saw.slot_mm(angle_deg)
    corners = [(at_mm, 0.0), (at_mm + wide, 0.0), (at_mm + wide + lean, bar_mm), (at_mm + lean, bar_mm)]
    return [f"{number(x * scale)} {number(y * scale)}" for x, y in corners]


def _later(job: Job, angle_deg: float, first_deg: float) -> bool:
    """Whether a cut belongs to a second pass with another gauge."""
    return job.shape.handling == "turn" and abs(angle_deg - first_deg) > 1e-9


def _middles(slots: Sequence[list[str]], runs: Sequence[int]) -> list[float]:
    """Where the middle of each piece lies along the drawing: between the middles of its two cuts."""
    found, begun = [], 0
    for cuts in runs:
        own = slots[begun : begun + cuts]
        at = [sum(float(corner.split()[0]) for corner in slot) / 4 for slot in own]
        found += [(left + right) / 2 for left, right in itertools.pairwise(at)]
        begun += cuts
    return found


def _between_runs(bar: Bar, saw: Saw, scale: float) -> list[Box]:
    """What lies lost between two runs: the flaw, and the wedges on both sides of it."""
    shape, found = bar.job.shape, []
    for run, after in itertools.pairwise(bar.runs):
        end = run.first_mm + shape.bar_length_mm(run.pieces, saw.kerf_mm, 0)
        found.append((end * scale, 0.0, (after.first_mm - end) * scale, bar.width_mm * scale))
    return found


def _rips(block: CastBlock, saw: Saw) -> list[float]:
    """Where each rip begins, from the block's edge: beyond every bar, and before one that stands alone."""
    found, before = [], 0.0
    for bar in block.bars:
        lane = block.lane_of(bar)
        if lane.low_mm - before > saw.between_mm + 1e-6 and lane.low_mm > block.edge_mm + 1e-6:
            found.append(lane.low_mm - saw.true_mm - saw.kerf_mm)
        before = lane.high_mm
        if before + saw.true_mm < block.width_mm:
            found.append(before + saw.true_mm)
    return found


def _beside(block: CastBlock, saw: Saw) -> list[tuple[float, float]]:
    """What of the block's width no bar uses: its edges, and where flaws are passed by; begin and size."""
    found, at = [], 0.0
    for bar in block.bars:
        lane = block.lane_of(bar)
        if lane.low_mm - at > saw.between_mm + 1e-6 or not at:
            found.append((at, lane.low_mm - at))
        at = lane.high_mm
    return [*found, (at, block.width_mm - at)]


def _lines(block: CastBlock) -> list[tuple[float, float]]:
    """Each strip of a block across its width: where it begins, and how wide it is seen."""
    stack, stock = block.stack, block.stock
    if stock is None or stock.first_line_mm is None:
        return [(n * stack.pitch_mm, stack.strip_mm) for n in range(block.strips)]
    at = stock.first_line_mm % stack.pitch_mm - stack.pitch_mm - stack.strip_mm / 2
    found = []
    while at < block.width_mm:
        low, high = max(0.0, at), min(block.width_mm, at + stack.strip_mm)
        if high > low:
            found.append((low, high - low))
        at += stack.pitch_mm
    return found


def _counted(middles: Sequence[float], count: int) -> list[tuple[int, float]]:
    """The pieces that can carry their count without touching the next one's."""
    room = text_width(str(count)) + 4
    found: list[tuple[int, float]] = []
    for index, at in enumerate(middles, start=1):
        if not found or at - found[-1][1] >= room:
            found.append((index, at))
    return found


def _block_sentence(block: CastBlock) -> str:
    widths = [bar.width_mm for bar in block.bars]
    parts = [f"{widths.count(wide)} of {figure(wide)} mm" for wide in dict.fromkeys(widths)]
    bars = f"{len(widths)} bars" if len(widths) > 1 else "one bar"
    flaws = f", {len(block.spots)} {'flaws' if len(block.spots) > 1 else 'flaw'}" if block.spots else ""
    leftover = block.stock and not block.stock.cast
    what = "Leftover" if leftover else block.name or f"Block {block.number}"
    return (
        f"{what} from above: {figure(block.length_mm)} × {figure(block.width_mm)} mm, "
        f"{block.strips} strips{flaws}, ripped into {bars}: {', '.join(parts)}."
    )
