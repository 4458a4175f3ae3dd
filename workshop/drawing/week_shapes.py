"""The shapes in a row of days and nights: a block of work, a long bar, a window's brackets, a clash, now."""

from workshop.drawing.svg import (
    FIGURE_FAMILY,
    PAPER,
    TEXT_FAMILY,
    TEXT_SIZE,
    Value,
    element,
    escape,
    fill,
    line,
    number,
    text_width,
    words,
)
from workshop.drawing.week_lanes import placed_name
from workshop.drawing.week_rows import EDGE, LEFT, Axis, Bracket, Clash, Cure, Gone, Row, Work

BLOCK, BAR, WINDOW = 27.0, 6.0, 21.0
PADDING = 8.0


def bracket_shape(axis: Axis, bracket: Bracket, y: float) -> list[str]:
    """A window between its brackets, with its name in it or beside it.

    >>> len(bracket_shape(Axis(24, ()), Bracket(2, 12, "pour 2"), 30))
    3
    """
    closes = axis.hours + 1 if bracket.closes is None else bracket.closes
    left, right = axis.x(bracket.opens), axis.x(closes)
    height = WINDOW
    ends = [f"M{number(left + 6)} {number(y)}h-5v{height:g}h5"] if bracket.opens >= 0 else []
    ends += [f"M{number(right - 6)} {number(y)}h5v{height:g}h-5"] if closes <= axis.hours else []
    inside = text_width(bracket.name) + 2 * PADDING <= right - left
    at, anchor = (left + PADDING + 3, None) if inside else (right + PADDING, None)
    if not inside and right + PADDING + text_width(bracket.name) > EDGE:
        at, anchor = left - PADDING, "end"
    return [
        element("rect", x=left, y=y, width=max(2.0, right - left), height=height, **fill("glow")),
        *([element("path", d="".join(ends), **line("ink", 2))] if ends else []),
        *([] if inside else [_tab(bracket.name, at, y + 1, anchor)]),
        words(at, y + 15, escape(bracket.name), anchor=anchor),
    ]


def _tab(text: str, x: float, y: float, anchor: str | None = None) -> str:
    """Clear paper behind words that stand on strips."""
    width = 0.92 * text_width(text) + 8
    left = x - width + 4 if anchor == "end" else x - 4
    return element("rect", x=left, y=y, width=width, height=18, **fill("paper"))


def cure_shape(axis: Axis, row: Row, cure: Cure, y: float) -> list[str]:
    """What goes by itself: a thin bar, an arrow where it runs on, and its name on clear paper.

    >>> len(cure_shape(Axis(24, ()), Row("9", "Mon", ()), Cure(9, 33, "Block A cures"), 40))
    4
    """
    left, right = axis.x(cure.start), axis.x(cure.end)
    ink = fill("past") if cure.over else fill("resin", "flame", 1)
    parts = [
        element("rect", x=left, y=y - BAR / 2, width=max(1.5, right - left), height=BAR, **ink),
    ]
    if cure.end > axis.hours:
        d = f"M{number(EDGE)} {number(y - 5.5)}l9 5.5l-9 5.5Z"
        parts.append(element("path", d=d, **fill("past" if cure.over else "resin")))
    shut_from = max((axis.x(closes) for _, closes in row.sessions if closes < axis.hours), default=LEFT)
    found = placed_name(cure.name, left, right, shut_from + 12, LEFT, EDGE)
    if found:
        name, at = found
        parts += [_tab(name, at, y - 9), words(at, y + 4.5, escape(name))]
    return parts


def work_shape(axis: Axis, work: Work, y: float) -> list[str]:
    """Work for hands: a block with the longest of its names that fits.

    >>> "Pour A" in work_shape(Axis(24, ()), Work(2, 3.5, ("Pour the first block", "Pour A")), 40)[-1]
    True
    """
    left, right = axis.x(work.start), axis.x(work.end)
    width = max(2.0, right - left - (1 if right - left > 6 else 0))
    shape: dict[str, Value] = {"x": left, "y": y, "width": width, "height": BLOCK}
    colours = {
        "ahead": fill("wood"),
        "over": fill("past"),
        "late": fill("lit", "ink", 1.5) | {"stroke_dasharray": "5 3"},
        "was": fill("lit", "edge", 1) | {"stroke_dasharray": "2 4", "fill_opacity": 0},
    }
    parts = [element("rect", **shape, **colours[work.how])]
    fits = [name for name in (*work.names, work.code) if name and text_width(name) + PADDING <= width]
    if work.how == "was" or not fits:
        return parts
    dark = work.how == "ahead"
    parts.append(_in_block(left + PADDING / 2 + 2, y, fits[0], dark, bold=True))
    both = text_width(fits[0]) + text_width(work.code) + 3 * PADDING
    if work.code and fits[0] != work.code and both <= width:
        parts.append(_in_block(right - PADDING, y, work.code, dark, anchor="end"))
    return parts


