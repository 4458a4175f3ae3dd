"""Why a pour in lifts has no start, and what would give it one: each remedy is tried before it is named."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from materials.science.climate import Climate
from projects.planning.calendar import Calendar
from projects.planning.curing import COLDEST_C, WARMEST_C
from projects.planning.lifts import Chain, Lift, ranked_starts, stretch

Try = Callable[[], bool]


@dataclass(frozen=True)
class NoStart:
    """Why there is no way to pour, and what would give one. It counts as false.

    Parameters: why, in words; lift, the number of the lift that can't be reached, 1 for the first;
    helps, what would give a start, in words, tried one by one.

    >>> bool(NoStart("The shop is shut.", 1, ()))
    False
    """

    why: str
    lift: int
    helps: Sequence[str]

    def __bool__(self) -> bool:
        return False

    def __len__(self) -> int:
        return 0


def why_none(
    lifts: Sequence[Lift],
    now: datetime,
    days: int,
    calendar: Calendar,
    climate: Climate | None,
    safety: tuple[float, float],
) -> NoStart:
    """Which lift can't be reached, and what would help.

    Parameters: as advise_pour, with a calendar.
    Returns: a NoStart.

    >>> from datetime import UTC
    >>> why_none([Lift(45, 4, 14)], datetime(2026, 3, 3, tzinfo=UTC), 2, Calendar([]), None, (1, 1)).why
    'In the next 2 days no opening is long enough to pour for 45 minutes.'
    """
    reached = 0
    while ranked_starts(lifts[: reached + 1], now, days, calendar, climate, safety):
        reached += 1
    if not reached:
        why = f"In the next {days} days no opening is long enough to pour for {lifts[0].minutes:g} minutes."
    else:
        why = _nearest_miss(lifts[: reached + 1], now, days, calendar, climate, safety)
    helps = tuple(words for words, works in _remedies(lifts, now, days, calendar, climate, safety) if works())
    return NoStart(why, reached + 1, helps)


def _nearest_miss(
    lifts: Sequence[Lift],
    now: datetime,
    days: int,
    calendar: Calendar,
    climate: Climate | None,
    safety: tuple[float, float],
) -> str:
    """The start that misses the last of these lifts by least, told."""
    first, first_day, count = stretch(lifts, now, days, calendar, climate)
    led = Chain(lifts[:-1], calendar, climate, first, count, safety)
    rows, _ = led.walk(np.flatnonzero(led.good[0][:first_day]))
    whole = Chain(lifts, calendar, climate, first, count, safety)
    at = rows[-1]
    opens, closes = whole.opens[-1][at], whole.closes[-1][at]
    late = whole.next_start(len(lifts) - 1, opens) - closes
    best = int(np.argmin(late))
    zone = ZoneInfo("UTC" if climate is None else climate.zone)

    def said(slot: int) -> str:
        return f"{calendar.moment(slot + first).astimezone(zone):%a %H:%M}"

    number = len(lifts)
    window = f"its window is open {said(int(opens[best]))} to {said(int(closes[best]))}"
    poured = f"Pour {number} can't follow pour {number - 1}: poured {said(int(at[best]))}, {window}"
    if late[best] > 7 * 24 * 60 // calendar.minutes:
        return f"{poured}, and the shop has no opening after that."
    return f"{poured}, and the shop can take it up {said(int(closes[best] + late[best]))} at the earliest."


def _remedies(
    lifts: Sequence[Lift],
    now: datetime,
    days: int,
    calendar: Calendar,
    climate: Climate | None,
    safety: tuple[float, float],
) -> Iterator[tuple[str, Try]]:
    """What might help, in words, each with its trial."""

    def starts(
        lifts: Sequence[Lift] = lifts,
        calendar: Calendar = calendar,
        climate: Climate | None = climate,
        safety: tuple[float, float] = safety,
    ) -> bool:
        return len(ranked_starts(lifts, now, days, calendar, climate, safety)) > 0

    yield "pour it all at once, if its depth allows", lambda: len(lifts) > 1 and starts(lifts[:1])
    yield "keep to the sheet's own hours, without reserve", lambda: safety != (1, 1) and starts(safety=(1, 1))
    for step, words in ((1, "warmer"), (-1, "cooler")):
        found = _degrees(climate, step, lambda other: starts(climate=other))
        yield f"a shop {found} °C {words}", lambda found=found: bool(found)  # type: ignore[misc]
    slower = [
        factor
        for factor in (1.25, 1.5, 2, 3)
        if starts(
            [replace(lift, open_h=lift.open_h * factor, close_h=lift.close_h * factor) for lift in lifts]
        )
    ]
    yield f"a resin {min(slower, default=0):g} times as slow", lambda: bool(slower)
    zone = ZoneInfo("UTC" if climate is None else climate.zone)
    evening = _evening(calendar, now, days, zone, lambda other: starts(calendar=other))
    yield f"one evening open: {evening}", lambda: bool(evening)


def _degrees(climate: Climate | None, step: int, works: Callable[[Climate], bool]) -> int:
    """By how many degrees, up to five, the shop must differ; 0 where that does not help."""
    if climate is None:
        return 0
    for degrees in range(1, 6):
        by = degrees * step
        if not COLDEST_C <= min(climate.day_c, climate.night_c) + by <= WARMEST_C - 10:
            return 0
        readings = tuple((at, temp_c + by) for at, temp_c in climate.readings)
        other = replace(climate, day_c=climate.day_c + by, night_c=climate.night_c + by, readings=readings)
        if works(other):
            return degrees
    return 0


def _evening(
    calendar: Calendar, now: datetime, days: int, zone: ZoneInfo, works: Callable[[Calendar], bool]
) -> str:
    """The first opening that would have to be longer, by one to five hours; empty where none helps."""
    sessions = list(calendar.sessions)
    until = now + timedelta(days=days)
    for hours in range(1, 6):
        for index, (opened, close) in enumerate(sessions):
            if now <= close <= until:
                longer = [*sessions[:index], (opened, close + timedelta(hours=hours)), *sessions[index + 1 :]]
                if works(Calendar(longer, calendar.minutes)):
                    return f"{hours} h longer on {opened.astimezone(zone):%a %d %b}"
    return ""
