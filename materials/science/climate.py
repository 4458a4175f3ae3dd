"""The shop's air through day and night: its usual temperatures, and what was measured."""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

from materials.science.errors import checked

Reading = tuple[datetime, float]
# judgements: between two readings no further apart the air is taken to have gone straight from one to the
# other; after the last one its difference from the usual holds for so long
BRIDGE = timedelta(hours=6)
HOLD = timedelta(hours=3)


@dataclass(frozen=True)
class Climate:
    """What temperature a shop has at any moment.

    Parameters: day_c, from day_from to day_to by the shop's clock; night_c, otherwise; zone, an IANA name;
    readings, pairs of an aware datetime and °C, in any order.
    Raises: OutOfRange; ZoneInfoNotFoundError; ValueError for a reading without a zone.
    Valid for: a heated room with two usual temperatures.
    Source: none; what bridges two readings is a judgement.

    >>> from datetime import UTC
    >>> shop = Climate(20, 15, time(7), time(19), "Europe/Berlin")
    >>> shop.temp_c(datetime(2025, 1, 10, 12, tzinfo=UTC)), shop.temp_c(datetime(2025, 1, 10, 22, tzinfo=UTC))
    (20, 15)
    """

    day_c: float
    night_c: float
    day_from: time
    day_to: time
    zone: str
    readings: tuple[Reading, ...] = ()

    def __post_init__(self) -> None:
        checked("day_c", self.day_c, -30, 60, "°C")
        checked("night_c", self.night_c, -30, 60, "°C")
        for at, measured_c in self.readings:
            checked("reading_c", measured_c, -30, 60, "°C")
            if at.tzinfo is None:
                raise ValueError("a reading needs a moment with its time zone")
        ZoneInfo(self.zone)

    @cached_property
    def _sorted(self) -> tuple[Reading, ...]:
        return tuple(sorted(self.readings))

    @cached_property
    def _moments(self) -> tuple[datetime, ...]:
        return tuple(at for at, _ in self._sorted)

    def usual_c(self, at: datetime) -> float:
        """The usual temperature at a moment, °C; a day that ends before it begins runs past midnight."""
        clock = at.astimezone(ZoneInfo(self.zone)).time()
        if self.day_from <= self.day_to:
            by_day = self.day_from <= clock < self.day_to
        else:
            by_day = clock >= self.day_from or clock < self.day_to
        return self.day_c if by_day else self.night_c

    def temp_c(self, at: datetime) -> float:
        """The temperature at a moment, °C: measured where it was, else the usual."""
        after = bisect_right(self._moments, at)
        if after == 0:
            return self.usual_c(at)
        before_at, before_c = self._sorted[after - 1]
        if after < len(self._sorted):
            next_at, next_c = self._sorted[after]
            if next_at - before_at <= BRIDGE:
                share = (at - before_at) / (next_at - before_at)
                return before_c + share * (next_c - before_c)
        if at - before_at <= HOLD:
            return self.usual_c(at) + before_c - self.usual_c(before_at)
        return self.usual_c(at)

    def lowest_c(self, start: datetime, end: datetime, every: timedelta = timedelta(minutes=15)) -> float:
        """The lowest temperature from one moment to another, °C."""
        checked("span_h", (end - start) / timedelta(hours=1), 0, 24 * 400, "h")
        count = int((end - start) / every)
        return min(self.temp_c(at) for at in (*(start + i * every for i in range(count + 1)), end))
