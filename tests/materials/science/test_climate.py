from datetime import UTC, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.climate import Climate
from materials.science.errors import OutOfRange

NOON = datetime(2025, 1, 15, 11, tzinfo=UTC)  # 12:00 by the shop's clock


def shop(*readings, day_from=time(7), day_to=time(19), **other):
    return Climate(20, 14, day_from, day_to, "Europe/Berlin", tuple(readings), **other)


@pytest.mark.parametrize(("hour_utc", "temp_c"), [(5, 14), (6, 20), (17, 20), (18, 14)])
def test_the_day_begins_and_ends_by_the_shops_clock(hour_utc, temp_c):
    assert shop().temp_c(NOON.replace(hour=hour_utc)) == temp_c


def test_in_summer_the_same_hour_by_the_clock_is_another_in_utc():
    assert shop().temp_c(datetime(2025, 7, 15, 5, 30, tzinfo=UTC)) == 20


@pytest.mark.parametrize(("hour_utc", "temp_c"), [(20, 20), (3, 20), (12, 14)])
def test_a_day_may_run_past_midnight(hour_utc, temp_c):
    climate = shop(day_from=time(20), day_to=time(6))
    assert climate.temp_c(NOON.replace(hour=hour_utc)) == temp_c


def test_at_a_reading_the_temperature_is_the_measured_one():
    assert shop((NOON, 23.5)).temp_c(NOON) == 23.5


def test_between_two_near_readings_it_goes_straight():
    climate = shop((NOON, 22), (NOON + timedelta(hours=4), 18))
    assert climate.temp_c(NOON + timedelta(hours=1)) == pytest.approx(21)


def test_soon_after_a_reading_its_difference_holds():
    assert shop((NOON, 23)).temp_c(NOON + timedelta(hours=2)) == pytest.approx(23)


def test_long_after_a_reading_and_before_it_the_usual_holds():
    climate = shop((NOON, 23))
    assert climate.temp_c(NOON + timedelta(hours=4)) == 20
    assert climate.temp_c(NOON - timedelta(minutes=1)) == 20


def test_far_readings_are_not_bridged():
    climate = shop((NOON, 23), (NOON + timedelta(hours=20), 23))
    assert climate.temp_c(NOON + timedelta(hours=10)) == 14


def test_the_lowest_of_a_night_is_found():
    assert shop().lowest_c(NOON, NOON + timedelta(hours=24)) == 14


@given(st.lists(st.tuples(st.integers(0, 2000), st.floats(5, 35)), max_size=6), st.integers(-500, 2500))
def test_the_order_of_readings_does_not_matter(readings, minute):
    own = [(NOON + timedelta(minutes=at), temp_c) for at, temp_c in dict(readings).items()]
    at = NOON + timedelta(minutes=minute)
    assert shop(*own).temp_c(at) == shop(*reversed(own)).temp_c(at)


def test_a_reading_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="moment with its time zone"):
        shop((datetime(2025, 1, 1), 20))  # noqa: DTZ001


def test_an_absurd_temperature_is_refused():
    with pytest.raises(OutOfRange, match="reading is 77 °C"):
        shop((NOON, 77))
