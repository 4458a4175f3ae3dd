from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.resin.sheet_clock import (
    DORMANT_C,
    cup_clock,
    may_have_stopped,
    minutes_through,
    ten_degree_hours,
)
from tests.data.rows import rows

temperatures_c = st.floats(-10, 60)


@pytest.mark.parametrize("row", rows("clock", quantity="pot life by Q10=2"))
def test_a_pot_life_is_carried_to_another_temperature_as_published(row):
    given_ = row["inputs"]
    found = ten_degree_hours(given_["t_ref_min"] / 60, given_["T_ref_C"], given_["T_C"]) * 60
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("clock", quantity="pot-life halving step"))
def test_the_published_step_of_temperature_halves_the_time(row):
    assert ten_degree_hours(24, 15, 15 + row["expected"]["C"]) == pytest.approx(12)


@pytest.mark.parametrize("row", rows("clock", quantity="cure goes dormant"))
def test_the_cold_limit_is_the_published_one_to_a_whole_degree(row):
    assert round(row["expected"]["C"]) == DORMANT_C


def test_the_sheets_own_temperature_gives_the_sheets_own_time():
    assert ten_degree_hours(18, 23, 23) == 18


@given(temperatures_c, temperatures_c, temperatures_c)
def test_warmer_is_never_slower(sheet_c, one_c, other_c):
    cold, warm = sorted((one_c, other_c))
    assert ten_degree_hours(10, sheet_c, warm) <= ten_degree_hours(10, sheet_c, cold)


@given(st.floats(0.1, 1000), temperatures_c, temperatures_c)
def test_a_time_goes_to_another_temperature_and_back(hours, one_c, other_c):
    there = ten_degree_hours(hours, one_c, other_c)
    assert ten_degree_hours(there, other_c, one_c) == pytest.approx(hours)


@pytest.mark.parametrize(("sheet_c", "temp_c"), [(20, -10.1), (20, 60.1), (-11, 20), (61, 20)])
def test_a_temperature_that_no_shop_has_is_refused(sheet_c, temp_c):
    with pytest.raises(OutOfRange, match="must be from -10 to 60 °C"):
        ten_degree_hours(24, sheet_c, temp_c)


# --- a cup: the sheet says 90 min for 100 g at 25 °C; at 20 °C 90 * 2^0.5 = 127.279 min ---


def test_a_cup_as_heavy_as_the_sheets_has_the_sheets_time_and_rings_at_three_quarters():
    cup = cup_clock(90, 100, 25, mass_g=100, temp_c=20)
    assert not cup.heavier
    assert cup.pot_life_min == pytest.approx(127.279, abs=0.001)
    assert cup.ring_min == pytest.approx(0.75 * 127.279, abs=0.001)


def test_a_heavier_cup_is_marked_and_rings_at_half():
    cup = cup_clock(90, 100, 25, mass_g=100.1, temp_c=25)
    assert cup.heavier
    assert cup.ring_min == 45


@given(st.floats(1, 5000))
def test_the_time_is_never_scaled_with_the_mass(mass_g):
    assert cup_clock(90, 100, 25, mass_g, 25).pot_life_min == pytest.approx(90)


def test_a_cup_without_mass_is_refused():
    with pytest.raises(OutOfRange, match="mass is 0 g"):
        cup_clock(90, 100, 25, mass_g=0, temp_c=20)


# --- cold ---


@pytest.mark.parametrize(
    ("temp_c", "sheet_min_c", "stopped"),
    [(12.9, None, True), (13, None, False), (12, 10, False), (14, 15, True)],
)
def test_below_the_sheets_lowest_temperature_or_thirteen_degrees_the_cure_may_have_stopped(
    temp_c, sheet_min_c, stopped
):
    assert may_have_stopped(temp_c, sheet_min_c) is stopped


# --- through temperatures that were read: shares used up, by hand ---


@pytest.mark.parametrize(
    ("temps", "minutes"),
    [
        ([(0, 20)], 240),
        ([(-30, 20)], 240),  # read before the start, it holds still
        ([(0, 30)], 120),
        ([(0, 20), (60, 30)], 150),  # a quarter in an hour; three quarters of two hours
        ([(0, 20), (60, 10)], 420),  # three quarters of eight hours
        ([(0, 20), (60, 30), (120, 20)], 180),  # a quarter, a half, a quarter
        ([(-60, 30), (60, 20)], 180),  # a half in the hour that counts, a half of four
        ([(0, 20), (240, 40)], 240),  # over as it is read
    ],
)
def test_a_time_through_several_temperatures_adds_the_shares_of_each(temps, minutes):
    assert minutes_through(240, 20, temps) == pytest.approx(minutes)


@pytest.mark.parametrize("temps", [[], [(5, 20)], [(0, 20), (30, 25), (10, 22)]])
def test_a_time_needs_its_temperatures_from_the_start_on_and_in_order(temps):
    with pytest.raises(ValueError, match="temperature at its start|come in order"):
        minutes_through(240, 20, temps)


@given(st.lists(st.tuples(st.floats(0, 500), temperatures_c), max_size=6))
def test_a_reading_of_what_is_already_known_changes_nothing(readings):
    temps = [(0.0, 20.0), *sorted(readings)]
    between = [((at + then) / 2, temp_c) for (at, temp_c), (then, _) in pairwise(temps)]
    again = [*(each for pair in zip(temps, between, strict=False) for each in pair), temps[-1]]
    assert minutes_through(240, 20, again) == pytest.approx(minutes_through(240, 20, temps))
