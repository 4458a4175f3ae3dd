"""Wood on the shelf: bundles of strips, boards, and leftovers with their stripes."""

import math

from workshop.drawing.svg import Attributes, element, fill, line, picture, rectangles

FLOOR, SCALE = 100, 1.18
# a layer of a drawn bundle stands for so many strips; more than so many layers are not told apart
STRIPS_A_LAYER, MOST_LAYERS = 5, 24
TALLEST, BETWEEN = 88, 0.7
# every other strip of a stack that was put down by hand lies a little further in
SHIFTS = (0.0, 1.6, 3.2, 0.8, 2.4)
SHADES = (1.0, 0.86, 0.94)
# which drawn wood a name comes nearest to: the first that occurs in it
TONES = {
    "walnut": "walnut",
    "bog": "bogoak",
    "wenge": "bogoak",
    "ebony": "bogoak",
    "oak": "oak",
    "cherry": "pear",
    "pear": "pear",
    "alder": "pear",
    "beech": "pear",
    "maple": "maple",
    "ash": "maple",
    "birch": "maple",
    "basswood": "maple",
    "lime": "maple",
    "poplar": "maple",
    "sycamore": "maple",
}


def tone_of(name: str) -> str:
    """The drawn wood that a wood's name comes nearest to; smoked oak where nothing is known of it.

    >>> tone_of("black walnut"), tone_of("Bog oak"), tone_of("zebrano")
    ('walnut', 'bogoak', 'oak')
    """
    folded = name.casefold()
    return next((tone for word, tone in TONES.items() if word in folded), "oak")


def bundle_svg(strips: int, wood: str, thickness_mm: float, *, sentence: str = "") -> str:
    """A bundle of strips lying flat, tied twice; a layer stands for five strips.

    Parameters: strips on hand; wood, from tone_of; thickness_mm of a strip, by which the layers are drawn
    thicker or thinner; sentence, for screen readers (without one the drawing is hidden from them).
    Returns: an SVG element; an empty board where there is no strip.
    Raises: ValueError for fewer strips than none, or a strip without thickness.

    >>> bundle_svg(96, "walnut", 2.0).count("k-walnut")
    3
    """
    if strips < 0 or thickness_mm <= 0:
        raise ValueError("a bundle has no fewer strips than none, and each has a thickness")
    layers = min(MOST_LAYERS, math.ceil(strips / STRIPS_A_LAYER))
    high = min(2.2 + 0.75 * thickness_mm, TALLEST / max(layers, 1) - BETWEEN)
    return _stack(layers, high, wood, width=132.0, ties=True, sentence=sentence)


def boards_svg(pieces: int, wood: str, *, sentence: str = "") -> str:
    """Sawn boards on a board, one drawn for each as far as they can be told apart.

    Parameters: pieces on hand; wood, from tone_of; sentence, for screen readers.
    Returns: an SVG element.
    Raises: ValueError for fewer pieces than none.

    >>> boards_svg(3, "oak").count("k-oak")
    3
    """
    if pieces < 0:
        raise ValueError("there are no fewer boards than none")
    return _stack(min(pieces, 6), 13.0, wood, width=150.0, ties=False, sentence=sentence)


def leftover_svg(
    strip_mm: float,
    gap_mm: float,
    wood: str,
    *,
    length_mm: float = 200.0,
    phase_mm: float = 0.0,
    sentence: str = "",
) -> str:
    """A bar with its stripes in their true proportion; a small wedge marks the end that is measured from.

    Parameters: strip_mm and gap_mm; wood, from tone_of; length_mm, by which the bar is drawn longer or
    shorter; phase_mm, from the marked end to the first strip; sentence, for screen readers.
    Returns: an SVG element.
    Raises: ValueError for a strip or a length that is none, or a gap or a first line before the end.

    >>> leftover_svg(2, 2, "walnut", length_mm=412).count("k-walnut")
    1
    """
    if strip_mm <= 0 or length_mm <= 0 or gap_mm < 0 or phase_mm < 0:
        raise ValueError("a leftover has strips and a length, and its first line lies in it")
    width, high = min(150.0, max(48.0, length_mm * 0.36)), 32.0
    scale = min(3.0, max(1.2, 6 / (strip_mm + gap_mm)))
    pitch, top = (strip_mm + gap_mm) * scale, FLOOR - high
    # a strip cut by the marked end shows before the first whole one
    start = min(phase_mm, strip_mm + gap_mm) * scale - pitch
    boxes = []
    for n in range(math.ceil((width - start) / pitch) + 1):
        left = max(0.0, start + n * pitch)
        right = min(width, start + n * pitch + strip_mm * scale)
        if right - left > 0.05:
            boxes.append((left, top, right - left, high))
    parts = (
        element("rect", x=0, y=top, width=width, height=high, **fill("resin")),
        element("path", d=rectangles(boxes), **fill(wood)),
        element("rect", x=0.6, y=top + 0.6, width=width - 1.2, height=high - 1.2, **line("wood", 1.2)),
        element("path", d=f"M0 {top - 3:g}l-4 -7h8z", **fill("wood")),
    )
    return _drawing(width, parts, sentence)


def _stack(layers: int, high: float, wood: str, *, width: float, ties: bool, sentence: str) -> str:
    step = high + BETWEEN
    shades: list[list[tuple[float, float, float, float]]] = [[] for _ in SHADES]
    for n in range(layers):
        y = FLOOR - (n + 1) * step + 0.35
        shades[n % len(SHADES)].append((SHIFTS[n % len(SHIFTS)], y, width, high))
    parts = [
        element("path", d=rectangles(boxes), opacity=shade, **fill(wood))
        for boxes, shade in zip(shades, SHADES, strict=True)
        if boxes
    ]
    if ties and layers:
        top = FLOOR - layers * step - 0.6
        d = f"M{0.22 * width:.1f} {top:.1f}V{FLOOR}M{0.78 * width:.1f} {top:.1f}V{FLOOR}"
        parts.append(element("path", d=d, **line("paper", 3)))
    return _drawing(width + max(SHIFTS), tuple(parts), sentence)


def _drawing(width: float, parts: tuple[str, ...], sentence: str) -> str:
    measure: Attributes = {"width": round(width * SCALE), "height": round(FLOOR * SCALE)}
    return picture((width, FLOOR), *parts, sentence=sentence, class_="lotdraw", overflow="visible", **measure)
