"""The data sheet's times carried to another temperature, and the clock of a cup.

The rule of ten degrees is a rule of thumb. It serves until a cure model takes over, and every clock
says which of the two it follows.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from materials.science.errors import checked

COLDEST_C, WARMEST_C = -10, 60
# below this a cure may go dormant: a resin maker's guide prints 55 °F
DORMANT_C = 13
# a heavier cup heats itself sooner than the sheet's, by how much the rule can't say: ring well before
RING_FRACTION, RING_FRACTION_HEAVIER = 0.75, 0.5


def ten_degree_hours(sheet_hours: float, sheet_c: float, temp_c: float) -> float:
    """A time of the data sheet at another temperature: ten degrees warmer takes half as long.

    Parameters: sheet_hours, the sheet's time in h (or any other unit: the result has the same);
    sheet_c, the temperature it holds for in °C; temp_c, the temperature in the shop in °C.
    Returns: the time at temp_c, in the unit of sheet_hours.
    Raises: OutOfRange beyond -10 to 60 °C.
    Valid for: a rule of thumb, near the sheet's temperature best; thin films follow it less (about
    1.3 times per ten degrees).
    Source: two resin makers print "every 18 °F (10 °C) halves gel time"; one prints 15 °C.

    >>> ten_degree_hours(24, 20, 30)
    12.0
    >>> round(ten_degree_hours(60, 25, 20), 2)
    84.85
    """
    checked("sheet_hours", sheet_hours, 0.001, 1e5, "h")
    checked("sheet_c", sheet_c, COLDEST_C, WARMEST_C, "°C")
    checked("temp_c", temp_c, COLDEST_C, WARMEST_C, "°C")
    return float(sheet_hours * 2 ** ((sheet_c - temp_c) / 10))


def minutes_through(minutes: float, at_c: float, temps: Sequence[tuple[float, float]]) -> float:
    """How long a time of the sheet really lasts in a shop whose temperature was read on the way.

    Parameters: minutes, the time at at_c in °C; temps, pairs of the minute of a reading and its °C, in
    order, the first at or before minute 0; each holds until the next.
    Returns: minutes from 0 on.
    Raises: OutOfRange; ValueError where there is no temperature at the start or they are not in order.
    Valid for: as ten_degree_hours; between two readings nothing is known, so that the last one holds.
    Source: as ten_degree_hours, the share of the time that each stretch uses up added together.

    >>> minutes_through(240, 20, [(0, 20), (60, 30)])  # a quarter is gone, the rest is twice as fast
    150.0
    """
    checked("minutes", minutes, 0.001, 1e7, "min")
    if not temps or temps[0][0] > 0:
        raise ValueError("a clock needs the temperature at its start")
    starts = [at for at, _ in temps]
    if starts != sorted(starts):
        raise ValueError("the readings of a clock come in order")
    left = float(minutes)
    for (begun, temp_c), (end, _) in itertools.pairwise(temps):
        stretch = max(end, 0.0) - max(begun, 0.0)
        lasts = left * ten_degree_hours(1, at_c, temp_c)
        if lasts <= stretch:
            return max(begun, 0.0) + lasts
        left *= 1 - stretch / lasts
    begun, temp_c = temps[-1]
    return max(begun, 0.0) + left * ten_degree_hours(1, at_c, temp_c)


def may_have_stopped(temp_c: float, sheet_min_c: float | None = None) -> bool:
    """Whether it is so cold that a cure may have stopped although its clock runs on: test hardness.

    Parameters: temp_c, the temperature in the shop in °C; sheet_min_c, the sheet's lowest, if it has one.
    Returns: true below the sheet's lowest temperature, or below 13 °C where the sheet has none.
    Raises: OutOfRange beyond -10 to 60 °C.
    Valid for: room-temperature epoxies.
    Source: a resin maker's guide, "dormant at or below 55 °F (13 °C)".

    >>> may_have_stopped(11), may_have_stopped(11, sheet_min_c=10)
    (True, False)
    """
    checked("temp_c", temp_c, COLDEST_C, WARMEST_C, "°C")
    lowest = (
        DORMANT_C if sheet_min_c is None else checked("sheet_min_c", sheet_min_c, COLDEST_C, WARMEST_C, "°C")
    )
    return temp_c < lowest


@dataclass(frozen=True)
class CupClock:
    """How long one cup stays pourable, and when to ring before that.

    `heavier` means: more mass than the sheet's test cup, so that the real time is shorter than
    `pot_life_min`, by how much is not known here.

    >>> CupClock(pot_life_min=80, heavier=True, ring_fraction=0.5).ring_min
    40.0
    """

    pot_life_min: float
    heavier: bool
    ring_fraction: float

    @property
    def ring_min(self) -> float:
        """Minutes from the moment the parts met to the early ring."""
        return self.pot_life_min * self.ring_fraction


def cup_clock(
    sheet_minutes: float, sheet_mass_g: float, sheet_c: float, mass_g: float, temp_c: float
) -> CupClock:
    """The clock of a cup by the data sheet's pot life and the ten-degree rule.

    Parameters: sheet_minutes, sheet_mass_g and sheet_c, the sheet's pot life in min, for which mass in g
    and at which temperature in °C; mass_g, the cup in g; temp_c, its temperature in °C.
    Returns: a CupClock. Mass is never scaled: a lighter cup gets the sheet's time, a heavier one too,
    but it is marked as shorter and rings at half instead of three quarters.
    Raises: OutOfRange.
    Valid for: as ten_degree_hours; the heat a big cup makes is not in it.
    Source: as ten_degree_hours; that pot life depends on the mass: ASTM D2471 (withdrawn 2008). The
    fractions 0.75 and 0.5 are a judgement, no source.

    >>> cup = cup_clock(90, 100, 25, mass_g=455, temp_c=20)
    >>> round(cup.pot_life_min, 1), cup.heavier, cup.ring_fraction
    (127.3, True, 0.5)
    """
    checked("sheet_minutes", sheet_minutes, 0.1, 1e5, "min")
    checked("sheet_mass_g", sheet_mass_g, 0.1, 1e6, "g")
    checked("mass_g", mass_g, 0.001, 1e6, "g")
    heavier = mass_g > sheet_mass_g
    return CupClock(
        pot_life_min=ten_degree_hours(sheet_minutes / 60, sheet_c, temp_c) * 60,
        heavier=heavier,
        ring_fraction=RING_FRACTION_HEAVIER if heavier else RING_FRACTION,
    )
