"""The section through a block in its mould, with its dimensions, for paper and for screens.

Text is never scaled, so that a narrow drawing says less instead of saying it smaller.
"""

from dataclasses import dataclass
from typing import Literal

from projects.geometry.end_face import EndFace
from projects.geometry.stack import FREEBOARD_MM, Block
from workshop.drawing.svg import (
    element,
    figure,
    fill,
    hatch,
    line,
    picture,
    rectangles,
    strong,
    text_width,
    words,
)

Media = Literal["wide", "middle", "narrow", "paper"]
Unit = Literal["mm", "in"]
MM_PER_INCH = 25.4
# the widths in drawing units: three for screens, of which the style sheet shows one, and one for paper
WIDTHS = {"wide": 1264, "middle": 720, "narrow": 358, "paper": 640}
CLASSES = {"paper": "sheet-draw"}
# a drawing narrower than this leaves out what is flattened away; one wider than the second adds the mould
FULL, GENEROUS = 560, 1000
WALL, TOP = 16, 36
MOST_FREEBOARD = 24
CHAIN = "7 3 1.5 3"


def section_svg(block: Block, media: Media = "middle", unit: Unit = "mm") -> str:
    """The section at one width; its class is the name of the medium, for paper `sheet-draw`.

    Parameters: block; media, "wide", "middle" or "narrow" for screens, "paper" for a printed sheet; unit,
    "mm" or "in", in which lengths are written.
    Returns: an SVG element whose label says the figures in one sentence.
    Raises: KeyError for another medium.

    >>> from projects.geometry.stack import Stack
    >>> section_svg(Block(Stack(), 50, 600)).split('aria-label="')[1].split(",")[0]
    'Section through the block in its mould: 50 strips'
    """
    width = WIDTHS[media]
    frame = _Frame.around(block, width, unit)
    parts = [frame.mould(), frame.filling(), *([frame.flattening()] if frame.shows_flattening else [])]
    parts += [frame.breaks(), frame.labels(), frame.depths(), frame.widths()]
    classes = f"draw section {CLASSES.get(media, media)}"
    return picture((width, frame.bottom), *parts, sentence=frame.sentence(), class_=classes)


