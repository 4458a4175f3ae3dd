"""Drawings of blocks and panels as things, without mould or dimensions around them."""

from typing import TYPE_CHECKING, Any, Literal

from projects.geometry.end_face import EndFace
from projects.geometry.stack import Block, Stack
from workshop.drawing.svg import element, figure, fill, line, picture, rectangles, text_width, words

if TYPE_CHECKING:
    from projects.geometry.panel import Panel

WIDTH, TALLEST, MARGIN, TEXT_ROW = 358, 150, 8, 22


def block_svg(stack: Stack, strips: int) -> str:
    """The end of a block to scale: strips on edge with resin between them.

    Parameters: stack; strips, how many.
    Returns: an SVG element; where strips would be too fine to be told apart it is broken in the middle,
    and says how many are not drawn.
    Raises: OutOfRange.

    >>> block_svg(Stack(), 50).split('aria-label="')[1].split('"')[0]
    'The end of a block: 50 strips of 2 mm with gaps of 2 mm, 198 mm wide, 12 mm deep.'
    """
    block = Block(stack, strips, length_mm=stack.max_length_mm, rim_mm=0, over_mm=0)
    face = EndFace(block, WIDTH - 2 * MARGIN, TALLEST)
    x, floor = (WIDTH - face.width) / 2, MARGIN + face.height
    box = (x, floor - face.height, face.width, face.height)
    rows = _rows(block, face)
    parts = [
        element("path", d=rectangles([box]), **fill("resin")),
        element("path", d=rectangles(face.strip_boxes(x, floor)), **fill("lam")),
        element("path", d=rectangles([box]), **line("ink", 1)),
        face.breaks(x, floor, outside=6),
        *(_centred(row, floor + TEXT_ROW * (n + 1), quiet=n > 0) for n, row in enumerate(rows)),
    ]
    height = floor + TEXT_ROW * len(rows) + MARGIN
    return picture((WIDTH, height), *parts, sentence=_sentence(block, face), class_="draw block")


def panel_svg(
    panel: "Panel",
    numbers: bool = False,
    arrows: bool = False,
    brightness: Any = None,
    stripes: Literal["pattern", "shapes"] = "pattern",
) -> str:
    """A panel to scale, every piece with its stripes, one drawing unit for a millimetre where there is room.

    Parameters: panel; numbers, whether each piece carries its place number (F: face down); arrows, whether
    one piece of each way of lying shows the direction of its bar; brightness, for each piece, from
    sight.brightness (None: by daylight); stripes, "pattern" for screens, "shapes" for paper.
    Returns: an SVG element.
    Raises: OutOfRange for a brightness outside 0 to 1; ValueError for a wrong number of them; KeyError for
    other stripes.

    >>> from projects.geometry.panel import lay_out
    >>> from projects.geometry.patterns.squares import squares
    >>> drawing = panel_svg(lay_out(squares(60), 600, 420, Stack(), origin=(30, 30)))
    >>> drawing.split('aria-label="')[1].split('"')[0]
    'A panel of squares, 600 × 420 mm, 280 pieces, none of them cut by the frame.'
    """
    # a block is drawn without the library that a panel's many pieces need
    from projects.geometry.panel_drawing import drawn

    shapes = {"pattern": False, "shapes": True}[stripes]
    return drawn(panel, numbers=numbers, arrows=arrows, brightness=brightness, shapes=shapes)


def _rows(block: Block, face: EndFace) -> list[str]:
    wide, deep = figure(block.width_mm), figure(block.poured_depth_mm)
    strips = f"{block.strips} strips" if block.strips > 1 else "one strip"
    rows = [f"{wide} × {deep} mm, {strips}"]
    if face.missing:
        rows.append(f"the middle {face.missing} strips are not drawn")
    if face.broken_deep:
        rows.append("the middle of the depth is not drawn")
    return rows


def _centred(said: str, y: float, *, quiet: bool) -> str:
    middle = max(WIDTH / 2, text_width(said) / 2)
    return words(middle, y, said, anchor="middle", quiet=quiet)


def _sentence(block: Block, face: EndFace) -> str:
    stack = block.stack
    strips = f"{block.strips} strips" if block.strips > 1 else "one strip"
    said = (
        f"The end of a block: {strips} of {figure(stack.strip_mm)} mm with gaps of "
        f"{figure(stack.gap_mm)} mm, {figure(block.width_mm)} mm wide, "
        f"{figure(block.poured_depth_mm)} mm deep"
    )
    return said + (f", the middle {face.missing} strips not drawn." if face.missing else ".")
