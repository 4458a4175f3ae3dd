"""How fast a cure goes at each temperature, and when it is as far as the sheet asks."""

import math
from bisect import bisect_right
from collections.abc import Callable, Iterator
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from itertools import zip_longest
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from materials.science.climate import BRIDGE, HOLD, Climate
from materials.science.errors import UnknownName, checked
from projects.planning.calendar import EPOCH, in_utc, wall_instant

GAS_J_PER_MOL_K = 8.314462618  # CODATA 2018, exact
ZERO_C_IN_K = 273.15
# over 26 published ratios of times at two temperatures 50 kJ/mol is the better middle than 55
ACTIVATION_J_PER_MOL = 50_000.0
COLDEST_C, WARMEST_C = -30, 60
# between two near readings the air goes straight: in steps this long
STEP = timedelta(minutes=5)
Steps = list[tuple[datetime, float]]
Floats = NDArray[np.float64]


def ten_degree_rate(temp_c: float, at_c: float) -> float:
    """How many times faster than at `at_c`, by the rule that ten degrees double it.

    Parameters: temp_c and at_c in °C.
    Returns: a ratio.
    Source: a rule of thumb; two resin makers print "every 18 °F (10 °C) halves gel time".

    >>> ten_degree_rate(30, 20), round(ten_degree_rate(15, 20), 5)
    (2.0, 0.70711)
    """
    return float(2 ** ((temp_c - at_c) / 10))


def arrhenius_rate(temp_c: float, at_c: float, activation_j_per_mol: float = ACTIVATION_J_PER_MOL) -> float:
    """How many times faster than at `at_c`, by Arrhenius' law.

    Parameters: temp_c and at_c in °C; activation_j_per_mol in J/mol.
    Returns: a ratio.
    Source: S. Arrhenius (1889), Z. phys. Chem. 4, 226 (from memory).

    >>> round(arrhenius_rate(30, 20, 51_200), 5), round(arrhenius_rate(15, 20, 51_200), 5)
    (1.99956, 0.69454)
    """
    steps = 1 / (temp_c + ZERO_C_IN_K) - 1 / (at_c + ZERO_C_IN_K)
    return math.exp(-activation_j_per_mol / GAS_J_PER_MOL_K * steps)


LAWS: dict[str, Callable[[float, float], float]] = {
    "ten_degree": ten_degree_rate,
    "arrhenius": arrhenius_rate,
}


def cure_rate(temp_c: float, at_c: float = 20, law: str = "ten_degree") -> float:
    """How many times faster a cure goes than at the temperature of its sheet.

    Parameters: temp_c, of the resin, and at_c, of the sheet, in °C; law, "ten_degree" or "arrhenius".
    Returns: a ratio, never 0: waiting longer never makes a cure less far.
    Raises: OutOfRange beyond -30 to 60 °C; UnknownName for another law.
    Valid for: near the sheet's temperature; below its lowest the cure may have stopped.
    Source: the laws named.

    >>> cure_rate(20), cure_rate(10)
    (1.0, 0.5)
    """
    if law not in LAWS:
        raise UnknownName("law", law, LAWS)
    checked("temp_c", temp_c, COLDEST_C, WARMEST_C, "°C")
    checked("at_c", at_c, COLDEST_C, WARMEST_C, "°C")
    return LAWS[law](temp_c, at_c)


@lru_cache(maxsize=64)
def _turns(zone: str, day_from: time, day_to: time, first: date, days: int) -> list[tuple[datetime, bool]]:
    """The instants at which day begins (true) and ends (false), in order."""
    place = ZoneInfo(zone)
    dates = [first + timedelta(days=n) for n in range(days)]
    found = [(wall_instant(place, day, day_from), True) for day in dates]
    found += [(wall_instant(place, day, day_to), False) for day in dates]
    return sorted(found)


def _measured(climate: Climate, turns: list[tuple[datetime, bool]]) -> Iterator[Steps]:
    """For each reading the steps from it until it counts no more, the last being the first that is usual."""
    readings = sorted((in_utc(at), temp_c) for at, temp_c in climate.readings)
    later = [at for at, _ in readings[1:]]
    for at, follows in zip_longest((at for at, _ in readings), later):
        bridged = follows is not None and follows - at <= BRIDGE
        end = follows if follows is not None and bridged else at + HOLD
        points = {at, *(turn for turn, _ in turns if at < turn < end)}
        if bridged:
            points |= {at + STEP * number for number in range(math.ceil((end - at) / STEP))}
        edges = [*sorted(points), end]
        middles = [a + (b - a) / 2 for a, b in zip(edges[:-1], edges[1:], strict=True)]
        # a difference carried from a hot day into a cold night may leave what a thermometer is believed
        temps = [min(max(climate.temp_c(middle), COLDEST_C), WARMEST_C) for middle in middles]
        yield [*zip(edges, temps, strict=False), (end, climate.usual_c(end))]