def _in_block(
    x: float, y: float, text: str, dark: bool, bold: bool = False, anchor: str | None = None
) -> str:
    face = "b" if bold else "fg"
    return element(
        "text",
        escape(text),
        x=x,
        y=y + 18,
        text_anchor=anchor,
        class_=f"t-act {face}" if dark else face,
        font_family=TEXT_FAMILY if bold else FIGURE_FAMILY,
        font_size=TEXT_SIZE,
        font_weight=700 if bold else None,
        fill=PAPER["paper" if dark else "ink"],
    )


def clash_shape(axis: Axis, clash: Clash, y: float) -> list[str]:
    """A stop square, the word, and a line at the moment.

    >>> len(clash_shape(Axis(24, ()), Clash(6, "two glue-ups"), 40))
    5
    """
    x = axis.x(clash.at)
    said = f"clash: {clash.said}"
    right = x + 14 + text_width(said) < EDGE
    at = x + 14 if right else x - 14
    anchor = None if right else "end"
    return [
        element("path", d=f"M{number(x)} {number(y - 4)}v{number(BLOCK + 8)}", **line("stop", 2.5)),
        element("rect", x=x - 7, y=y - 19, width=14, height=14, **fill("stop")),
        element("path", d=f"M{number(x - 4)} {number(y - 12)}h8", **line("paper", 2.4)),
        _tab(said, at, y - 21, anchor),
        words(at, y - 7, escape(said), anchor=anchor),
    ]


def hatching(name: str) -> str:
    """Slanted lines to fill a stretch with, under a name.

    >>> hatching("week-gone")[:30]
    '<pattern id="week-gone" width='
    """
    slant = element("path", d="M-2 10L10 -2M-2 22L22 -2M10 22L22 10", **line("edge", 1.5))
    return element("pattern", slant, id=name, width=12, height=12, patternUnits="userSpaceOnUse")


def gone_shape(axis: Axis, gone: Gone, y: float, height: float, hatched: str) -> list[str]:
    """A stretch in which somebody is away: hatched, closed at both ends, and said in words on clear paper.

    >>> "Joris is away" in gone_shape(Axis(24, ()), Gone(0, 24, "Joris is away"), 26, 78, "g")[-1]
    True
    """
    left, right = axis.x(gone.start), axis.x(gone.end)
    ends = [hour for hour in (gone.start, gone.end) if 0 < hour < axis.hours]
    d = "".join(f"M{number(axis.x(hour))} {number(y)}v{number(height)}" for hour in ends)
    return [
        element("rect", x=left, y=y, width=max(2.0, right - left), height=height, fill=f"url(#{hatched})"),
        *([element("path", d=d, **line("ink", 2))] if d else []),
        *gone_words(axis, gone, y, height),
    ]


def gone_words(axis: Axis, gone: Gone, y: float, height: float) -> list[str]:
    """The words of a stretch without somebody, on clear paper at the foot of the row.

    >>> len(gone_words(Axis(24, ()), Gone(2, 12, "everybody is away"), 26, 78))
    2
    """
    at, width = axis.x(gone.start) + PADDING, 0.92 * text_width(gone.said) + 8
    at = min(at, EDGE - width)
    return [_tab(gone.said, at, y + height - 24), words(at, y + height - 10, escape(gone.said))]


def now_shape(axis: Axis, line_at: tuple[float, str], y: float, height: float) -> list[str]:
    """The line of now, with its time where it says one.

    >>> len(now_shape(Axis(24, ()), (6, "12:00"), 26, 78))
    3
    """
    hour, said = line_at
    x, width = axis.x(hour), text_width(said) + 14
    plumb = element("path", d=f"M{number(x)} {number(y - 4)}v{number(height + 8)}", **line("flame", 3))
    if not said:
        return [plumb]
    return [
        plumb,
        element("rect", x=x - width / 2, y=y - 9, width=width, height=19, **fill("resin")),
        element(
            "text",
            escape(said),
            x=x,
            y=y + 5,
            text_anchor="middle",
            class_="b fg on-amber",
            font_family=FIGURE_FAMILY,
            font_size=TEXT_SIZE,
            font_weight=700,
            fill=PAPER["ink"],
        ),
    ]
