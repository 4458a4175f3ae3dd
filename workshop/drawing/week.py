"""Stretches of time in rows: work for hands, what goes by itself through the night, and windows.

A row is one day from six to six, or one project or pair of hands over a longer stretch; all rows of a
picture are equally long.
"""

from collections.abc import Iterable, Sequence

from workshop.drawing.svg import (
    FIGURE_FAMILY,
    PAPER,
    TEXT_FAMILY,
    TEXT_SIZE,
    element,
    escape,
    fill,
    line,
    named,
    number,
    picture,
    text_width,
)
from workshop.drawing.week_lanes import lanes
from workshop.drawing.week_rows import EDGE, LEFT, Axis, Row
from workshop.drawing.week_shapes import (
    PADDING,
    bracket_shape,
    clash_shape,
    cure_shape,
    gone_shape,
    gone_words,
    hatching,
    now_shape,
    work_shape,
)

WIDTH, TOP = 1264.0, 26.0
BLOCK_LANE, BAR_LANE, WINDOW_LANE, GONE_LANE = 31.0, 19.0, 25.0, 20.0
PAD, BETWEEN, LEAST = 8.0, 9.0, 78.0
# the light that spills over an opening or a closing
SPILL_H = 3.0


def week(axis: Axis, rows: Sequence[Row], prefix: str = "week", sentence: str = "") -> str:
    """The shop's days and nights, one row each.

    Parameters: axis; rows; prefix, of the ids inside; sentence, what the picture says in words.
    Returns: an SVG, 1264 units wide.

    >>> week(Axis(24, ()), [Row("9", "Mon", ((2, 12),))], sentence="A quiet day.")[-6:]
    '</svg>'
    """
    somebody_gone = any(row.gone for row in rows)
    parts, y, lines = [_lights(prefix, somebody_gone), *_ticks(axis)], TOP, list[str]()
    for row in rows:
        drawn, height = _row(axis, row, y, prefix)
        parts += drawn
        if row.moment:
            lines += now_shape(axis, row.moment, y, height)
        y += height + BETWEEN
    return picture((WIDTH, y + 2), *parts, *lines, sentence=sentence, class_="draw weekpic")


def _lights(prefix: str, hatched: bool) -> str:
    """How light from the open hours runs out into the shut ones; and slanted lines where somebody is away."""

    def light(name: str, first: float, last: float) -> str:
        stops = [
            element("stop", offset=offset, class_="g-lit", stop_color=PAPER["lit"], stop_opacity=opacity)
            for offset, opacity in ((0, first), (1, last))
        ]
        return element("linearGradient", *stops, id=named(prefix, name))

    slants = [hatching(named(prefix, "gone"))] if hatched else []
    return element("defs", light("dawn", 0, 0.82), light("dusk", 0.82, 0), *slants)


def _ticks(axis: Axis) -> list[str]:
    parts = []
    for hour, said in axis.ticks:
        anchor = {0: None, axis.hours: "end"}.get(hour, "middle")
        parts.append(
            element(
                "text",
                escape(said),
                x=axis.x(hour),
                y=15,
                text_anchor=anchor,
                class_="q fg",
                font_family=FIGURE_FAMILY,
                font_size=TEXT_SIZE,
                fill=PAPER["ink2"],
            )
        )
    return parts


def _row(axis: Axis, row: Row, y: float, prefix: str) -> tuple[list[str], float]:
    """One row and how tall it came out."""
    spans = [(b.opens, axis.hours if b.closes is None else b.closes, b.name) for b in row.brackets]
    window_lanes = lanes([_room(axis, *span) for span in spans])
    work_lanes = lanes([(work.start, work.end) for work in row.works])
    bar_lanes = lanes([_room(axis, cure.start, cure.end, cure.name) for cure in row.cures])
    over_work = PAD + WINDOW_LANE * _count(window_lanes) + (20.0 if row.clashes else 0.0)
    over_bars = over_work + BLOCK_LANE * max(1, _count(work_lanes))
    words = GONE_LANE if row.gone or row.emptied else 0.0
    height = max(LEAST, over_bars + BAR_LANE * _count(bar_lanes) + words + PAD)
    parts = _ground(axis, row, y, height, prefix) + _side(row, y)
    for gone in row.gone:
        parts += gone_shape(axis, gone, y, height, named(prefix, "gone"))
    for emptied in row.emptied:
        parts += gone_words(axis, emptied, y, height)
    for bracket, lane in zip(row.brackets, window_lanes, strict=True):
        parts += bracket_shape(axis, bracket, y + PAD + WINDOW_LANE * lane)
    for cure, lane in zip(row.cures, bar_lanes, strict=True):
        parts += cure_shape(axis, row, cure, y + over_bars + BAR_LANE * lane + BAR_LANE / 2)
    for work, lane in zip(row.works, work_lanes, strict=True):
        parts += work_shape(axis, work, y + over_work + BLOCK_LANE * lane)
    for clash in row.clashes:
        parts += clash_shape(axis, clash, y + over_work)
    return parts, height


