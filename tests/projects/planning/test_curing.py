from dataclasses import replace
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from materials.science.climate import Climate
from materials.science.errors import OutOfRange, UnknownName
from projects.planning.calendar import Calendar
from projects.planning.curing import CureCurve, arrhenius_rate, cure_rate, temperature_steps
from projects.planning.grid import Lag
from tests.projects.planning.shops import BERLIN, TUESDAY, USUAL

GRID = Calendar([])
FIRST = GRID.slot_up(TUESDAY)


def curve(climate=USUAL, at_c=20, law="ten_degree", days=60):
    return CureCurve(climate, TUESDAY - timedelta(days=1), TUESDAY + timedelta(days=days), at_c, law)


# derived: 2^((T − 20)/10)
@pytest.mark.parametrize(("temp_c", "rate"), [(30, 2), (20, 1), (15, 0.70711), (10, 0.5)])
def test_ten_degrees_double_the_rate(temp_c, rate):
    assert cure_rate(temp_c) == pytest.approx(rate, abs=5e-6)


# derived: exp(−Ea/R (1/T − 1/293.15)), Ea 51.2 kJ/mol
@pytest.mark.parametrize(("temp_c", "rate"), [(30, 1.99956), (15, 0.69454)])
def test_arrhenius_with_fifty_one_kilojoules_is_near_the_ten_degrees_above_twenty(temp_c, rate):
    assert arrhenius_rate(temp_c, 20, 51_200) == pytest.approx(rate, abs=5e-6)


def test_below_twenty_degrees_the_two_laws_part():
    assert arrhenius_rate(10, 20, 51_200) < cure_rate(10)


def test_an_unknown_law_names_the_known_ones():
    with pytest.raises(UnknownName, match="known are: arrhenius, ten_degree"):
        cure_rate(20, law="guess")


def test_a_temperature_beyond_sense_is_refused():
    with pytest.raises(OutOfRange, match="temperature is 90 °C"):
        cure_rate(90)


def test_day_and_night_follow_the_wall_also_over_the_change_to_summer():
    begin = datetime(2026, 3, 28, 12, tzinfo=ZoneInfo("UTC"))
    steps = temperature_steps(USUAL, begin, begin + timedelta(days=1, hours=6))
    assert [(at.hour, temp_c) for at, temp_c in steps] == [(6, 19), (18, 15), (5, 19), (17, 15)]


def read(*readings):
    return replace(
        USUAL, readings=tuple((TUESDAY + timedelta(hours=hours), temp_c) for hours, temp_c in readings)
    )


def test_a_reading_holds_for_three_hours():
    steps = temperature_steps(read((3, 24)), TUESDAY, TUESDAY + timedelta(hours=8))
    assert [((at - TUESDAY) / timedelta(hours=1), temp_c) for at, temp_c in steps] == [
        (0, 19),
        (3, 24),
        (6, 19),
    ]


def test_its_difference_from_the_usual_holds_when_day_turns_to_night():
    steps = temperature_steps(read((11, 24)), TUESDAY, TUESDAY + timedelta(hours=16))
    assert [temp_c for _, temp_c in steps] == [19, 24, 20, 15]


def test_a_difference_beyond_sense_stops_at_the_coldest_that_is_believed():
    hot = replace(USUAL, day_c=40, night_c=0, readings=((TUESDAY + timedelta(hours=11), 0),))
    steps = temperature_steps(hot, TUESDAY, TUESDAY + timedelta(hours=16))
    assert [temp_c for _, temp_c in steps] == [40, 0, -30, 0]


@pytest.mark.parametrize("minutes", range(0, 40 * 60, 37))
def test_the_steps_are_the_climate_s_own_temperatures(minutes):
    climate = read((3, 24), (5, 22), (12, 13), (30, 20))
    at = TUESDAY + timedelta(minutes=minutes)
    (_, temp_c), *_ = temperature_steps(climate, at, at)
    # a straight line in steps of five minutes is off by half a step at most
    assert temp_c == pytest.approx(climate.temp_c(at), abs=0.05)


def test_a_warmer_reading_lets_a_window_open_earlier():
    read = replace(USUAL, readings=((TUESDAY + timedelta(hours=1), 26),))
    assert curve(read).ready(FIRST, 4) < curve().ready(FIRST, 4)


def test_without_a_climate_the_sheet_s_hours_are_hours():
    assert curve(None).ready(FIRST, 4) == FIRST + 48


def test_the_array_of_ends_is_the_ends_one_by_one():
    starts = np.arange(FIRST, FIRST + 400, 7)
    found = curve()
    assert found.ready_all(starts, 6.5) == pytest.approx([found.ready(s, 6.5) for s in starts])


climates = some.builds(
    Climate,
    day_c=some.floats(0, 40),
    night_c=some.floats(0, 40),
    day_from=some.sampled_from([time(6), time(7, 30), time(9)]),
    day_to=some.sampled_from([time(17), time(19), time(22, 15)]),
    zone=some.sampled_from([BERLIN, "UTC", "Australia/Lord_Howe"]),
    readings=some.lists(
        some.tuples(
            some.integers(0, 20_000).map(lambda m: TUESDAY + timedelta(minutes=m)), some.floats(0, 40)
        ),
        max_size=5,
    ).map(tuple),
)


@given(climate=climates, hours=some.floats(0.1, 60), law=some.sampled_from(["ten_degree", "arrhenius"]))
def test_waiting_never_makes_a_cure_ready_earlier(climate, hours, law):
    starts = np.arange(FIRST, FIRST + 2000, 3)
    ends = curve(climate, law=law).ready_all(starts, hours)
    assert (np.diff(ends) > 0).all()


@given(climate=climates, hours=some.floats(0.1, 60), start=some.floats(0, 3000))
def test_what_began_can_be_worked_out_from_when_it_is_ready(climate, hours, start):
    found = curve(climate)
    assert found.begun(found.ready(FIRST + start, hours), hours) == pytest.approx(FIRST + start, abs=1e-6)


@given(climate=climates, end=some.integers(0, 2000), open_h=some.floats(0, 20), wider=some.floats(0, 20))
def test_the_least_and_the_most_end_are_the_edges_of_what_a_window_allows(climate, end, open_h, wider):
    lag = Lag(0, None, 0, curve(climate), open_h, open_h + wider)
    start = lag.opens(FIRST + end)
    least, most = lag.least_end(start), lag.most_end(start)
    assert lag.closes(least) >= start > lag.closes(least - 1)
    assert lag.opens(most) <= start < lag.opens(most + 1)
