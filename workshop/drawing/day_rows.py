"""Days of a shop as rows from six to six: light where it is open, strips where it is shut, pours and windows.

A pour is a block of wood, the window in which the next may follow an open bracket that runs through the
night; it closes only where the window does.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from workshop.drawing.svg import element, escape, fill, line, number, picture, rectangles, strong, words
from workshop.drawing.svg import text_width as wide

Media = Literal["wide", "narrow"]
Span = tuple[float, float]
WIDTHS = {"wide": 720, "narrow": 358}
LABEL = {"wide": 74, "narrow": 44}
FIRST_H, DAY_H = 6, 24
HEAD, ROW, LEAST_BLOCK = 24, 76, 4
LANE = 19  # two windows may be open at once: each has its lane
STRIP, PITCH = 2.4, 5


@dataclass(frozen=True)
class Mark:
    """A pour or a window in hours after six of its day; `said` is written beside it.

    `begins` and `ends` say whether a window's ends lie in this row, so that it gets its brackets; `lane` is
    its line, counted on so that two that follow each other never hide each other's brackets.

    >>> Mark((3.5, 4.25), "pour 1").ends
    True
    """

    span: Span
    said: str = ""
    begins: bool = True
    ends: bool = True
    lane: int = 0


@dataclass(frozen=True)
class DayRow:
    """One day: its name, when the shop is open, its pours and windows, all in hours after six.

    >>> DayRow("Tue 3", [(2, 12)]).pours
    ()
    """

    name: str
    sessions: Sequence[Span]
    pours: Sequence[Mark] = ()
    windows: Sequence[Mark] = ()


def day_rows_svg(rows: Sequence[DayRow], media: Media, sentence: str) -> str:
    """The rows at the width of their medium.

    Parameters: rows; media, "wide" or "narrow"; sentence, what they show.
    Returns: an SVG element.
    Raises: KeyError for another medium.

    >>> row = DayRow("Tue 3", [(2, 12)], [Mark((3, 3.75), "pour 1")], [Mark((9, 24), "pour 2", ends=False)])
    >>> day_rows_svg([row], "narrow", "Pour 1 on Tuesday.").count("<text")
    11
    """
    plot = _Plot(media, len(rows))
    parts = [*plot.clock(), *(part for place, row in enumerate(rows) for part in plot.row(place, row))]
    size = (WIDTHS[media], HEAD + ROW * len(rows) + 2)
    return picture(size, *parts, sentence=sentence, class_=f"draw days {media}")


@dataclass(frozen=True)
class _Plot:
    """Where hours and rows lie."""

    media: Media
    count: int

    @property
    def left(self) -> float:
        return LABEL[self.media]

    @property
    def right(self) -> float:
        return WIDTHS[self.media] - 1

    def x(self, hours: float) -> float:
        return self.left + min(max(hours / DAY_H, 0), 1) * (self.right - self.left)

    def clock(self) -> list[str]:
        """Hours on top, every second or every fourth."""
        step = 2 if self.media == "wide" else 4
        return [
            words(
                self.x(hour),
                HEAD - 8,
                f"{(FIRST_H + hour) % 24:02d}",
                anchor="end" if hour == DAY_H else "middle" if hour else None,
                quiet=True,
            )
            for hour in range(0, DAY_H + 1, step)
        ]

    def row(self, place: int, row: DayRow) -> list[str]:
        top = HEAD + ROW * place
        return [
            *self.ground(top, row),
            self.name(top, row.name),
            *(part for mark in row.windows for part in self.window(top + LANE * (mark.lane % 2), mark)),
            *(part for mark in row.pours for part in self.pour(top, mark)),
        ]

    def name(self, top: float, name: str) -> str:
        """The day at the left; on the phone its weekday over its date."""
        first, _, rest = name.partition(" ")
        if self.media == "wide":
            return words(0, top + 24, strong(rest), " ", escape(first))
        lines = [words(0, top + 22, strong(rest)), words(0, top + 38, escape(first), quiet=True)]
        return "".join(lines)

    def ground(self, top: float, row: DayRow) -> list[str]:
        """Strips where it is shut, light with crisp ends where it is open, a line above and below."""
        height = ROW - 8
        boxes = [
            (at, top, STRIP, height)
            for at in (self.left + PITCH * n for n in range(int((self.right - self.left) / PITCH)))
        ]
        parts = [element("path", d=rectangles(boxes), **fill("strip"))]
        for begun, end in row.sessions:
            left, right = self.x(begun), self.x(end)
            if right - left < 1:
                continue
            parts.append(element("rect", x=left, y=top, width=right - left, height=height, **fill("lit")))
            ends = f"M{number(left)} {top}v{height}M{number(right)} {top}v{height}"
            parts.append(element("path", d=ends, **line("edge")))
        edges = f"M{self.left} {top}H{number(self.right)}M{self.left} {top + height}H{number(self.right)}"
        return [*parts, element("path", d=edges, **line("ink", 1.4))]

    def window(self, top: float, mark: Mark) -> list[str]:
        """A glow between open brackets; a side that runs on has none."""
        left, right = self.x(mark.span[0]), self.x(mark.span[1])
        y, high = top + 3, 16
        begin = f"M{number(left + 5)} {y}h-5v{high}h5" if mark.begins else ""
        end = f"M{number(right - 5)} {y}h5v{high}h-5" if mark.ends else ""
        parts = [element("rect", x=left, y=y, width=max(right - left, 1), height=high, **fill("glow"))]
        if begin or end:
            parts.append(element("path", d=begin + end, **line("ink", 2)))
        if mark.said and wide(mark.said) + 16 <= right - left:
            parts.append(words(left + 9, y + 13, escape(mark.said)))
        return parts

    def pour(self, top: float, mark: Mark) -> list[str]:
        """A block of wood with its words beside it."""
        left = self.x(mark.span[0])
        broad = max(self.x(mark.span[1]) - left, LEAST_BLOCK)
        y = top + 43
        block = element("rect", x=left, y=y, width=broad, height=22, **fill("wood"))
        if left + broad + 6 + wide(mark.said) <= self.right:
            said = words(left + broad + 6, y + 15, strong(mark.said))
        else:
            said = words(left - 6, y + 15, strong(mark.said), anchor="end")
        return [block, element("g", said, class_="halo on-lit")]
