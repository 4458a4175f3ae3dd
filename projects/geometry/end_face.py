"""The end of a block as it is drawn: to one scale, and broken where it would be too fine to read.

A break leaves out strips in the middle, or the middle of the depth, between two zig-zag lines, as on any
workshop drawing. Nothing is squeezed: what is drawn has one scale both ways.
"""

from dataclasses import dataclass

from projects.geometry.stack import Block
from workshop.drawing.svg import element, fill, line, number

# the thinnest strip or gap, and the flattest block, that can still be told apart, in drawing units;
# and how large both are drawn once a break gives room for it
FINEST, FLATTEST = 1.5, 14
ROOMY, TALL = 2.5, 40
HAIRLINE = 0.75
BREAK = 26
TOOTH, PERIOD = 4, 14


@dataclass(frozen=True)
class EndFace:
    """A block's end inside its mould, fitted into a frame.

    Parameters: block; span and tallest, how wide and how high its inside may be drawn, in units.

    >>> from projects.geometry.stack import Stack
    >>> face = EndFace(Block(Stack(), strips=50, length_mm=600), span=412, tallest=200)
    >>> face.scale, face.missing, face.width, face.height
    (2.0, 0, 412, 26.0)
    """

    block: Block
    span: float
    tallest: float

    @property
    def scale(self) -> float:
        """Drawing units for one millimetre, across and deep."""
        _, wide_mm, fill_mm = self.block.mould_inside_mm
        stack = self.block.stack
        finest_mm = min(stack.strip_mm, stack.gap_mm or stack.strip_mm)
        whole = min(self.span / wide_mm, self.tallest / fill_mm)
        if whole >= max(FINEST / finest_mm, FLATTEST / fill_mm):
            return whole
        return max(whole, min(max(ROOMY / finest_mm, TALL / fill_mm), self._most))

    @property
    def _most(self) -> float:
        """The scale at which either side still shows two strips, and both ends of the depth their lines."""
        across = 0.4 * self.span / (2 * self.block.stack.pitch_mm + self.block.rim_mm)
        lines_mm = self.block.over_mm + self.block.stack.flatten_mm
        return min(across, 0.4 * self.tallest / lines_mm) if lines_mm else across

    @property
    def each_side(self) -> int:
        """How many strips are drawn on either side of a break."""
        block, scale = self.block, self.scale
        room = (self.span - BREAK) / 2 - block.rim_mm * scale
        return max(0, int(room / (block.stack.pitch_mm * scale)))

    @property
    def missing(self) -> int:
        """How many strips in the middle are not drawn."""
        if self.block.mould_inside_mm[1] * self.scale <= self.span + 1e-9:
            return 0
        return max(0, self.block.strips - 2 * self.each_side)

    @property
    def broken_deep(self) -> bool:
        """Whether the middle of the depth is left out."""
        return self.block.mould_inside_mm[2] * self.scale > self.tallest + 1e-9

    @property
    def width(self) -> float:
        """How wide the inside of the mould is drawn, in units."""
        return min(self.span, self.block.mould_inside_mm[1] * self.scale)

    @property
    def height(self) -> float:
        """How high the mould is drawn up to its fill line, in units."""
        return min(self.tallest, self.block.mould_inside_mm[2] * self.scale)

    def up(self, above_mm: float) -> float:
        """Where a height above the floor of the mould is drawn, in units above it.

        A height in what is left out is drawn at the break.
        """
        if not self.broken_deep:
            return above_mm * self.scale
        half, from_top_mm = self.height / 2, self.block.mould_inside_mm[2] - above_mm
        if above_mm < from_top_mm:
            return min(half, above_mm * self.scale)
        return max(half, self.height - from_top_mm * self.scale)

    def gap_across(self) -> tuple[float, float] | None:
        """From where to where the break across leaves strips out, counted from the mould's inner wall."""
        if not self.missing:
            return None
        side = (self.block.rim_mm + self.each_side * self.block.stack.pitch_mm) * self.scale
        return side, self.width - side

    def strip_boxes(self, x: float, floor: float) -> list[tuple[float, float, float, float]]:
        """Every strip that is drawn, as (x, y, width, height), the mould's inner corner being (x, floor)."""
        block, scale = self.block, self.scale
        pitch, rim = block.stack.pitch_mm * scale, block.rim_mm * scale
        thick = max(block.stack.strip_mm * scale, HAIRLINE)
        tall = self.up(block.strip_height_mm)
        count = self.each_side if self.missing else block.strips
        left = [x + rim + n * pitch for n in range(count)]
        right = [x + self.width - rim - thick - n * pitch for n in reversed(range(count))]
        starts = left + right if self.missing else left
        return [(start, floor - tall, thick, tall) for start in starts]

    def breaks(self, x: float, floor: float, outside: float) -> str:
        """The breaks, laid over the drawing: paper between zig-zag lines.

        Parameters: x and floor, the mould's inner corner; outside, how far the drawing goes beyond it.
        """
        parts = []
        gap = self.gap_across()
        if gap:
            top, bottom = floor - self.height - outside, floor + outside
            parts.append(_zigzag((x + gap[0], x + gap[1]), (top, bottom), upright=True))
        if self.broken_deep:
            middle = floor - self.height / 2
            sides = (x - outside, x + self.width + outside)
            parts.append(_zigzag((middle - BREAK / 4, middle + BREAK / 4), sides, upright=False))
        return "".join(parts)


def _zigzag(between: tuple[float, float], along: tuple[float, float], *, upright: bool) -> str:
    """A strip of paper with toothed edges: `between` its edges, running `along` the other direction."""
    count = max(2, round((along[1] - along[0]) / PERIOD) * 2)
    step = (along[1] - along[0]) / count

    def edge(where: float) -> list[tuple[float, float]]:
        points = [(where + (TOOTH if n % 2 else -TOOTH) / 2, along[0] + n * step) for n in range(count + 1)]
        return points if upright else [(place, off) for off, place in points]

    first, second = edge(between[0]), edge(between[1])
    blank = element("path", d=_polyline([*first, *reversed(second)]) + "z", **fill("paper"))
    teeth = element("path", d=_polyline(first) + _polyline(second), **line("ink", 1))
    return blank + teeth


def _polyline(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)
