"""Hours along an axis, and the values of a curve between its points."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from workshop.drawing.svg import escape

Curve = Sequence[tuple[float, float]]
HOUR = timedelta(hours=1)


def figure_of(said: str) -> str:
    """The number of a temperature that was said with its unit.

    >>> figure_of("51 °C")
    '51'
    """
    return escape(said.split(" ")[0].split("\u00a0")[0])


def value_at(curve: Curve, minutes: float) -> float:
    """A curve's value between its points.

    >>> value_at([(0, 20), (10, 30)], 5)
    25.0
    """
    for (at, value), (later, later_value) in zip(curve, curve[1:], strict=False):
        if at <= minutes <= later:
            share = (minutes - at) / (later - at) if later > at else 0.0
            return value + (later_value - value) * share
    return curve[-1][1]


def cut_at(curve: Curve, end: float) -> list[tuple[float, float]]:
    """A curve up to an end, cut there between its last two points.

    >>> cut_at([(0, 20), (10, 30), (20, 20)], 15)
    [(0, 20), (10, 30), (15, 25.0)]
    """
    inside = [(at, value) for at, value in curve if at <= end]
    after = next(((at, value) for at, value in curve if at > end), None)
    if after and inside:
        (at, value), (later, later_value) = inside[-1], after
        inside.append((end, value + (later_value - value) * (end - at) / (later - at)))
    return inside


def round_hours(start: datetime, hours: float, step: int) -> list[datetime]:
    """The moments inside a stretch at which the clock shows an hour that `step` divides.

    >>> from datetime import UTC
    >>> [at.hour for at in round_hours(datetime(2026, 3, 3, 13, 30, tzinfo=UTC), 13, 6)]
    [18, 0]
    """
    first = start.replace(minute=0, second=0, microsecond=0) + HOUR
    count = int(hours) + 1
    every = [first + HOUR * n for n in range(count)]
    end = start + timedelta(hours=hours)
    days = max(1, step // 24)
    return [
        at
        for at in every
        if at <= end and at.hour % min(step, 24) == 0 and (at.date() - start.date()).days % days == 0
    ]


def said_hour(moment: datetime, step: int) -> str:
    """An hour as the axis says it: 18, noon, midnight; a weekday where the steps are days.

    >>> from datetime import UTC
    >>> said_hour(datetime(2026, 3, 4, 0, tzinfo=UTC), 6), said_hour(datetime(2026, 3, 4, 8, tzinfo=UTC), 2)
    ('midnight', '08')
    """
    if step >= 24:
        return f"{moment:%a}"
    return {0: "midnight", 12: "noon"}.get(moment.hour, f"{moment:%H}")