def _room(axis: Axis, start: float, end: float, name: str) -> tuple[float, float]:
    """From where to where a bar wants a lane for itself, its name with it."""
    left, right, width = axis.x(start), axis.x(end), text_width(name) + 2 * PADDING
    if width <= right - left:
        return left, right
    return (left, right + width) if right + width <= EDGE else (left - width, right)


def _count(found: Iterable[int]) -> int:
    return max(found, default=-1) + 1


def _ground(axis: Axis, row: Row, y: float, height: float, prefix: str) -> list[str]:
    """Shut hours as strips, open ones light, and light that spills over the edge of them."""
    middle, whole = number(y + height / 2), f"M{number(LEFT)} {number(y + height / 2)}H{number(EDGE)}"
    parts = [
        element("rect", x=LEFT, y=y, width=EDGE - LEFT, height=height, **fill("paper")),
        # one dashed line as wide as the row is tall: strips in one element, and lines print as they are
        element("path", d=whole, **line("strip", height, "3 3")),
    ]
    for opens, closes in row.sessions:
        left, right = axis.x(opens), axis.x(closes)
        if right - left < 0.5:
            continue
        if axis.hours <= 48:
            parts += _spill(axis, opens, closes, y, height, prefix)
        parts.append(element("path", d=f"M{number(left)} {middle}H{number(right)}", **line("lit", height)))
    parts += [
        element("path", d=f"M{number(axis.x(hour))} {number(y + 1)}v{number(height - 2)}", **line("hair"))
        for hour, _ in axis.ticks
        if 0 < hour < axis.hours
    ]
    for opens, closes in row.sessions:
        parts += [
            element("path", d=f"M{number(axis.x(hour))} {number(y)}v{number(height)}", **line("edge"))
            for hour in (opens, closes)
            if 0 < hour < axis.hours
        ]
    rails = f"M{number(LEFT)} {number(y)}H{number(EDGE)}M{number(LEFT)} {number(y + height)}H{number(EDGE)}"
    return [*parts, element("path", d=rails, **line("wood", 1.5))]


def _spill(axis: Axis, opens: float, closes: float, y: float, height: float, prefix: str) -> list[str]:
    sides = (("dawn", opens - SPILL_H, opens), ("dusk", closes, closes + SPILL_H))
    return [
        element(
            "rect",
            x=axis.x(first),
            y=y,
            width=axis.x(last) - axis.x(first),
            height=height,
            fill=f"url(#{prefix}-{name})",
        )
        for name, first, last in sides
        if axis.x(last) - axis.x(first) > 0.5
    ]


def _side(row: Row, y: float) -> list[str]:
    """What stands at the left of a row: a figure, and below it a word."""
    long = len(row.figure) > 3
    figure = element(
        "text",
        escape(row.figure),
        x=0,
        y=y + 42,
        font_size=22 if long else 40,
        class_=f"fg dnum{' long' if long else ''}",
        font_family=FIGURE_FAMILY,
        fill=PAPER["ink"],
    )
    word = element(
        "text",
        escape(_cut(row.word, LEFT - 8)),
        x=0,
        y=y + 64,
        class_="b" if row.marked else "q",
        font_family=TEXT_FAMILY,
        font_size=TEXT_SIZE,
        font_weight=700 if row.marked else None,
        fill=PAPER["ink" if row.marked else "ink2"],
    )
    return [figure, word]


def _cut(text: str, width: float) -> str:
    """A text as far as there is room for it."""
    most = int(width / text_width("n"))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
