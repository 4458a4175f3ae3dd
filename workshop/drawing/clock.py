"""A clock as a row of slots between strips: light fills what has passed.

One slot is a round length of time that can be said; the last slot of a row may be shorter, so that the
row ends exactly where the clock does.
"""

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

from workshop.drawing.svg import band, element, fill, line

MOST_SLOTS = 24
MINUTE, HOUR, DAY, WEEK = (timedelta(minutes=1), timedelta(hours=1), timedelta(days=1), timedelta(weeks=1))
SLOTS = (
    (MINUTE, "one minute"),
    (2 * MINUTE, "two minutes"),
    (5 * MINUTE, "five minutes"),
    (10 * MINUTE, "ten minutes"),
    (15 * MINUTE, "a quarter of an hour"),
    (30 * MINUTE, "half an hour"),
    (HOUR, "one hour"),
    (2 * HOUR, "two hours"),
    (3 * HOUR, "three hours"),
    (6 * HOUR, "six hours"),
    (12 * HOUR, "half a day"),
    (DAY, "one day"),
    (2 * DAY, "two days"),
    (WEEK, "one week"),
    (4 * WEEK, "four weeks"),
)
HEIGHT, TOP = 34, 10
STRIP = 3.2


@dataclass(frozen=True)
class Clock:
    """A drawn clock: the drawing, what one slot means, and how many there are."""

    svg: str
    unit: str
    slots: int


def clock(
    start: datetime,
    now: datetime,
    due: datetime,
    *,
    opens: datetime | None = None,
    closes: datetime | None = None,
    ring_fraction: float | None = None,
    sentence: str = "",
) -> Clock:
    """The row of slots from the start of a clock to its end.

    Parameters: start, now and due; opens and closes, of the window in which the next act is allowed
    (without a known close it has no right bracket); ring_fraction, of the time from start to due at which
    it rings early; sentence, for screen readers (without one the drawing is hidden from them, for a row
    whose figures stand beside it).
    Returns: a Clock. A script may move two parts as time passes: `.passed` by its width and `.now` by its
    x1 and x2, all in percent.
    Raises: ValueError where the times are not in order.

    >>> from datetime import UTC
    >>> met = datetime(2026, 3, 10, 13, 34, tzinfo=UTC)
    >>> pot = clock(met, met + timedelta(minutes=11), met + timedelta(minutes=82), ring_fraction=0.75)
    >>> pot.unit, pot.slots
    ('one slot, five minutes', 17)
    """
    end = max(due, closes or due)
    _check(start, due, opens, closes, ring_fraction)
    slot, said = _slot(end - start)

    def at(moment: datetime) -> float:
        return (moment - start) / (end - start)

    passed = min(1.0, max(0.0, at(now)))
    window = None if opens is None else (at(opens), at(closes) if closes else None)
    ring = None if ring_fraction is None else at(start + (due - start) * ring_fraction)
    fractions = [slot / (end - start) * n for n in range(math.ceil((end - start) / slot))]
    parts = [_trough(passed, window), _strips(fractions), _bracket(window), _ring(ring)]
    svg = band(HEIGHT, *parts, sentence=sentence, class_="slots", overflow="visible")
    return Clock(svg, f"one slot, {said}", len(fractions))


def _check(
    start: datetime, due: datetime, opens: datetime | None, closes: datetime | None, ring: float | None
) -> None:
    if due <= start:
        raise ValueError("a clock is due after its start")
    if closes is not None and (opens is None or closes <= opens):
        raise ValueError("a window closes after it opens")
    if opens is not None and opens < start:
        raise ValueError("a window opens after the start of its clock")
    if ring is not None and not 0 < ring <= 1:
        raise ValueError("an early ring is a fraction between the start and the due time")


def _slot(length: timedelta) -> tuple[timedelta, str]:
    """The shortest slot that can be said and of which a row holds no more than it may."""
    for slot, said in SLOTS:
        if length <= slot * MOST_SLOTS:
            return slot, said
    weeks = math.ceil(length / (WEEK * MOST_SLOTS))
    return weeks * WEEK, f"{weeks} weeks"


def _percent(fraction: float) -> str:
    return f"{round(100 * fraction, 3):g}%"


def _bar(start: float, width: float, ink: str, also: str = "") -> str:
    return element(
        "rect", x=_percent(start), y=TOP, width=_percent(width), height=HEIGHT - TOP, **fill(ink, also=also)
    )


def _trough(passed: float, window: tuple[float, float | None] | None) -> str:
    parts = [_bar(0, 1, "lit")]
    if window:
        opens, closes = window
        parts.append(_bar(opens, (1 if closes is None else closes) - opens, "glow"))
    parts.append(_bar(0, passed, "resin", also="passed"))
    now = _percent(passed)
    parts.append(element("line", x1=now, x2=now, y1=TOP, y2=HEIGHT, **line("flame", 3, also="now")))
    return "".join(parts)


def _strips(fractions: list[float]) -> str:
    """The strips between slots, one at either end, and the edges that close the row."""

    def strip(fraction: float, shift: float) -> str:
        moved = f"translate({shift:g} 0)" if shift else None
        return element(
            "rect",
            x=_percent(fraction),
            y=TOP,
            width=STRIP,
            height=HEIGHT - TOP,
            transform=moved,
            **fill("lam"),
        )

    strips = [strip(fraction, -STRIP / 2 if fraction else 0) for fraction in fractions]
    edges = [element("line", x1=0, x2="100%", y1=y, y2=y, **line("edge")) for y in (TOP, HEIGHT)]
    return "".join([*strips, strip(1, -STRIP), *edges])


def _bracket(window: tuple[float, float | None] | None) -> str:
    if not window:
        return ""
    opens, closes = _percent(window[0]), "100%" if window[1] is None else _percent(window[1])
    ends = [opens] if window[1] is None else [opens, closes]
    strokes = [element("line", x1=opens, x2=closes, y1=1.5, y2=1.5, **line("ink", 2.2))]
    strokes += [element("line", x1=end, x2=end, y1=0.4, y2=7, **line("ink", 2.2)) for end in ends]
    return "".join(strokes)


def _ring(fraction: float | None) -> str:
    if fraction is None:
        return ""
    mark = element("path", d="M-5 0h10l-5 8z", **fill("ink"))
    return element("svg", mark, x=_percent(fraction), overflow="visible")