@lru_cache(maxsize=16)
def _steps(climate: Climate, first: date, days: int) -> Steps:
    """All steps of so many days."""
    turns = _turns(climate.zone, climate.day_from, climate.day_to, first, days)
    steps: Steps = [(at, climate.day_c if day else climate.night_c) for at, day in turns]
    for measured in _measured(climate, turns):
        since, until = measured[0][0], measured[-1][0]
        steps = [step for step in steps if not since <= step[0] <= until] + measured
    return sorted(steps, key=lambda step: step[0])


def temperature_steps(climate: Climate, begin: datetime, end: datetime) -> Steps:
    """When the temperature in the shop changes, and to what.

    Parameters: climate; begin and end, aware moments.
    Returns: pairs (moment in UTC, °C) in order, the first at or before `begin`; each holds until the next.

    >>> from datetime import UTC
    >>> shop = Climate(19.5, 15.5, time(7), time(19), "Europe/Berlin")
    >>> noon = datetime(2026, 3, 3, 11, tzinfo=UTC)
    >>> [(at.hour, temp_c) for at, temp_c in temperature_steps(shop, noon, noon + timedelta(hours=12))]
    [(6, 19.5), (18, 15.5)]
    """
    begin, end = in_utc(begin), in_utc(end)
    # whole months from a fixed day, so that questions asked minutes apart share the table
    first = (begin - timedelta(days=2)).date().replace(day=1)
    days = -(-((end.date() - first).days + 3) // 64) * 64
    steps = _steps(climate, first, days)
    moments = [at for at, _ in steps]
    return steps[max(bisect_right(moments, begin) - 1, 0) : bisect_right(moments, end)]


class CureCurve:
    """Reference hours that have gone by in a shop: how far a cure is, and when it will be so far.

    The rate is constant between two changes of temperature, so that sums and their inverses are exact; the
    rate is never 0, so that a later start never ends earlier. Positions are slots and parts of one.

    >>> curve = CureCurve(None, EPOCH, EPOCH + timedelta(days=2), minutes=5)
    >>> curve.ready(12, hours=4)
    60.0
    """

    def __init__(
        self,
        climate: Climate | None,
        begin: datetime,
        end: datetime,
        at_c: float = 20,
        law: str = "ten_degree",
        minutes: int = 5,
    ) -> None:
        steps = [(in_utc(begin), at_c)] if climate is None else temperature_steps(climate, begin, end)
        temperatures = {temp_c for _, temp_c in steps}
        rates = {temp_c: cure_rate(temp_c, at_c, law) * minutes / 60 for temp_c in temperatures}
        slot = timedelta(minutes=minutes)
        self.at = [(moment - EPOCH) / slot for moment, _ in steps]
        self.rate = [rates[temp_c] for _, temp_c in steps]
        self.sum = [0.0]
        for begun, ended, rate in zip(self.at[:-1], self.at[1:], self.rate[:-1], strict=True):
            self.sum.append(self.sum[-1] + (ended - begun) * rate)
        self._arrays: tuple[Floats, Floats, Floats] = (
            np.array(self.at),
            np.array(self.sum),
            np.array(self.rate),
        )

    def hours(self, position: float) -> float:
        """The reference hours gone by at a position, counted from the first change."""
        index = max(bisect_right(self.at, position) - 1, 0)
        return self.sum[index] + (position - self.at[index]) * self.rate[index]

    def position(self, hours: float) -> float:
        """Where so many reference hours have gone by: the inverse of `hours`."""
        index = max(bisect_right(self.sum, hours) - 1, 0)
        return self.at[index] + (hours - self.sum[index]) / self.rate[index]

    def ready(self, start: float, hours: float) -> float:
        """Where a cure that begins at `start` has had so many reference hours."""
        return self.position(self.hours(start) + hours)

    def begun(self, ready: float, hours: float) -> float:
        """Where a cure must begin to have had so many reference hours at `ready`."""
        return self.position(self.hours(ready) - hours)

    def ready_all(self, starts: NDArray[Any], hours: float) -> Floats:
        """As `ready`, for an array of starts."""
        at, total, rate = self._arrays
        index = np.maximum(np.searchsorted(at, starts, "right") - 1, 0)
        sums = total[index] + (starts - at[index]) * rate[index] + hours
        index = np.maximum(np.searchsorted(total, sums, "right") - 1, 0)
        return np.asarray(at[index] + (sums - total[index]) / rate[index], dtype=np.float64)