@dataclass(frozen=True)
class _Frame:
    """Where everything of one section stands: x and floor are the inner corner of the mould."""

    block: Block
    face: EndFace
    whole: float
    x: float
    floor: float
    unit: Unit = "mm"

    @classmethod
    def around(cls, block: Block, width: float, unit: Unit) -> "_Frame":
        full = width >= FULL
        left, right = (90, 90) if full else (10, 70)
        tallest = 230 if width >= GENEROUS else 190 if full else 150
        face = EndFace(block, width - left - right - 2 * WALL, tallest)
        # a block smaller than its frame stands in the middle of it
        x = left + WALL + (width - left - right - 2 * WALL - face.width) / 2
        freeboard = min(FREEBOARD_MM * face.scale, MOST_FREEBOARD)
        return cls(block, face, width, x, TOP + freeboard + face.height, unit)

    def _say(self, length_mm: float) -> str:
        """A length as the shop reads it; its unit stands where the drawing names one."""
        return figure(length_mm) if self.unit == "mm" else figure(length_mm / MM_PER_INCH, 3)

    @property
    def full(self) -> bool:
        return self.whole >= FULL

    @property
    def shows_flattening(self) -> bool:
        return self.full and self.block.stack.flatten_mm > 0

    @property
    def right(self) -> float:
        return self.x + self.face.width

    @property
    def base(self) -> float:
        return self.floor + WALL

    @property
    def rows(self) -> list[str]:
        """The lines of text under the drawing, in order."""
        block = self.block
        rows = [] if self._inline else [self._width_words]
        if self.whole >= GENEROUS:
            inside = self._say(block.mould_inside_mm[1])
            rows.append(f"{inside} {self.unit} inside the mould, rim {self._say(block.rim_mm)} all round")
        if self.face.missing:
            rows.append(f"the middle {self.face.missing} strips are not drawn")
        if self.face.broken_deep:
            rows.append("the middle of the depth is not drawn")
        return rows

    @property
    def bottom(self) -> float:
        return self.base + 34 + 18 * len(self.rows)

    @property
    def _width_words(self) -> str:
        block = self.block
        strips = f"{block.strips} strips" if block.strips > 1 else "one strip"
        pitch = f", pitch {self._say(block.stack.pitch_mm)}" if self.full else ""
        return f"{self._say(block.width_mm)} {self.unit}, {strips}{pitch}"

    @property
    def _inline(self) -> bool:
        """Whether the width's words fit into its dimension line."""
        return self.right - self.x - 2 * self._rim > text_width(self._width_words) + 60

    @property
    def _rim(self) -> float:
        return self.block.rim_mm * self.face.scale

    def mould(self) -> str:
        """Floor and walls, hatched with lines."""
        outer = self.right - self.x + 2 * WALL
        boxes = [
            (self.x - WALL, self.floor, outer, WALL),
            (self.x - WALL, TOP, WALL, self.floor - TOP),
            (self.right, TOP, WALL, self.floor - TOP),
        ]
        hatched = "".join(hatch(*box) for box in boxes)
        outlines = element("path", d=rectangles(boxes), **line("ink", 1, also="outline"))
        return element("path", d=hatched, **line("edge", 0.8)) + outlines

    def filling(self) -> str:
        """Resin up to the fill line, and the strips in it."""
        top = self.floor - self.face.height
        box = (self.x, top, self.face.width, self.face.height)
        resin = element("path", d=rectangles([box]), **fill("resin"))
        strips = element("path", d=rectangles(self.face.strip_boxes(self.x, self.floor)), **fill("lam"))
        level = element("path", d=f"M{self.x:.2f} {top:.2f}H{self.right:.2f}", **line("ink", 1.6))
        return resin + strips + level

    def flattening(self) -> str:
        """The two lines down to which both faces are flattened, over a band that keeps them readable."""
        ends = f"H{self.right + WALL + 14:.2f}"
        paths = "".join(f"M{self.x - WALL - 14:.2f} {y:.2f}{ends}" for y in self._faces)
        halo = element("path", d=paths, **line("paper", 2.6), stroke_opacity=0.65)
        return halo + element("path", d=paths, **line("ink", 1, dashes=CHAIN))

    @property
    def _faces(self) -> tuple[float, float]:
        flatten_mm = self.block.stack.flatten_mm
        upper_mm = self.block.poured_depth_mm - flatten_mm
        return self.floor - self.face.up(upper_mm), self.floor - self.face.up(flatten_mm)

    def breaks(self) -> str:
        return self.face.breaks(self.x, self.floor, outside=WALL + 6)

    def labels(self) -> str:
        """What the lines mean, above the mould, each with a leader."""
        over = self._say(self.block.over_mm)
        said = (
            f"fill line, {over} over the strips" if self.block.over_mm else "fill line, level with the strips"
        )
        left = self.x - WALL if self.full else 10
        left = min(left, self.whole / 2 - text_width(said) - 8) if self.shows_flattening else left
        left = max(4, left)
        spot = min(max(self.x + 24, left + 8), left + text_width(said) - 24)
        parts = [words(left, 16, said), self._leader(spot, self.floor - self.face.height)]
        if self.shows_flattening:
            away = f"flattened away, {self._say(self.block.stack.flatten_mm)} each face"
            right = max(self.right + WALL, self.whole / 2 + text_width(away) + 8)
            spot = max(min(self.right - 24, right - 8), right - text_width(away) + 24)
            parts += [words(right, 16, away, anchor="end"), self._leader(spot, self._faces[0])]
        return "".join(parts)

    def _leader(self, start: float, y: float) -> str:
        end = min(max(start, self.x + 3), self.right - 3)
        return element("path", d=f"M{start:.2f} 21L{start:.2f} 27L{end:.2f} {y:.2f}", **line("ink", 1))

    def depths(self) -> str:
        """The depth as poured at the right, as finished at the left."""
        top = self.floor - self.face.up(self.block.poured_depth_mm)
        poured = self._say(self.block.poured_depth_mm)
        parts = [self._upright(self.right + WALL + 14, (top, self.floor), poured, "poured", side=1)]
        if self.shows_flattening:
            finished = self._say(self.block.stack.depth_mm)
            parts.append(self._upright(self.x - WALL - 14, self._faces, finished, "finished", side=-1))
        return "".join(parts)

    def _upright(self, x: float, ends: tuple[float, float], shown: str, word: str, *, side: int) -> str:
        top, bottom = ends
        stroke = f"M{x:.2f} {top:.2f}V{bottom:.2f}M{x - 5:.2f} {top:.2f}h10M{x - 5:.2f} {bottom:.2f}h10"
        middle, anchor = (top + bottom) / 2, "end" if side < 0 else None
        return "".join(
            [
                element("path", d=stroke, **line("ink", 1)),
                words(x + 10 * side, middle - 2, strong(shown), anchor=anchor),
                words(x + 10 * side, middle + 13, word, anchor=anchor),
            ]
        )

    def widths(self) -> str:
        """The width across the strips, below the mould, and whatever else is said there."""
        y = self.base + 18
        left, right = self.x + self._rim, self.right - self._rim
        spans = [(left, right)]
        parts = []
        if self._inline:
            middle, half = (left + right) / 2, text_width(self._width_words) / 2 + 8
            spans = [(left, middle - half), (middle + half, right)]
            parts.append(self._row(y + 4.5, self._width_words, middle, quiet=False))
        strokes = "".join(f"M{start:.2f} {y:.2f}H{end:.2f}" for start, end in spans)
        ticks = "".join(f"M{x:.2f} {y - 6:.2f}v12" for x in (left, right))
        parts.append(element("path", d=strokes + ticks, **line("ink", 1)))
        for n, row in enumerate(self.rows):
            parts.append(self._row(y + 24 + 18 * n, row, (left + right) / 2, quiet=row != self._width_words))
        return "".join(parts)

    def _row(self, y: float, said: str, middle: float, *, quiet: bool) -> str:
        """A centred line of words, moved inwards where it would leave the drawing."""
        half = text_width(said) / 2
        middle = min(max(middle, half + 2), self.whole - half - 2)
        if quiet:
            return words(middle, y, said, anchor="middle", quiet=True)
        shown, unit, rest = said.partition(f" {self.unit}")
        return words(middle, y, strong(shown + unit), rest, anchor="middle")

    def sentence(self) -> str:
        """What the drawing says, in one sentence."""
        block, stack = self.block, self.block.stack
        strips = f"{block.strips} strips" if block.strips > 1 else "one strip"
        said = [
            f"Section through the block in its mould: {strips}, {self._say(block.width_mm)} {self.unit} wide",
            f"{self._say(block.poured_depth_mm)} {self.unit} poured",
            f"{self._say(stack.depth_mm)} {self.unit} finished",
            f"filled {self._say(block.over_mm)} {self.unit} over the strips",
        ]
        if self.face.missing:
            said.append(f"the middle {self.face.missing} strips not drawn")
        return ", ".join(said) + "."
