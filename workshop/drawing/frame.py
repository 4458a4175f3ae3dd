"""The ground of a chart with two plain axes: where values lie, hairlines at round ones, curves cut to it."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from workshop.drawing.svg import (
    TEXT_SIZE,
    element,
    escape,
    fill,
    hatch,
    line,
    named,
    number,
    text_width,
    words,
)
from workshop.drawing.time_axis import Curve, cut_at

Media = Literal["wide", "middle", "narrow", "paper"]
WIDTHS: dict[Media, float] = {"wide": 540, "middle": 720, "narrow": 358, "paper": 640}
HEIGHTS: dict[Media, float] = {"wide": 280, "middle": 300, "narrow": 240, "paper": 230}
LEFT, RIGHT, TOP = 46.0, 16.0, 14.0
ROUND_STEPS = (1, 2, 5, 10, 20, 25, 50, 100, 200, 500)


def round_step(span: float, most: float, steps: Iterable[float] = ROUND_STEPS) -> float:
    """The smallest round step of which a span holds no more than there is room for.

    Parameters: span; most, how many there is room for; steps to choose from, rising.
    Returns: the step; the span itself where none is large enough.

    >>> round_step(140, 6)
    25
    """
    return next((step for step in steps if span / step <= most), span)


@dataclass(frozen=True)
class Frame:
    """A chart's place: which values its edges stand for.

    Parameters: media; prefix, of the ids inside; left and right, values at the sides; low and high, at
    floor and top.

    >>> frame = Frame("narrow", "f", 0, 100, 0, 50)
    >>> frame.x(0), frame.y(0) == frame.floor
    (46.0, True)
    """

    media: Media
    prefix: str
    left: float
    right: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """How wide the whole picture is."""
        return WIDTHS[self.media]

    @property
    def edge(self) -> float:
        """Where the ground ends at the right."""
        return self.width - RIGHT

    @property
    def floor(self) -> float:
        """Where the ground ends at the foot."""
        return TOP + HEIGHTS[self.media]

    def x(self, value: float) -> float:
        """Where a value lies from left to right; never outside the ground."""
        share = min(max((value - self.left) / (self.right - self.left), 0.0), 1.0)
        return LEFT + share * (self.edge - LEFT)

    def y(self, value: float) -> float:
        """Where a value lies from floor to top; what is too high lies above the ground."""
        return self.floor - (value - self.low) / (self.high - self.low) * HEIGHTS[self.media]

    def within(self, curve: Curve, until: float | None = None) -> list[tuple[float, float]]:
        """A curve up to a value or the right edge, cut there between its last two points."""
        return cut_at(curve, self.right if until is None else until)

    def path(self, curve: Curve) -> str:
        """A curve as a path. What is far above the ground is drawn just above it: nobody sees it there."""
        places = [(self.x(at), max(self.y(value), -self.floor)) for at, value in self.within(curve)]
        return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in places)

    def ground(self) -> list[str]:
        """The light ground, and the shape that cuts off what is too high."""
        box = {"x": LEFT, "y": TOP, "width": self.edge - LEFT, "height": self.floor - TOP}
        return [
            element("clipPath", element("rect", **box), id=named(self.prefix, "ground")),
            element("rect", **box, **fill("lit")),
        ]

    def clipped(self, *parts: str) -> str:
        """Parts of which only what lies on the ground is seen."""
        return element("g", *parts, clip_path=f"url(#{self.prefix}-ground)")

    def levels(self, say: Callable[[float], str], steps: Iterable[float] = ROUND_STEPS) -> list[str]:
        """Hairlines across at round values, each with its figure at the left."""
        step = round_step(self.high - self.low, HEIGHTS[self.media] / (2.4 * TEXT_SIZE), steps)
        first, count = math.ceil(self.low / step), int((self.high - self.low) / step) + 2
        return [
            part
            for level in (step * (first + n) for n in range(count))
            if level <= self.high + 1e-9
            for part in (
                element("path", d=f"M{LEFT:g} {number(self.y(level))}H{number(self.edge)}", **line("hair")),
                words(LEFT - 8, self.y(level) + 4.5, escape(say(level)), anchor="end", quiet=True),
            )
        ]

    def ticks(self, values: Iterable[float], say: Callable[[float], str]) -> list[str]:
        """Figures below the ground; one that would touch its neighbour is left out."""
        parts: list[str] = []
        free = 0.0
        for value in values:
            at, said = self.x(value), say(value)
            half = text_width(said) / 2
            centre = min(at, self.width - half - 2)
            if centre - half < free:
                continue
            parts.append(element("path", d=f"M{number(at)} {number(self.floor)}v5", **line("edge")))
            parts.append(words(centre, self.floor + 19, escape(said), anchor="middle", quiet=True))
            free = centre + half + 8
        return parts

    def shade(self, name: str, outline: str) -> list[str]:
        """An area in a pale tone; on paper in lines, which print as they are."""
        if self.media != "paper":
            return [self.clipped(element("path", d=outline, **fill("glow")))]
        clip = named(self.prefix, name)
        lines = hatch(LEFT, TOP, self.edge - LEFT, self.floor - TOP, 7)
        return [
            element("clipPath", element("path", d=outline), id=clip),
            self.clipped(element("path", d=lines, clip_path=f"url(#{clip})", **line("hair"))),
        ]


def classes(frame: Frame, name: str) -> str:
    """The classes of a chart's root: what it is, and for which place.

    >>> classes(Frame("paper", "f", 0, 1, 0, 1), "cup-heat")
    'draw cup-heat sheet-draw'
    """
    return f"draw {name} {'sheet-draw' if frame.media == 'paper' else frame.media}"
