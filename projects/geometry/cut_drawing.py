"""Blocks and bars as they are sawn: the striped thing itself, to scale, with its saw lines."""

from collections.abc import Sequence
from typing import Literal

from projects.geometry.bars import Bar, Job
from projects.geometry.packing import CastBlock
from projects.geometry.patterns.base import cot
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
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
    """A block from above with its strips, and where bars are ripped from it.

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
    edge = block.stack.edge_mm * scale
    last = block.bars[-1]
    used = edge + (last.offset_mm + last.width_mm) * scale
    kerfs = [
        (0.0, edge + (bar.offset_mm + bar.width_mm) * scale, wide, saw.kerf_mm * scale) for bar in block.bars
    ]
    waste = [(0.0, 0.0, wide, edge), (0.0, used, wide, high - used)]
    strips = [
        (0.0, n * block.stack.pitch_mm * scale, wide, block.stack.strip_mm * scale)
        for n in range(block.strips)
    ]
    inner = [
        _boxes([(0.0, 0.0, wide, high)], "resin"),
        _boxes(strips, "lam"),
        *_wasted(waste),
        _boxes([kerf for kerf in kerfs if kerf[1] < high], "paper"),
        _chains([kerf for kerf in kerfs if kerf[1] < high]),
        _chains([(0.0, 0.0, wide, 2 * edge)]) if edge else "",
        element("path", d=rectangles([(0, 0, wide, high)]), **line("ink", 1)),
    ]
    drawing = element("g", *inner, transform=f"translate({MARGIN} {MARGIN})")
    names = [
        words(MARGIN + wide + 8, MARGIN + middle + 4, f"bar {bar.number}", quiet=True)
        for bar, middle in _readable(block.bars, edge, scale)
    ]
    size = (WIDTHS[media], high + 2 * MARGIN)
    return picture(size, drawing, *names, sentence=_block_sentence(block), class_="draw cuts")


def bar_cuts_svg(bar: Bar, saw: Saw, media: Media = "wide", span_mm: float | None = None) -> str:
    """A bar from above with its strips and every cut, and the pieces counted in cut order.

    Parameters: bar; saw; media, "narrow" or "wide"; span_mm, the length that fills the drawing, so that
    several bars are to one scale (None: the bar's own).
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
    inner = [
        _boxes([(0.0, 0.0, wide, high)], "resin"),
        _boxes(_strips_of(bar, scale), "lam"),
        *_wasted([(0.0, 0.0, saw.trim_mm * scale, high), (stub, 0.0, wide - stub, high)]),
        element("path", d="".join(f"M{'L'.join(slot)}z" for slot in slots), **fill("paper", "ink", 0.6)),
        element("path", d="".join(f"M{slot[0]}L{slot[3]}" for slot in later), **line("stop", 2, "4 3")),
        element("path", d=rectangles([(0, 0, wide, high)]), **line("ink", 1)),
    ]
    drawing = element("g", *inner, transform=f"translate({MARGIN} {MARGIN})")
    count = len(bar.pieces)
    names = [
        words(MARGIN + at, MARGIN + high + 14, str(n), anchor="middle", quiet=True)
        for n, at in _counted(_middles(slots), count)
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


def _middles(slots: Sequence[list[str]]) -> list[float]:
    """Where the middle of each piece lies along the drawing: between the middles of its two cuts."""
    at = [sum(float(corner.split()[0]) for corner in slot) / 4 for slot in slots]
    return [(left + right) / 2 for left, right in zip(at, at[1:], strict=False)]


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
    return (
        f"Block {block.number} from above: {figure(block.length_mm)} × {figure(block.width_mm)} mm, "
        f"{block.strips} strips, ripped into {bars}: {', '.join(parts)}."
    )
