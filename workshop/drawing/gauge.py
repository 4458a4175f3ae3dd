"""A small gauge: one figure, or a band of it, against its limit."""

from dataclasses import dataclass

from workshop.drawing.svg import element, fill, line, number, picture

WIDTH, HEIGHT, BASE = 168, 26, 18
ROOM = 0.12


@dataclass(frozen=True)
class Gauge:
    """What is drawn: a figure, its band where it has one, and the limit that it is held against.

    Parameters: value; limit; low and high of the band, None where there is none; more_is_worse, whether what
    lies beyond the limit is too much (else too little).

    >>> Gauge(51, 60, 43, 64).past
    (60, 64)
    """

    value: float
    limit: float
    low: float | None = None
    high: float | None = None
    more_is_worse: bool = True

    @property
    def past(self) -> tuple[float, float] | None:
        """The part of the band, or the way from the limit to the figure, that lies beyond the limit."""
        low, high = self.span
        if self.more_is_worse and high > self.limit:
            return max(low, self.limit) if self.has_band else self.limit, high
        if not self.more_is_worse and low < self.limit:
            return low, min(high, self.limit) if self.has_band else self.limit
        return None

    @property
    def has_band(self) -> bool:
        """Whether there is a spread to draw."""
        return self.low is not None or self.high is not None

    @property
    def span(self) -> tuple[float, float]:
        """From the least to the most that is drawn of the figure."""
        known = [value for value in (self.low, self.value, self.high) if value is not None]
        return min(known), max(known)


def gauge_svg(gauge: Gauge) -> str:
    """The gauge on one line: band in the colour of light, figure as a tick, limit with its flag.

    Parameters: gauge.
    Returns: an SVG element that screen readers skip: its figures stand in words beside it.

    >>> gauge_svg(Gauge(51, 60, 43, 64)).startswith("<svg")
    True
    """
    low, high = gauge.span
    left, right = min(low, gauge.limit), max(high, gauge.limit)
    room = (right - left or abs(right) or 1.0) * ROOM

    def x(value: float) -> float:
        return 2 + (WIDTH - 4) * (value - left + room) / (right - left + 2 * room)

    rule = f"M2 {BASE}H{WIDTH - 2}M2 {BASE - 4}v8M{WIDTH - 2} {BASE - 4}v8"
    parts = [element("path", d=rule, **line("edge"))]
    if gauge.has_band:
        parts.append(element("rect", x=x(low), y=11, width=x(high) - x(low), height=14, **fill("glow")))
    if gauge.past:
        start, end = gauge.past
        parts.append(element("rect", x=x(start), y=11, width=x(end) - x(start), height=14, **fill("stop")))
    if gauge.has_band:
        parts.append(element("path", d=f"M{number(x(gauge.value))} 10v16", **line("ink", 3)))
    else:
        parts.append(element("path", d=f"M{number(x(gauge.value))} 12l6 6-6 6-6-6z", **fill("ink")))
    at = number(x(gauge.limit))
    ink = "stop" if gauge.past else "ink"
    parts.append(element("path", d=f"M{at} 4V{HEIGHT}", **line(ink, 2)))
    parts.append(element("path", d=f"M{number(x(gauge.limit) - 5)} 0h10l-5 6z", **fill(ink)))
    return picture((WIDTH, HEIGHT), *parts, class_="draw gauge")
