"""The patterns as they are called and asked for on screen, and a small live drawing of each."""

from functools import lru_cache

from projects.geometry.patterns.registry import EXAMPLES, PATTERNS

NAMES = {
    "zigzag": "chevron",
    "peaks": "ridges",
    "hexagons": "nested hexagons",
    "hexrings": "hexagon rings",
    "cubes": "rhombus cubes",
    "basket": "basketweave",
    "squares": "nested squares",
    "herringbone": "herringbone",
    "star6": "six-point star",
    "star8": "eight-point star",
}
# in the order in which the pattern takes them: its own name for the size, our word, the kind of quantity
SIDE = (("side_mm", "Side", "length"),)
SIZES = {
    "zigzag": (
        ("column_mm", "Column", "length"),
        ("bar_mm", "Bar", "length"),
        ("angle_deg", "Angle", "angle"),
    ),
    "peaks": (("base_mm", "Base", "length"), ("height_mm", "Height of a ridge", "length")),
    "hexrings": (("side_mm", "Side of the inner ring", "length"), ("rings", "Rings", "count")),
    "herringbone": (("width_mm", "Width of a piece", "length"), ("ratio", "Length, in widths", "parts")),
}
MOST_SIZE_MM, MOST_RINGS = 2000, 12
THUMB_MM, THUMB_STRIP_MM = 150, 4


def sizes_of(pattern):
    """What a pattern wants to be told: (name, word, kind) each."""
    return SIZES.get(pattern, SIDE)


def examples_of(pattern):
    """Sizes to begin with, by name."""
    names = [name for name, _, _ in sizes_of(pattern)]
    return dict(zip(names, map(float, EXAMPLES[pattern]), strict=True))


def made(pattern, sizes):
    """The pure pattern of these sizes (a dict), called as on screen. Raises OutOfRange."""
    from dataclasses import replace

    in_order = [sizes[name] for name, _, _ in sizes_of(pattern)]
    whole = [
        int(value) if kind == "count" else value
        for value, (_, _, kind) in zip(in_order, sizes_of(pattern), strict=True)
    ]
    return replace(PATTERNS[pattern](*whole), name=NAMES[pattern])


@lru_cache(maxsize=1)
def thumbs():
    """A small drawing of each pattern, by its name: the same strips for all, so that they can be compared."""
    from projects.geometry.drawing import panel_svg
    from projects.geometry.panel import lay_out
    from projects.geometry.stack import Stack
    from workshop.drawn import drawn

    stack = Stack(strip_mm=THUMB_STRIP_MM, gap_mm=THUMB_STRIP_MM)
    return {
        name: drawn(panel_svg(lay_out(made(name, examples_of(name)), THUMB_MM, THUMB_MM, stack)))
        for name in NAMES
    }
