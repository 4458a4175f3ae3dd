"""How deep one pour may be against the share of resin in the stack, by the model and by the sheet."""

from collections.abc import Callable
from dataclasses import dataclass

from workshop.drawing.frame import Frame, Media, classes
from workshop.drawing.svg import element, escape, fill, line, number, picture, strong, text_width, words
from workshop.drawing.time_axis import Curve, figure_of, value_at

HIGHEST_MM = 100.0
MARK_PERCENT = 50.0
FOOT = 44.0
ROW = 18.0


@dataclass(frozen=True)
class DepthShare:
    """What the picture shows.

    Parameters: expected and safe, curves of (percent of resin in the stack, mm); sheet_mm, the sheet's
    deepest pour of neat resin; limit_c, what the lines keep below.

    >>> depths = DepthShare([(20, 90), (50, 30), (100, 15)], [(20, 60), (50, 20), (100, 10)], 12)
    >>> depths.sheet[0], depths.at(50)
    ((20, 60.0), (30.0, 20.0, 24.0))
    """

    expected: Curve
    safe: Curve
    sheet_mm: float | None = None
    limit_c: float = 60.0

    @property
    def sheet(self) -> Curve:
        """The sheet's depth over the share; nothing where the sheet has none."""
        if self.sheet_mm is None:
            return ()
        least = self.expected[0][0]
        return [(least + n, 100 * self.sheet_mm / (least + n)) for n in range(round(100 - least) + 1)]

    def at(self, percent: float) -> tuple[float, float, float | None]:
        """Expected, safe and the sheet's depth at a share."""
        by_sheet = None if self.sheet_mm is None else 100 * self.sheet_mm / percent
        return value_at(self.expected, percent), value_at(self.safe, percent), by_sheet


def depth_share_svg(
    depths: DepthShare, media: Media, prefix: str, say: Callable[[float], str] | None = None
) -> str:
    """The picture at the width of its medium.

    Parameters: depths; media, "wide", "middle" or "narrow" for screens, "paper" for print; prefix, of the
    ids inside, unique on the page; say, how a depth is written (mm without it).
    Returns: an SVG element whose label says the result in one sentence.
    Raises: KeyError for another medium; ValueError for a prefix that can't begin an id.

    >>> depths = DepthShare([(20, 90), (50, 30), (100, 15)], [(20, 60), (50, 20), (100, 10)], 12)
    >>> depth_share_svg(depths, "wide", "d").split('aria-label="')[1].split('"')[0]
    'At 50 % resin one pour may be 30 mm deep as expected, 20 mm on the safe side, 24 mm by the sheet.'
    """
    plot = _Plot(depths, frame_of(depths, media, prefix), say or millimetres)
    frame = plot.frame
    parts = [
        *frame.ground(),
        *plot.fit_to_pour(),
        *frame.levels(lambda level: figure_of(plot.say(level))),
        *frame.ticks(range(20, 101, 20), lambda percent: f"{percent:g} %"),
        words(frame.edge, frame.floor + 38, "of the stack is resin", anchor="end", quiet=True),
        plot.curves(),
        *plot.marks(),
    ]
    return picture(
        (frame.width, frame.floor + FOOT),
        *parts,
        sentence=plot.sentence(),
        class_=classes(frame, "depth-share"),
    )


def millimetres(depth_mm: float) -> str:
    """A depth as it is written without further wishes.

    >>> millimetres(24.4)
    '24 mm'
    """
    return f"{depth_mm:.0f} mm" if depth_mm >= 10 else f"{depth_mm:.2g} mm"


def frame_of(depths: DepthShare, media: Media, prefix: str) -> Frame:
    """The frame: high enough for half resin and a bit, never higher than any block is deep.

    >>> depths = DepthShare([(20, 90), (50, 30), (100, 15)], [(20, 60), (50, 20), (100, 10)], 12)
    >>> frame_of(depths, "wide", "d").high
    60
    """
    wanted = 2 * max(value for value in depths.at(MARK_PERCENT) if value is not None)
    steps = (5, 10, 20, 40, 60, 80)
    high = next((step for step in steps if step >= min(wanted, HIGHEST_MM)), HIGHEST_MM)
    return Frame(media, prefix, depths.expected[0][0], 100, 0, high)


@dataclass(frozen=True)
class _Plot:
    """One picture in its frame."""

    depths: DepthShare
    frame: Frame
    say: Callable[[float], str]

    def fit_to_pour(self) -> list[str]:
        """What lies below both the safe side and the sheet: nothing without a sheet's depth."""
        if self.depths.sheet_mm is None:
            return []
        both = [
            (percent, min(value_at(self.depths.safe, percent), by_sheet))
            for percent, by_sheet in self.depths.sheet
        ]
        floor = f"L{number(self.frame.edge)} {number(self.frame.floor)}H{number(self.frame.x(both[0][0]))}z"
        return self.frame.shade("fit", self.frame.path(both) + floor)

    def curves(self) -> str:
        parts = []
        if self.depths.sheet:
            parts.append(element("path", d=self.frame.path(self.depths.sheet), **line("stop", 2)))
        parts.append(element("path", d=self.frame.path(self.depths.safe), **line("flame", 1.5, "5 3")))
        parts.append(element("path", d=self.frame.path(self.depths.expected), **line("ink", 3)))
        return self.frame.clipped(*parts)

    def marks(self) -> list[str]:
        """The three depths at half resin: the least named below its line, the others above theirs."""
        expected, safe, by_sheet = self.depths.at(MARK_PERCENT)
        safe_name = "safe side" if self.frame.media == "narrow" else "on the safe side"
        rows = [(expected, "expected", True), (safe, safe_name, False)]
        rows += [(by_sheet, "by the sheet", False)] if by_sheet is not None else []
        shown = sorted((row for row in rows if row[0] <= self.frame.high), key=lambda row: row[0])
        x, dots, texts, above = self.frame.x(MARK_PERCENT), [], [], self.frame.floor
        for place, (depth_mm, name, bold) in enumerate(shown):
            at, said = self.frame.y(depth_mm), f"{self.say(depth_mm)} {name}"
            dots.append(element("circle", cx=x, cy=at, r=4, **fill("ink")))
            run = strong(said) if bold else escape(said)
            if place == 0:
                texts.append(words(x - 4, min(at + ROW, self.frame.floor - 5), run, anchor="end"))
                continue
            above = min(at - 3, above - ROW)
            texts.append(words(min(x + 12, self.frame.width - text_width(said)), above, run))
        return [*dots, element("g", *texts, class_="halo on-lit")]

    def sentence(self) -> str:
        expected, safe, by_sheet = self.depths.at(MARK_PERCENT)
        said = f"At 50 % resin one pour may be {self.say(expected)} deep as expected"
        said += f", {self.say(safe)} on the safe side"
        return said + ("." if by_sheet is None else f", {self.say(by_sheet)} by the sheet.")
