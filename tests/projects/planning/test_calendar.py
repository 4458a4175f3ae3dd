from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as some

from projects.planning.calendar import Calendar, in_utc, opening_sessions
from tests.projects.planning.shops import BERLIN, TUESDAY, week

EIGHT_TO_SIX = {day: [(time(8), time(18))] for day in range(7)}


def utc(month, day, hour, minute=0):
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


def hours(sessions):
    return [(close - opened) / timedelta(hours=1) for opened, close in sessions]


# Europe/Berlin 2026, worked out by hand from the dates of the change: 29 March and 25 October, 01:00 UTC
@pytest.mark.parametrize(("day", "opens"), [(27, 7), (28, 7), (29, 6), (30, 6)])
def test_opening_at_eight_is_an_hour_earlier_in_utc_after_the_change_to_summer(day, opens):
    found = opening_sessions(BERLIN, EIGHT_TO_SIX, {}, date(2026, 3, day), 1)
    assert found == [(utc(3, day, opens), utc(3, day, opens + 10))]


@pytest.mark.parametrize(
    ("first", "length"), [(date(2026, 3, 28), 7), (date(2026, 10, 24), 9), (date(2026, 3, 27), 8)]
)
def test_a_night_is_an_hour_shorter_or_longer_when_the_clock_is_changed(first, length):
    nights = {day: [(time(22), time(6))] for day in range(7)}
    assert hours(opening_sessions(BERLIN, nights, {}, first, 1)) == [length]


def test_an_opening_in_the_skipped_hour_is_at_the_change():
    found = opening_sessions(BERLIN, {6: [(time(2, 30), time(8))]}, {}, date(2026, 3, 29), 1)
    assert found[0][0] == utc(3, 29, 1)


def test_a_closing_in_the_skipped_hour_is_at_the_change():
    found = opening_sessions(BERLIN, {6: [(time(0), time(2, 30))]}, {}, date(2026, 3, 29), 1)
    assert found[0][1] == utc(3, 29, 1)


def test_a_doubled_time_opens_at_its_first_and_closes_at_its_second():
    opens = opening_sessions(BERLIN, {6: [(time(2, 30), time(8))]}, {}, date(2026, 10, 25), 1)[0][0]
    closes = opening_sessions(BERLIN, {6: [(time(0), time(2, 30))]}, {}, date(2026, 10, 25), 1)[0][1]
    assert (opens, closes) == (utc(10, 25, 0, 30), utc(10, 25, 1, 30))


def test_the_night_of_the_change_is_eleven_hours_in_utc_although_the_wall_says_twelve():
    berlin = ZoneInfo(BERLIN)
    evening = datetime(2026, 3, 28, 20, tzinfo=berlin)
    morning = datetime(2026, 3, 29, 8, tzinfo=berlin)
    assert morning - evening == timedelta(hours=12)
    assert in_utc(morning) - in_utc(evening) == timedelta(hours=11)


def test_touching_sessions_are_one():
    halves = {1: [(time(8), time(12)), (time(12), time(17))]}
    assert hours(opening_sessions(BERLIN, halves, {}, date(2026, 3, 3), 1)) == [9]


def test_a_lunch_makes_two_sessions():
    halves = {1: [(time(13), time(17)), (time(8), time(12))]}
    assert hours(opening_sessions(BERLIN, halves, {}, date(2026, 3, 3), 1)) == [4, 4]


def test_an_exception_replaces_the_weekday():
    short = {date(2026, 3, 3): [(time(9), time(10))]}
    assert hours(opening_sessions(BERLIN, week(), short, date(2026, 3, 3), 2)) == [1, 10]


def test_an_empty_exception_shuts_the_shop():
    found = opening_sessions(BERLIN, week(), {date(2026, 3, 3): []}, date(2026, 3, 3), 2)
    assert [opened.day for opened, _ in found] == [4]


def test_a_night_that_runs_into_a_shut_day_keeps_its_end():
    nights = {1: [(time(22), time(6))], 2: [(time(22), time(6))]}
    found = opening_sessions(BERLIN, nights, {date(2026, 3, 4): []}, date(2026, 3, 3), 2)
    assert hours(found) == [8]


@pytest.mark.parametrize("zone", ["Asia/Kathmandu", "Australia/Lord_Howe", "America/St_Johns"])
def test_odd_offsets_still_fall_on_the_grid(zone):
    shop = Calendar(opening_sessions(zone, EIGHT_TO_SIX, {}, date(2026, 1, 1), 365))
    opened, close = shop.sessions[100]
    assert (shop.moment(shop.opens[100]), shop.moment(shop.closes[100])) == (opened, close)


def test_openings_are_rounded_up_and_closings_down():
    shop = Calendar([(TUESDAY + timedelta(minutes=2), TUESDAY + timedelta(minutes=58))])
    assert shop.moment(shop.opens[0]) == TUESDAY + timedelta(minutes=5)
    assert shop.moment(shop.closes[0]) == TUESDAY + timedelta(minutes=55)


def test_sessions_that_touch_off_the_grid_stay_one():
    middle = TUESDAY + timedelta(minutes=62)
    shop = Calendar([(TUESDAY, middle), (middle, TUESDAY + timedelta(hours=2))])
    assert shop.longest == 24


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="has no time zone"):
        Calendar([(datetime(2026, 3, 3), datetime(2026, 3, 4))])  # noqa: DTZ001


def test_a_grid_that_fits_no_quarter_is_refused():
    with pytest.raises(ValueError, match="does not fit a quarter"):
        Calendar([], minutes=7)


def test_without_openings_nothing_fits():
    assert Calendar([]).first_start(0, 1) is None


@given(
    edges=some.lists(some.integers(0, 400), min_size=2, max_size=12, unique=True),
    at=some.integers(-5, 420),
    slots=some.integers(0, 60),
)
def test_first_and_last_start_are_what_looking_at_every_slot_finds(edges, at, slots):
    cuts = sorted(edges)[: len(edges) // 2 * 2]
    day = datetime(1970, 1, 1, tzinfo=UTC)
    pairs = [
        (day + timedelta(minutes=5 * a), day + timedelta(minutes=5 * b))
        for a, b in zip(cuts[::2], cuts[1::2], strict=True)
    ]
    shop = Calendar(pairs)
    fits = [
        s
        for s in range(-5, 480)
        if any(a <= s and s + slots <= b for a, b in zip(shop.opens, shop.closes, strict=True))
    ]
    assert shop.first_start(at, slots) == min((s for s in fits if s >= at), default=None)
    assert shop.last_start(at, slots) == max((s for s in fits if s <= at), default=at)
