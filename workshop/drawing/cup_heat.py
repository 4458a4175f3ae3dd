"""How warm a cup gets that is left standing: what is expected, the band, the pot life, what was measured.

Past 150 °C the picture says that it runs away and gives no figure: the model holds no further.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from workshop.drawing.frame import TOP, Frame, Media, classes, round_step
from workshop.drawing.svg import element, escape, fill, line, number, picture, strong, text_width, words
from workshop.drawing.time_axis import Curve, figure_of
from workshop.drawing.warmth import celsius

RUNAWAY_C = 150.0
FOOT = 46.0
MOST_DOTS = 48
MINUTE_STEPS = (1, 2, 5, 10, 15, 20, 30, 60, 120, 180, 240, 360, 720, 1440, 2880)
HOURS_FROM_MIN = 180.0


@dataclass(frozen=True)
class CupHeat:
    """What the picture shows; minutes count from when the parts met.

    Parameters: expected, safe and cool, curves of (minutes, °C), safe and cool may be empty; before, the
    curve by the sheet alone, where a test has changed it; points, what a thermometer showed; pot_min, the
    pot life.

    >>> cup = CupHeat([(0, 25), (40, 90), (60, 70)], pot_min=30)
    >>> cup.peak, round(cup.until_min)
    ((40, 90), 66)
    """

    expected: Curve
    safe: Curve = ()
    cool: Curve = ()
    before: Curve = ()
    points: Curve = ()
    pot_min: float | None = None

    @property
    def peak(self) -> tuple[float, float]:
        """The hottest moment that is expected."""
        return hottest(self.expected)

    @property
    def until_min(self) -> float:
        """How far the picture looks: past what it marks; a slow cool end is cut off."""
        ends = [curve[-1][0] for curve in (self.expected, self.safe, self.points) if curve]
        if self.before:
            ends.append(hottest(self.before)[0])
        return 1.1 * max(*ends, self.pot_min or 0, 1)


def hottest(curve: Curve) -> tuple[float, float]:
    """The highest point of a curve.

    >>> hottest([(0, 25), (40, 90), (60, 70)])
    (40, 90)
    """
    return max(curve, key=lambda point: point[1])


def cup_heat_svg(cup: CupHeat, media: Media, prefix: str, say: Callable[[float], str] | None = None) -> str:
    """The picture at the width of its medium.

    Parameters: cup; media, "wide", "middle" or "narrow" for screens, "paper" for print; prefix, of the ids
    inside, unique on the page; say, how a temperature is written (°C without it).
    Returns: an SVG element whose label says the result in one sentence.
    Raises: KeyError for another medium; ValueError for a prefix that can't begin an id.

    >>> drawn = cup_heat_svg(CupHeat([(0, 25), (40, 90), (60, 70)], pot_min=30), "narrow", "c")
    >>> drawn.split('aria-label="')[1].split('"')[0]
    'A cup left standing: 90 °C expected at the hottest, after 40 min; pot life 30 min.'
    """
    plot = _Plot(cup, frame_of(cup, media, prefix), say or celsius)
    parts = [
        *plot.frame.ground(),
        *plot.band(),
        *plot.frame.levels(lambda level: figure_of(plot.say(level))),
        *plot.times(),
        *plot.pot_life(),
        *plot.curves(),
        *plot.labels(),
    ]
    frame = plot.frame
    return picture(
        (frame.width, frame.floor + FOOT),
        *parts,
        sentence=plot.sentence(),
        class_=classes(frame, "cup-heat"),
    )


def spoken(minutes: float) -> str:
    """A span as people say it.

    >>> spoken(44.3), spoken(418), spoken(360)
    ('44 min', '7 h', '6 h')
    """
    if minutes < HOURS_FROM_MIN:
        return f"{minutes:.0f} min"
    return f"{round(minutes / 30) / 2:g} h"


def frame_of(cup: CupHeat, media: Media, prefix: str) -> Frame:
    """The frame round all that is shown, up to where a cup runs away.

    >>> frame_of(CupHeat([(0, 25), (40, 90), (60, 70)]), "narrow", "c").high
    90
    """
    shown = [c for curve in (cup.expected, cup.safe, cup.cool, cup.before, cup.points) for _, c in curve]
    low = math.floor(min(shown) / 10) * 10
    high = max(math.ceil(min(max(shown), RUNAWAY_C + 10) / 10) * 10, low + 20)
    return Frame(media, prefix, 0, cup.until_min, low, high)


@dataclass(frozen=True)
class _Plot:
    """One picture in its frame."""

    cup: CupHeat
    frame: Frame
    say: Callable[[float], str]

    def band(self) -> list[str]:
        """From the cool end to the safe side."""
        cool, safe = self.cup.cool, self.cup.safe
        if not (cool and safe):
            return []
        # a curve ends soon after its peak; a band is only where both are known
        end = min(safe[-1][0], cool[-1][0], self.frame.right)
        there, back = self.frame.within(safe, end), list(reversed(self.frame.within(cool, end)))
        outline = f"{self.frame.path(there)}{self.frame.path(back).replace('M', 'L', 1)}z"
        return self.frame.shade("band", outline)

    def times(self) -> list[str]:
        frame, end = self.frame, self.cup.until_min
        hours = end > HOURS_FROM_MIN
        step = round_step(end, (frame.edge - 46) / 52, [s for s in MINUTE_STEPS if not hours or s >= 60])
        values = [step * n for n in range(int(end / step) + 1)]

        def said(minutes: float) -> str:
            shown = f"{minutes / 60:g}" if hours else f"{minutes:g}"
            return f"{shown} {'h' if hours else 'min'}" if minutes == values[-1] else shown

        return frame.ticks(values, said)

    def pot_life(self) -> list[str]:
        pot = self.cup.pot_min
        if pot is None:
            return []
        at, frame = self.frame.x(pot), self.frame
        said = f"pot life by the sheet, {spoken(pot)}"
        half = text_width(said) / 2
        centre = min(max(at, half), frame.width - half)
        return [
            element("path", d=f"M{number(at)} {TOP:g}V{number(frame.floor)}", **line("ink", 1, "2 4")),
            words(centre, frame.floor + 38, escape(said), anchor="middle"),
        ]

    def curves(self) -> list[str]:
        parts = []
        if self.cup.before:
            parts.append(
                element("path", d=self.frame.path(self.cup.before), **line("edge", 1.5, "7 3 1.5 3"))
            )
        if self.cup.safe:
            parts.append(element("path", d=self.frame.path(self.cup.safe), **line("flame", 1.5, "5 3")))
        parts.append(element("path", d=self.frame.path(self.cup.expected), **line("ink", 3)))
        every = max(1, math.ceil(len(self.cup.points) / MOST_DOTS))
        parts += [
            element(
                "circle",
                cx=self.frame.x(at),
                cy=max(self.frame.y(temp_c), 0),
                r=3.5,
                **fill("lit", outline="ink", width=1.5),
            )
            for at, temp_c in self.cup.points[::every]
        ]
        return [self.frame.clipped(*parts)]

    def labels(self) -> list[str]:
        """What each curve says, beside the place where it is hottest, clear of one another."""
        rows, lowest = [], TOP
        for curve, name, bold in self.named_curves():
            at, temp_c = hottest(curve)
            said = f"{self.warm(temp_c)} {name}"
            y = max(self.frame.y(min(temp_c, self.frame.high)) - 9, lowest + 18)
            x, anchor = self.beside(y, text_width(said), at)
            rows.append(words(x, y, strong(said) if bold else escape(said), anchor=anchor))
            lowest = y
        return [element("g", *rows, class_="halo on-lit")]

    def named_curves(self) -> list[tuple[Curve, str, bool]]:
        """The curves that are labelled, the hottest first."""
        named = [
            (self.cup.safe, "on the safe side", False),
            (self.cup.expected, "expected", True),
            (self.cup.before, "by the sheet alone", False),
            (self.cup.points, "measured", True),
        ]
        return sorted(
            (row for row in named if row[0]), key=lambda row: min(hottest(row[0])[1], RUNAWAY_C), reverse=True
        )

    def beside(self, y: float, wide: float, peak_min: float) -> tuple[float, str | None]:
        """Left of where the curves rise past a height, or right of the peak, or at the edge."""
        rises = [
            self.frame.x(at)
            for curve, _, _ in self.named_curves()
            for at, temp_c in curve
            if self.frame.y(temp_c) < y + 6
        ]
        left = min(rises, default=self.frame.edge) - 10
        if left - wide >= self.frame.x(0):
            return left, "end"
        right = max([x for x in rises if x <= self.frame.edge], default=self.frame.x(peak_min)) + 10
        if right + wide <= self.frame.width:
            return right, None
        return self.frame.edge - 4, "end"

    def warm(self, temp_c: float) -> str:
        return self.say(temp_c) if temp_c <= RUNAWAY_C else f"runs away (over {self.say(RUNAWAY_C)})"

    def sentence(self) -> str:
        at, temp_c = self.cup.peak
        said = f"A cup left standing: {self.warm(temp_c)} expected at the hottest, after {spoken(at)}"
        if self.cup.safe:
            said += f", {self.warm(hottest(self.cup.safe)[1])} on the safe side"
        if self.cup.points:
            said += f", {self.warm(hottest(self.cup.points)[1])} measured"
        if self.cup.pot_min is not None:
            said += f"; pot life {spoken(self.cup.pot_min)}"
        return said + "."
