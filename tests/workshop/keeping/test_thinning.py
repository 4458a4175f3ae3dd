"""Which backups stay."""

from datetime import datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from workshop.keeping.thinning import kept

MOMENTS = st.lists(
    st.datetimes(datetime(2020, 1, 1), datetime(2027, 1, 1)),  # noqa: DTZ001 UTC in names
    min_size=1,
    max_size=60,
)
MIDNIGHT = datetime(2026, 1, 1, 3)  # noqa: DTZ001 UTC in names


@given(MOMENTS)
def test_the_newest_always_stays(moments):
    assert max(moments) in kept(moments)


@given(MOMENTS)
def test_no_more_stay_than_there_are_places(moments):
    assert kept(moments) <= set(moments)
    assert len(kept(moments)) <= 3 + 7 + 4 + 12


@given(MOMENTS)
def test_thinning_again_takes_nothing_more(moments):
    assert kept(kept(moments)) == kept(moments)


def test_two_years_of_nights_leave_a_year():
    nights = [MIDNIGHT + timedelta(days=day) for day in range(730)]
    stay = sorted(kept(nights))
    assert stay[-7:] == nights[-7:]
    # 25 to 31 December 2027, a Saturday to a Friday; of the four weeks those to the 19th and the 12th
    # come on top, of the twelve months eleven
    assert len(stay) == 7 + 2 + 11
    assert nights[-1] - stay[0] < timedelta(days=366)


def test_the_latest_three_stay_though_of_one_day():
    hours = [MIDNIGHT + timedelta(hours=hour) for hour in range(9)]
    assert sorted(kept(hours)) == hours[-3:]


def test_nothing_leaves_nothing():
    assert kept([]) == set()
