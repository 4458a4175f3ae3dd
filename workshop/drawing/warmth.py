"""How warm a pour gets inside: the curve that is expected, the safe side, the limit, gel, windows, nights.

The same picture on screen and on paper, at the width that its place has. Text is never scaled.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from workshop.drawing.clear import Point, clear_words
from workshop.drawing.svg import (
    TEXT_SIZE,
    element,
    escape,
    fill,
    hatch,
    line,
    number,
    picture,
    rectangles,
    strong,
    text_width,
    words,
)
from workshop.drawing.time_axis import Curve, cut_at, figure_of, round_hours, said_hour, value_at

Media = Literal["wide", "middle", "narrow", "paper"]
WIDTHS = {"wide": 540, "middle": 720, "narrow": 358, "paper": 640}
HEIGHTS = {"wide": 360, "middle": 360, "narrow": 260, "paper": 250}
LEFT, RIGHT, TOP, FOOT = 46, 16, 26, 62
NIGHT = 9


@dataclass(frozen=True)
class Warmth:
    """What the picture shows; minutes count from the pour.

    Parameters: start, the moment of the pour by the shop's clock; hours, how far it looks; expected, safe and
    cool, curves of (minutes, °C), safe and cool may be empty; limit_c and limit_name; gel_min, when it begins
    to gel; opens_min and closes_min of the next pour's window; demould_min; shut, pairs of minutes in which
    the shop is shut.

    >>> from datetime import UTC
    >>> warmth = Warmth(datetime(2026, 3, 3, 13, tzinfo=UTC), 24, [(0, 20), (300, 51), (900, 20)])
    >>> warmth.peak
    (300, 51)
    """

    start: datetime
    hours: float
    expected: Curve
    safe: Curve = ()
    cool: Curve = ()
    limit_c: float | None = None
    limit_name: str = ""
    gel_min: float | None = None
    opens_min: float | None = None
    closes_min: float | None = None
    demould_min: float | None = None
    shut: Sequence[tuple[float, float]] = ()

    @property
    def peak(self) -> Point:
        """The hottest point that is expected."""
        return max(self.expected, key=lambda point: point[1])

    @property
    def safe_peak(self) -> Point | None:
        """The hottest point on the safe side."""
        return max(self.safe, key=lambda point: point[1]) if self.safe else None


def warmth_svg(warmth: Warmth, media: Media, prefix: str, say: Callable[[float], str] | None = None) -> str:
    """The picture at the width of its medium.

    Parameters: warmth; media, "wide", "middle" or "narrow" for screens, "paper" for print; prefix, of the
    ids inside, unique on the page; say, how a temperature is written (°C without it).
    Returns: an SVG element whose label says the result in one sentence.
    Raises: KeyError for another medium; ValueError for a prefix that can't begin an id.

    >>> from datetime import UTC
    >>> start = datetime(2026, 3, 3, 13, tzinfo=UTC)
    >>> drawn = warmth_svg(Warmth(start, 24, [(0, 20), (300, 51), (900, 20)], limit_c=60), "narrow", "w")
    >>> drawn.split('aria-label="')[1].split('"')[0]
    'Inside the pour: 51 °C expected at the hottest, limit 60 °C.'
    """
    plot = _Plot(warmth, media, prefix, say or celsius)
    parts = [
        *plot.ground(),
        *plot.band(),
        *plot.past_limit(),
        *plot.limit(),
        *plot.curves(),
        *plot.peaks(),
        *plot.gel(),
        *plot.foot(),
    ]
    classes = f"draw warmth {media}" if media != "paper" else "draw warmth sheet-draw"
    return picture((WIDTHS[media], plot.bottom), *parts, sentence=plot.sentence(), class_=classes)


def celsius(temp_c: float) -> str:
    """A temperature as it is written without further wishes.

    >>> celsius(51.4)
    '51 °C'
    """
    return f"{temp_c:.0f} °C"


@dataclass(frozen=True)
class _Plot:
    """One picture in its frame: where minutes and degrees lie."""

    warmth: Warmth
    media: Media
    prefix: str
    say: Callable[[float], str]

    @property
    def width(self) -> float:
        return WIDTHS[self.media]

    @property
    def height(self) -> float:
        return HEIGHTS[self.media]

    @property
    def bottom(self) -> float:
        return self.floor + FOOT

    @property
    def floor(self) -> float:
        return TOP + self.height

    @property
    def right(self) -> float:
        return self.width - RIGHT

    @property
    def span_c(self) -> tuple[float, float]:
        """The temperatures at floor and top: tens around all that is drawn."""
        shown = [c for curve in (self.warmth.expected, self.warmth.safe, self.warmth.cool) for _, c in curve]
        if self.warmth.limit_c is not None:
            shown.append(self.warmth.limit_c + 4)
        return math.floor(min(shown) / 10) * 10, max(math.ceil(max(shown) / 10) * 10, min(shown) + 20)

    def x(self, minutes: float) -> float:
        share = min(max(minutes / (60 * self.warmth.hours), 0), 1)
        return LEFT + share * (self.right - LEFT)

    def y(self, temp_c: float) -> float:
        low, high = self.span_c
        return self.floor - (temp_c - low) / (high - low) * self.height

    def within(self, curve: Curve) -> list[Point]:
        """A curve up to the end of the frame, cut there between its last two points."""
        return cut_at(curve, 60 * self.warmth.hours)

    def path(self, curve: Curve) -> str:
        points = [f"{number(self.x(minutes))} {number(self.y(c))}" for minutes, c in self.within(curve)]
        return "M" + "L".join(points)

    def ground(self) -> list[str]:
        """Light ground, hairlines at round temperatures, hours on top, nights as strips at the foot."""
        frame = element("rect", x=LEFT, y=TOP, width=self.right - LEFT, height=self.height, **fill("lit"))
        return [frame, *self.degrees(), *self.clock(), *self.nights()]

    def degrees(self) -> list[str]:
        low, high = self.span_c
        room = 2.2 * TEXT_SIZE * (high - low) / self.height
        step = next((step for step in (10, 20, 50) if step >= room), 100)
        levels = range(math.ceil(low / step) * step, int(high) + 1, step)
        return [
            part
            for level in levels
            for part in (
                element("path", d=f"M{LEFT} {number(self.y(level))}H{number(self.right)}", **line("hair")),
                words(LEFT - 8, self.y(level) + 4.5, figure_of(self.say(level)), anchor="end", quiet=True),
            )
        ]

    def clock(self) -> list[str]:
        """Clock times on top, as many as there is room for."""
        step = next(
            hours
            for hours in (1, 2, 3, 6, 12, 24, 48, 96, 1000)
            if (self.right - LEFT) * hours / self.warmth.hours >= text_width("midnight") + 12
        )
        parts = [words(LEFT, TOP - 8, escape(f"{self.warmth.start:%H:%M}"), quiet=True)]
        free = LEFT + text_width("00:00") + 10
        for moment in round_hours(self.warmth.start, self.warmth.hours, step):
            at = self.x((moment - self.warmth.start) / timedelta(minutes=1))
            said = said_hour(moment, step)
            half = text_width(said) / 2
            if at - half >= free and at + half <= self.width:
                parts.append(element("path", d=f"M{number(at)} {TOP - 4}v4", **line("edge")))
                parts.append(words(at, TOP - 8, escape(said), anchor="middle", quiet=True))
                free = at + half + 8
        return parts

    def nights(self) -> list[str]:
        boxes = []
        for start, end in self.warmth.shut:
            left, right = self.x(start), self.x(end)
            boxes += [(left + 6 * n, self.floor - NIGHT, 3, NIGHT) for n in range(int((right - left) / 6))]
        return [element("path", d=rectangles(boxes), **fill("edge"))] if boxes else []

    def band(self) -> list[str]:
        """From the cool end to the safe side; hatched on paper."""
        cool, safe = self.warmth.cool, self.warmth.safe
        if not (cool and safe):
            return []
        there = self.path(safe)
        back = self.path(list(reversed(self.within(cool)))) if len(cool) > 1 else ""
        outline = f"{there}{back.replace('M', 'L', 1)}z"
        if self.media != "paper":
            return [element("path", d=outline, **fill("glow"))]
        return self.hatched("band", outline, 7)

    def hatched(self, name: str, outline: str, step: float) -> list[str]:
        """An outline filled with lines, which print as they are on any paper."""
        clip = f"{self.prefix}-{name}"
        lines = hatch(LEFT, TOP, self.right - LEFT, self.height, step)
        return [
            element("clipPath", element("path", d=outline), id=clip),
            element("path", d=lines, clip_path=f"url(#{clip})", **line("hair")),
        ]

    def past_limit(self) -> list[str]:
        """What the safe side has beyond the limit."""
        limit, safe = self.warmth.limit_c, self.warmth.safe or self.warmth.expected
        if limit is None or max(c for _, c in safe) <= limit:
            return []
        clip = f"{self.prefix}-over"
        above = element("rect", x=LEFT, y=TOP, width=self.right - LEFT, height=self.y(limit) - TOP)
        points = self.within(safe)
        last, floor = number(self.x(points[-1][0])), number(self.floor)
        shape = f"{self.path(safe)}L{last} {floor}L{LEFT} {floor}z"
        return [
            element("clipPath", above, id=clip),
            element("path", d=shape, clip_path=f"url(#{clip})", **fill("stop")),
        ]

    def limit(self) -> list[str]:
        limit = self.warmth.limit_c
        if limit is None:
            return []
        at = self.y(limit)
        name = self.warmth.limit_name if self.media != "narrow" else ""
        said = f"limit {self.say(limit)}{', ' + name if name else ''}"
        return [
            element("path", d=f"M{LEFT} {number(at)}H{number(self.right)}", **line("stop", 2)),
            words(self.right - 4, at - 7, strong(said), anchor="end"),
        ]

    def curves(self) -> list[str]:
        parts = []
        if self.warmth.safe:
            parts.append(element("path", d=self.path(self.warmth.safe), **line("flame", 1.5, "5 3")))
        parts.append(element("path", d=self.path(self.warmth.expected), **line("ink", 3)))
        return parts

    def peaks(self) -> list[str]:
        """The two figures right of the curves, clear of the limit and its words."""
        x, y, _ = self.peaks_place()
        first, *more = self.peaks_said()
        rows = [words(x, y + 20 * row, said) for row, said in enumerate([strong(first), *map(escape, more)])]
        return [element("g", *rows, class_="halo on-lit")]

    def peaks_said(self) -> list[str]:
        safe = self.warmth.safe_peak
        more = [f"{self.say(safe[1])} on the safe side"] if safe else []
        return [f"{self.say(self.warmth.peak[1])} expected", *more]

    def peaks_place(self) -> tuple[float, float, float]:
        """Where these figures begin, and how wide they are."""
        peaks = [peak for peak in (self.warmth.peak, self.warmth.safe_peak) if peak]
        widest = max(text_width(said) for said in self.peaks_said())
        y = self.clear_of_limit(min(self.y(temp_c) for _, temp_c in peaks) + 14)
        return min(self.beyond(y + 26) + 12, self.right - widest - 4), y, widest

    def clear_of_limit(self, y: float) -> float:
        """Where two lines of text may begin: above the words at the limit, or below its line."""
        if self.warmth.limit_c is None:
            return min(y, self.floor - 52)
        at = self.y(self.warmth.limit_c)
        if y + 26 < at - 20:
            return y
        return min(max(y, at + 18), self.floor - 52)

    def beyond(self, y: float) -> float:
        """How far right the curves reach at a height."""
        reached = [
            self.x(minutes)
            for curve in (self.warmth.expected, self.warmth.safe)
            for minutes, c in curve
            if self.y(c) <= y
        ]
        return max(reached, default=LEFT)

    def gel(self) -> list[str]:
        """A ring on the curve with a plumb line down, and up to its words where they stand higher."""
        at = self.warmth.gel_min
        if at is None or at > 60 * self.warmth.hours:
            return []
        x, y = self.x(at), self.y(value_at(self.warmth.expected, at))
        clock = self.warmth.start + timedelta(minutes=at)
        said = f"gel {clock:%H:%M}" if self.media != "narrow" else "gel"
        left, base = self.gel_place(x, y, said)
        return [
            element("path", d=f"M{number(x)} {number(min(y, base))}V{number(self.floor)}", **line("ink", 1)),
            element("circle", cx=x, cy=y, r=5, **fill("lit", "ink", 2)),
            element("g", words(left, base, escape(said)), class_="halo on-lit"),
        ]

    def gel_place(self, x: float, y: float, said: str) -> Point:
        """Where the words at gel begin: beside the plumb line, as low as they are clear of all else."""
        wide, foot = text_width(said), self.floor - 16
        lefts = [left for left in (x + 6, x - 6 - wide) if left > LEFT and left + wide <= self.right]
        bases = [foot - 6 * step for step in range(int(foot - TOP) // 6 - 2)]
        return clear_words(lefts, bases, wide, [*self.lines(), [(x - 5, y), (x + 5, y)]]) or (x + 6, foot)

    def lines(self) -> list[list[Point]]:
        """What words keep clear of: the curves, the limit, and the two lines of words at the peak."""
        curves = (self.warmth.expected, self.warmth.safe, self.warmth.cool)
        lines = [[(self.x(minutes), self.y(c)) for minutes, c in self.within(curve)] for curve in curves]
        if self.warmth.limit_c is not None:
            lines.append([(LEFT, self.y(self.warmth.limit_c)), (self.right, self.y(self.warmth.limit_c))])
        x, y, wide = self.peaks_place()
        return [*lines, *([(x, y + down), (x + wide, y + down)] for down in (-5, 5, 15))]

    def foot(self) -> list[str]:
        """The next pour's window as a bracket, demoulding as a square flag, below the floor."""
        return [*self.demould(), *self.window()]

    def demould(self) -> list[str]:
        at = self.warmth.demould_min
        if at is None or at > 60 * self.warmth.hours:
            return []
        x, y = self.x(at), self.floor + 36
        return [
            element("path", d=f"M{number(x)} {number(self.floor)}V{number(y + 4)}", **line("ink", 1)),
            element("rect", x=x - 5, y=y + 4, width=10, height=10, **fill("ink")),
            self.label(x - 5, x + 5, y + 13, self.demould_said()),
        ]

    def window(self) -> list[str]:
        opens, closes = self.warmth.opens_min, self.warmth.closes_min
        end, y = 60 * self.warmth.hours, self.floor + 12
        if opens is None or opens >= end:
            return []
        left, right = self.x(opens), self.x(end if closes is None else min(closes, end))
        shut = "" if closes is None or closes > end else f"M{number(right - 5)} {number(y)}h5v18h-5"
        return [
            element("rect", x=left, y=y, width=max(right - left, 1), height=18, **fill("glow")),
            element("path", d=f"M{number(left + 5)} {number(y)}h-5v18h5{shut}", **line("ink", 2)),
            element("g", self.label(left, right, y + 13, self.window_said()), class_="halo"),
        ]

    def window_said(self) -> str:
        opens = self.clock_at(self.warmth.opens_min or 0)
        if self.media == "narrow":
            return f"next pour from {opens}"
        closes = self.warmth.closes_min
        return f"next pour {opens}" + (f" to {self.clock_at(closes)}" if closes is not None else " on")

    def demould_said(self) -> str:
        return f"demould {self.clock_at(self.warmth.demould_min or 0)}"

    def clock_at(self, minutes: float) -> str:
        moment = self.warmth.start + timedelta(minutes=minutes)
        same = moment.date() == self.warmth.start.date()
        return f"{moment:%H:%M}" if same else f"{moment:%a %H:%M}"

    def label(self, left: float, right: float, y: float, said: str) -> str:
        """Words right of a mark, or left of it where there is no room."""
        if right + 8 + text_width(said) <= self.width:
            return words(right + 8, y, escape(said))
        if left - 8 - text_width(said) >= 0:
            return words(left - 8, y, escape(said), anchor="end")
        return words(self.width, y, escape(said), anchor="end")

    def sentence(self) -> str:
        said = f"Inside the pour: {self.say(self.warmth.peak[1])} expected at the hottest"
        if self.warmth.safe_peak:
            said += f", {self.say(self.warmth.safe_peak[1])} on the safe side"
        if self.warmth.limit_c is not None:
            said += f", limit {self.say(self.warmth.limit_c)}"
        return said + "."
