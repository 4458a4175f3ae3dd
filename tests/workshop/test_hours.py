"""Opening hours: read as typed, kept as rows, handed on as plain values, put back."""

from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.factories import AT, MemberFactory
from workshop import hours
from workshop.changes import hours as changes
from workshop.models import Event
from workshop.refusals import Refused

EIGHT_TO_FIVE = [(time(8), time(17))]
DAY = date(2026, 12, 24)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("8–17", EIGHT_TO_FIVE),
        ("08:00-17:00", EIGHT_TO_FIVE),
        ("8 to 17", EIGHT_TO_FIVE),
        ("8.00 until 17.00", EIGHT_TO_FIVE),
        ("13–17, 8–12:30", [(time(8), time(12, 30)), (time(13), time(17))]),
        ("8–12 and 13–17", [(time(8), time(12)), (time(13), time(17))]),
        ("8–12, 12–17", [(time(8), time(12)), (time(12), time(17))]),
        ("18–2", [(time(18), time(2))]),
        ("8–24", [(time(8), time(0))]),
        ("0–24", [(time(0), time(0))]),
        ("", []),
        ("shut", []),
        ("Closed", []),
    ],
)
def test_hours_are_read_as_people_write_them(text, found):
    assert hours.parse(text) == found


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("all day", "“all day” is not understood. Write it like 8:00–12:30"),
        ("8", "“8” is not understood"),
        ("8–25", "No clock shows “8–25”"),
        ("8:75–17", "No clock shows"),
        ("8–13, 12–17", "08:00–13:00 runs into what comes after it"),
        ("18–2, 20–22", "18:00–02:00 runs into what comes after it"),
    ],
)
def test_what_are_no_hours_gets_a_sentence(text, sentence):
    with pytest.raises(hours.NotHours, match=sentence):
        hours.parse(text)


TIMES = st.times(max_value=time(23, 59)).map(lambda at: at.replace(second=0, microsecond=0))


@given(st.lists(TIMES, unique=True, max_size=8).filter(lambda times: len(times) % 2 == 0))
def test_hours_that_are_said_are_read_again(times):
    times = sorted(times)
    stretches = list(zip(times[::2], times[1::2], strict=True))
    assert hours.parse(hours.said(stretches)) == stretches


@pytest.fixture
def owner(db):
    return MemberFactory(shop__name="Tallow Yard")


def week(**more):
    return {day: [] for day in range(7)} | {0: EIGHT_TO_FIVE} | more


def refreshed(owner):
    owner.shop.refresh_from_db()
    return owner.shop


def test_a_shop_that_set_nothing_has_usual_hours(owner):
    assert hours.week_of(owner.shop) == hours.USUAL


def test_the_week_comes_back_as_it_was_set(owner):
    late = {5: [(time(9), time(12)), (time(18), time(2))]}
    changes.set_week(owner, {**week(), **late}, at=AT)
    assert hours.week_of(refreshed(owner)) == {**week(), **late}


def test_a_shop_may_be_shut_all_week(owner):
    changes.set_week(owner, {day: [] for day in range(7)}, at=AT)
    assert hours.week_of(refreshed(owner)) == {day: [] for day in range(7)}


def test_a_change_of_the_week_tells_only_what_differs(owner):
    changes.set_week(owner, hours.USUAL, at=AT)
    changes.set_week(owner, {**hours.USUAL, 5: [(time(9), time(12))]}, at=AT)
    event = Event.objects.latest("pk")
    assert (event.before, event.after) == ({"saturday": "shut"}, {"saturday": "09:00–12:00"})


def test_the_same_week_again_is_no_change(owner):
    changes.set_week(owner, week(), at=AT)
    changes.set_week(owner, week(), at=AT)
    assert Event.objects.count() == 1


def test_a_day_may_be_shut_or_differ(owner):
    changes.set_day(owner, DAY, [], at=AT, note="holiday")
    changes.set_day(owner, date(2026, 12, 27), [(time(10), time(14))], at=AT)
    assert hours.exceptions_of(owner.shop) == {DAY: [], date(2026, 12, 27): [(time(10), time(14))]}


def test_days_that_are_past_can_be_left_out(owner):
    changes.set_day(owner, DAY, [], at=AT)
    assert hours.exceptions_of(owner.shop, since=date(2026, 12, 25)) == {}


def test_a_day_set_again_replaces_what_it_was(owner):
    changes.set_day(owner, DAY, [], at=AT)
    changes.set_day(owner, DAY, EIGHT_TO_FIVE, at=AT)
    assert hours.exceptions_of(owner.shop) == {DAY: EIGHT_TO_FIVE}


def test_another_shops_hours_are_its_own(owner):
    changes.set_day(MemberFactory(), DAY, [], at=AT)
    assert hours.exceptions_of(owner.shop) == {}


def test_the_week_can_be_put_back_and_that_too(owner):
    changes.set_week(owner, hours.USUAL, at=AT)
    changes.set_week(owner, week(), at=AT)
    changes.put_back(owner, changes.last_change(owner.shop), at=AT)
    assert hours.week_of(refreshed(owner)) == hours.USUAL
    changes.put_back(owner, changes.last_change(owner.shop), at=AT)
    assert hours.week_of(refreshed(owner)) == week()


@pytest.mark.parametrize("before", [None, [], EIGHT_TO_FIVE])
def test_a_day_can_be_put_back(owner, before):
    if before is not None:
        changes.set_day(owner, DAY, before, at=AT, note="as it was")
    found = hours.exceptions_of(owner.shop)
    changes.set_day(owner, DAY, [(time(1), time(2))], at=AT)
    changes.put_back(owner, changes.last_change(owner.shop), at=AT)
    assert hours.exceptions_of(owner.shop) == found


def test_what_was_changed_again_since_is_not_put_back(owner):
    changes.set_week(owner, hours.USUAL, at=AT)
    first = changes.last_change(owner.shop)
    changes.set_week(owner, week(), at=AT)
    with pytest.raises(Refused, match="changed again since"):
        changes.put_back(owner, first, at=AT)
