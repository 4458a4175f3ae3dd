"""When the shop is open: wall times made into instants, and the grid of slots that plans live on.

Instants are UTC. A slot is a number of grid steps since 1970-01-01 00:00 UTC, so that it needs no origin
of its own; slots never leave this package.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
Session = tuple[datetime, datetime]
Hours = Sequence[tuple[time, time]]


def in_utc(moment: datetime) -> datetime:
    """A moment in UTC, so that differences are elapsed time and not wall time.

    Parameters: moment, with its time zone.
    Returns: the same instant in UTC.
    Raises: ValueError for a moment without a time zone.

    >>> at = datetime(2026, 3, 28, 20, tzinfo=ZoneInfo("Europe/Berlin"))
    >>> later = datetime(2026, 3, 29, 8, tzinfo=ZoneInfo("Europe/Berlin"))
    >>> str(later - at), str(in_utc(later) - in_utc(at))
    ('12:00:00', '11:00:00')
    """
    if moment.tzinfo is None:
        raise ValueError(f"{moment:%Y-%m-%d %H:%M} has no time zone")
    return moment.astimezone(UTC)


def wall_instant(zone: ZoneInfo, day: date, at: time, later: bool = False) -> datetime:
    """The instant at which the clock on the wall shows a time, also on the days when it is changed.

    Parameters: zone; day; at, the wall time; later, whether the second of two equal wall times is meant.
    Returns: the instant in UTC. A wall time that is skipped gives the instant of the change.
    Source: derived; hours that do not exist are taken to begin when the clock jumps.

    >>> berlin = ZoneInfo("Europe/Berlin")
    >>> wall_instant(berlin, date(2026, 3, 29), time(2, 30)).isoformat()
    '2026-03-29T01:00:00+00:00'
    >>> wall_instant(berlin, date(2026, 10, 25), time(2, 30), later=True).isoformat()
    '2026-10-25T01:30:00+00:00'
    """
    wall = datetime.combine(day, at, tzinfo=zone)
    instant = wall.replace(fold=int(later)).astimezone(UTC)
    if instant.astimezone(zone).replace(tzinfo=None) == wall.replace(tzinfo=None):
        return instant
    # the wall time is skipped: the jump lies between the two readings of it
    low, high = wall.replace(fold=1).astimezone(UTC), wall.replace(fold=0).astimezone(UTC)
    before = low.astimezone(zone).utcoffset()
    while high - low > timedelta(minutes=1):
        middle = low + timedelta(minutes=(high - low) // timedelta(minutes=2))
        if middle.astimezone(zone).utcoffset() == before:
            low = middle
        else:
            high = middle
    return high


def merged(sessions: Iterable[Session]) -> list[Session]:
    """Sessions in order, those that touch or overlap made one.

    >>> day = datetime(2026, 3, 3, tzinfo=UTC)
    >>> hours = [(day, day + timedelta(hours=2)), (day + timedelta(hours=2), day + timedelta(hours=3))]
    >>> [str(close - opened) for opened, close in merged(hours)]
    ['3:00:00']
    """
    found: list[Session] = []
    for opened, close in sorted((in_utc(a), in_utc(b)) for a, b in sessions):
        if close <= opened:
            continue
        if found and opened <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], close))
        else:
            found.append((opened, close))
    return found


def opening_sessions(
    zone: str, week: Mapping[int, Hours], exceptions: Mapping[date, Hours], first_date: date, days: int
) -> list[Session]:
    """The shop's opening hours as instants.

    Parameters: zone, an IANA name; week, for each weekday (0 = Monday) its pairs of wall times; exceptions,
    for single dates the pairs that replace the weekday's, none = shut; first_date and days, which dates.
    A pair whose second time is not after its first runs past midnight.
    Returns: pairs (open, close) in UTC, in order; touching ones are one.
    Raises: zoneinfo.ZoneInfoNotFoundError for an unknown zone.
    Source: the rules of the IANA time zone database; see wall_instant for skipped and doubled hours.

    >>> hours = opening_sessions("Europe/Berlin", {6: [(time(8), time(18))]}, {}, date(2026, 3, 29), 1)
    >>> [(opened.hour, close.hour) for opened, close in hours]
    [(6, 16)]
    """
    place = ZoneInfo(zone)
    found = []
    for day in (first_date + timedelta(days=n) for n in range(days)):
        for opens, closes in exceptions.get(day, week.get(day.weekday(), ())):
            end_day = day + timedelta(days=1) if closes <= opens else day
            found.append((wall_instant(place, day, opens), wall_instant(place, end_day, closes, later=True)))
    return merged(found)


@dataclass(frozen=True)
class Calendar:
    """Opening hours on a grid of slots: openings rounded up, closings down.

    Parameters: sessions, pairs (open, close) of aware moments; minutes, the grid, a divisor of 15 so that it
    fits every zone's offset.
    Raises: ValueError for a grid that does not divide 15, or a moment without a time zone.

    >>> day = datetime(2026, 3, 3, 8, 2, tzinfo=UTC)
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> shop.moment(shop.first_start(shop.slot_up(day), 12)).isoformat()
    '2026-03-03T08:05:00+00:00'
    """

    sessions: Sequence[Session]
    minutes: int = 5
    opens: tuple[int, ...] = field(init=False, repr=False, compare=False)
    closes: tuple[int, ...] = field(init=False, repr=False, compare=False)
    _fitting: dict[int, tuple[list[int], list[int]]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if self.minutes < 1 or 15 % self.minutes:
            raise ValueError(f"a grid of {self.minutes} minutes does not fit a quarter of an hour")
        sessions = tuple(merged(self.sessions))
        pairs = [(self.slot_up(opened), self.slot_down(close)) for opened, close in sessions]
        pairs = [(opened, close) for opened, close in pairs if close > opened]
        object.__setattr__(self, "sessions", sessions)
        object.__setattr__(self, "opens", tuple(opened for opened, _ in pairs))
        object.__setattr__(self, "closes", tuple(close for _, close in pairs))
        object.__setattr__(self, "_fitting", {})

    def slot_down(self, moment: datetime) -> int:
        """The last slot at or before a moment."""
        return (in_utc(moment) - EPOCH) // timedelta(minutes=self.minutes)

    def slot_up(self, moment: datetime) -> int:
        """The first slot at or after a moment."""
        return -((EPOCH - in_utc(moment)) // timedelta(minutes=self.minutes))

    def position(self, moment: datetime) -> float:
        """Where a moment lies on the grid, in slots and parts of one."""
        return (in_utc(moment) - EPOCH) / timedelta(minutes=self.minutes)

    def moment(self, slot: float) -> datetime:
        """The instant of a slot, in UTC."""
        return EPOCH + timedelta(minutes=slot * self.minutes)

    @property
    def end(self) -> int:
        """The slot at which the last session closes; 0 without any."""
        return self.closes[-1] if self.closes else 0

    @property
    def longest(self) -> int:
        """The slots of the longest session; 0 without any."""
        return max((close - opened for opened, close in zip(self.opens, self.closes, strict=True)), default=0)

    def fitting(self, slots: int) -> tuple[list[int], list[int]]:
        """First and last starts of work of so many slots, for each session that is long enough."""
        if slots not in self._fitting:
            long = [
                (opened, close - slots)
                for opened, close in zip(self.opens, self.closes, strict=True)
                if close - opened >= slots
            ]
            self._fitting[slots] = ([first for first, _ in long], [last for _, last in long])
        return self._fitting[slots]

    def first_start(self, slot: int, slots: int) -> int | None:
        """The first slot at or after `slot` where work of so many slots fits into one session."""
        firsts, lasts = self.fitting(slots)
        index = bisect_left(lasts, slot)
        return max(slot, firsts[index]) if index < len(lasts) else None

    def last_start(self, slot: int, slots: int) -> int:
        """The last slot at or before `slot` where work of so many slots fits into one session.

        Before the first such session the slot itself: a step that is that late has no better answer.
        """
        firsts, lasts = self.fitting(slots)
        index = bisect_right(firsts, slot) - 1
        return min(slot, lasts[index]) if index >= 0 else slot
