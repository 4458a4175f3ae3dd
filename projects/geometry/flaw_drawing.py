"""A block as it lies there with its flaws, seen from above."""

from projects.geometry.cut_drawing import MARGIN, WIDTHS, Media, spots_drawn
from projects.geometry.stock import Spot, Stock
from workshop.drawing.svg import element, figure, fill, line, number, picture, rectangles, strong, words

DISC = 9  # radius of the disc behind a number
LEAST = 15  # a flaw smaller than this on the drawing has its number beside it
Box = tuple[float, float, float, float]


def flaws_svg(stock: Stock, media: Media = "wide", new: Spot | None = None) -> str:
    """A block from above with its strips, and its flaws counted in their order.

    Parameters: stock, with its flaws; media, "narrow" or "wide"; new, one that is about to be marked.
    Returns: an SVG element; its first path is the block alone, so that a tap on it can be measured.

    >>> from projects.geometry.stack import Stack
    >>> block = Stock("A", Stack(), 600, 198, spots=(Spot(100, 120, 40, 60),))
    >>> flaws_svg(block).split('aria-label="')[1].split('"')[0]
    'The block from above: 600 × 198 mm with 1 flaw; its squared end is at the left.'
    """
    scale = (WIDTHS[media] - 2 * MARGIN) / stock.length_mm
    wide, high = stock.length_mm * scale, stock.width_mm * scale
    whole: list[Box] = [(0.0, 0.0, wide, high)]
    stack = stock.stack
    strips: list[Box] = [
        (0.0, n * stack.pitch_mm * scale, wide, stack.strip_mm * scale) for n in range(stock.strips)
    ]
    parts = [
        element("path", d=rectangles(whole), **fill("resin")),
        element("path", d=rectangles(strips), **fill("lam")),
        spots_drawn(stock.spots, stock.whole, scale),
        _new(new, stock, scale),
        element("path", d=rectangles(whole), **line("ink", 1)),
    ]
    drawing = element("g", *parts, transform=f"translate({MARGIN} {MARGIN})")
    names = [_name(n, spot, stock, scale) for n, spot in enumerate(stock.spots, start=1)]
    flaws = len(stock.spots)
    sentence = (
        f"The block from above: {figure(stock.length_mm)} × {figure(stock.width_mm)} mm with "
        f"{flaws or 'no'} {'flaw' if flaws == 1 else 'flaws'}; its squared end is at the left."
    )
    size = (WIDTHS[media], high + 2 * MARGIN)
    return picture(size, drawing, *names, sentence=sentence, class_="draw flaws")


def _new(spot: Spot | None, stock: Stock, scale: float) -> str:
    """The flaw about to be marked, dashed."""
    part = spot and spot.within(stock.whole)
    if part is None or not part.area_mm2:
        return ""
    box = (
        part.from_mm * scale,
        part.low_mm * scale,
        (part.to_mm - part.from_mm) * scale,
        (part.high_mm - part.low_mm) * scale,
    )
    back = element("path", d=rectangles([box]), **fill("paper"), fill_opacity=0.75)
    return back + element("path", d=rectangles([box]), **line("stop", 2, "5 3"))


def _name(count: int, spot: Spot, stock: Stock, scale: float) -> str:
    """The flaw's number: in it where there is room, else beside it; a band keeps it readable."""
    part = spot.within(stock.whole)
    if not part.area_mm2:
        return ""
    middle = MARGIN + (part.low_mm + part.high_mm) / 2 * scale + 5
    roomy = min(part.to_mm - part.from_mm, part.high_mm - part.low_mm) * scale >= LEAST
    x = (
        MARGIN
        + ((part.from_mm + part.to_mm) / 2 if roomy else part.to_mm) * scale
        + (0 if roomy else DISC + 1)
    )
    end = 2 * MARGIN + stock.length_mm * scale
    if x > end - DISC - 1:
        x = MARGIN + part.from_mm * scale - DISC - 1
    x = min(max(x, DISC + 1), end - DISC - 1)
    high = 2 * MARGIN + stock.width_mm * scale
    y = min(max(middle, 14), high - 4)
    disc = element("circle", cx=number(x), cy=number(y - 5), r=DISC, **fill("paper", "ink", 0.8))
    return disc + words(x, y, strong(str(count)), anchor="middle")
