"""A pour in lifts: the starts from which every lift meets an open window with the shop open."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import overload

import numpy as np
from numpy.typing import NDArray

from materials.science.climate import Climate
from materials.science.errors import checked
from projects.planning.calendar import Calendar
from projects.planning.curing import CureCurve
from projects.planning.grid import CLOSE_ENOUGH
from projects.planning.steps import Cure

Slots = NDArray[np.int64]
SAFETY = (1.25, 0.9)
# past every slot there is
NEVER = 1 << 40


@dataclass(frozen=True)
class Lift:
    """One lift of a pour.

    Parameters: minutes, to mix and pour it; open_h and close_h, from its end until the next may be poured,
    at sheet_c in °C (of the last lift they do not count).
    Raises: OutOfRange; ValueError where it closes before it opens.

    >>> Lift(45, 4, 14).sheet_c
    20
    """

    minutes: float
    open_h: float
    close_h: float
    sheet_c: float = 20

    def __post_init__(self) -> None:
        checked("minutes", self.minutes, 1, 24 * 60, "min")
        Cure(self.open_h, self.close_h, self.sheet_c)


@dataclass(frozen=True)
class PourStart:
    """One way to pour all lifts.

    Parameters: starts, the moment of each lift; finish, the end of the last; margin_minutes, the least that
    any lift has to the closing of its window, none for a single lift.

    >>> from datetime import UTC
    >>> at = datetime(2026, 3, 3, 9, tzinfo=UTC)
    >>> PourStart((at,), at + timedelta(minutes=45), None).margin_minutes is None
    True
    """

    starts: Sequence[datetime]
    finish: datetime
    margin_minutes: float | None


class PourStarts(Sequence[PourStart]):
    """Ways to pour, the best first: by their end, then by their margin, then by their start.

    They are kept as arrays and told one by one, since there are often more than a thousand.

    >>> none = np.zeros(0, np.int64)
    >>> len(PourStarts(Calendar([]), np.zeros((1, 0), np.int64), none, none, none))
    0
    """

    def __init__(
        self, calendar: Calendar, lifts: Slots, order: NDArray[np.int64], ends: Slots, margin: Slots
    ) -> None:
        self._calendar, self._lifts, self._order, self._ends = calendar, lifts, order, ends
        self._margin = margin

    def __len__(self) -> int:
        return len(self._order)

    @overload
    def __getitem__(self, index: int) -> PourStart: ...

    @overload
    def __getitem__(self, index: slice) -> list[PourStart]: ...

    def __getitem__(self, index: int | slice) -> PourStart | list[PourStart]:
        if isinstance(index, slice):
            return [self[each] for each in range(*index.indices(len(self)))]
        at, calendar = self._order[index], self._calendar
        margin = None if len(self._lifts) == 1 else float(self._margin[at] * calendar.minutes)
        return PourStart(
            tuple(calendar.moment(int(lift)) for lift in self._lifts[:, at]),
            calendar.moment(int(self._ends[at])),
            margin,
        )

    def __iter__(self) -> Iterator[PourStart]:
        return (self[index] for index in range(len(self)))


class Chain:
    """The lifts of a pour on a stretch of slots: which starts lead through to the end.

    `good[k]` says for each slot whether lift k may start there and all that follow find a place;
    `following[k]` gives for each slot the first good start of lift k at or after it.

    >>> chain = Chain([Lift(45, 4, 14)], Calendar([]), None, 0, 12, (1, 1))
    >>> chain.good[0].any()
    np.False_
    """

    def __init__(
        self,
        lifts: Sequence[Lift],
        calendar: Calendar,
        climate: Climate | None,
        first: int,
        count: int,
        safety: tuple[float, float],
        cures: Sequence[Cure] | None = None,
    ) -> None:
        self.first, self.count, self.calendar = first, count, calendar
        self.cures = cures or [Cure(lift.open_h, lift.close_h, lift.sheet_c) for lift in lifts]
        self.slots = [math.ceil(lift.minutes / calendar.minutes - CLOSE_ENOUGH) for lift in lifts]
        self.early = [
            slots - lift.minutes / calendar.minutes for slots, lift in zip(self.slots, lifts, strict=True)
        ]
        self.opens: list[Slots] = []
        self.closes: list[Slots] = []
        self.good: list[NDArray[np.bool_]] = [np.zeros(0, np.bool_)] * len(lifts)
        self.following: list[Slots] = [np.zeros(0, np.int64)] * len(lifts)
        self._windows(climate, safety)
        for lift in reversed(range(len(lifts))):
            self._fill(lift)

    def _windows(self, climate: Climate | None, safety: tuple[float, float]) -> None:
        """For each start of each lift but the last when the next may start, in slots from the first."""
        starts = np.arange(self.count)
        begin = self.calendar.moment(self.first)
        for lift, cure in enumerate(self.cures[:-1]):
            ends = starts + (self.first + self.slots[lift])
            last = begin + timedelta(minutes=self.calendar.minutes * self.count, days=30)
            curve = CureCurve(climate, begin, last, cure.at_c, cure.law, self.calendar.minutes)
            opens = np.ceil(curve.ready_all(ends, cure.open_h * safety[0]) - CLOSE_ENOUGH)
            close_h = (cure.close_h or 0) * safety[1]
            closes = np.floor(curve.ready_all(ends - self.early[lift], close_h) + CLOSE_ENOUGH)
            self.opens.append(opens.astype(np.int64) - self.first)
            self.closes.append(closes.astype(np.int64) - self.first)

    def _fill(self, lift: int) -> None:
        slots = self.slots[lift]
        good = np.zeros(self.count, np.bool_)
        for first, last in zip(*self.calendar.fitting(slots), strict=True):
            good[max(first - self.first, 0) : max(last - self.first + 1, 0)] = True
        if lift < len(self.slots) - 1:
            after = self.next_start(lift + 1, self.opens[lift])
            good &= after <= self.closes[lift]
        self.good[lift] = good
        index = np.where(good, np.arange(self.count), NEVER)
        self.following[lift] = np.minimum.accumulate(index[::-1])[::-1]

    def next_start(self, lift: int, slots: Slots) -> Slots:
        """The first good start of a lift at or after each slot."""
        table = self.following[lift]
        return np.where(slots < self.count, table[np.minimum(slots, self.count - 1)], NEVER)

    def walk(self, starts: Slots) -> tuple[Slots, Slots]:
        """All lifts from these starts of the first, each as early as leads to the end, and the margin."""
        rows, margin = [starts], np.full(len(starts), NEVER)
        for lift in range(len(self.slots) - 1):
            after = self.next_start(lift + 1, self.opens[lift][rows[-1]])
            margin = np.minimum(margin, self.closes[lift][rows[-1]] - after)
            rows.append(after)
        return np.array(rows), margin


def ranked_starts(
    lifts: Sequence[Lift],
    now: datetime,
    days: int,
    calendar: Calendar,
    climate: Climate | None,
    safety: tuple[float, float] = SAFETY,
) -> PourStarts:
    """As advise_pour, on any grid and without the reasons.

    >>> from datetime import UTC
    >>> len(ranked_starts([Lift(45, 4, 14)], datetime(2026, 3, 3, tzinfo=UTC), 1, Calendar([]), None))
    0
    """
    checked("lifts", len(lifts), 1, 20, "lifts")
    checked("days", days, 0, 366, "days")
    first, first_day, count = stretch(lifts, now, days, calendar, climate)
    chain = Chain(lifts, calendar, climate, first, count, safety)
    starts = np.flatnonzero(chain.good[0][:first_day])
    rows, margin = chain.walk(starts)
    ends = rows[-1] + chain.slots[-1]
    order = np.lexsort((starts, -margin, ends))
    return PourStarts(calendar, rows + chain.first, order, ends + chain.first, margin)


def stretch(
    lifts: Sequence[Lift], now: datetime, days: int, calendar: Calendar, climate: Climate | None
) -> tuple[int, int, int]:
    """The first slot, how many slots the first lift may start in, and how many all lifts may need.

    >>> from datetime import UTC
    >>> stretch([Lift(45, 4, 14)], datetime(1970, 1, 1, tzinfo=UTC), 1, Calendar([]), None)
    (0, 289, 299)
    """
    first_day = days * 24 * 60 // calendar.minutes + 1
    # no cure takes longer than its closing hours at the coldest hour of the shop
    readings = [] if climate is None else [temp_c for _, temp_c in climate.readings]
    coldest = 20.0 if climate is None else min(climate.day_c, climate.night_c, *readings)
    hours = sum(lift.close_h * 2 ** max(0, (lift.sheet_c - coldest) / 10) for lift in lifts[:-1])
    minutes = sum(lift.minutes for lift in lifts) + hours * 60
    return calendar.slot_up(now), first_day, first_day + math.ceil(minutes / calendar.minutes) + len(lifts)
