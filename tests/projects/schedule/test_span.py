from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from projects.schedule.span import span_of

BERLIN = ZoneInfo("Europe/Berlin")
TUESDAY = datetime(2026, 3, 10, 9, tzinfo=UTC)


def span(view="week", by="day", on="", now=TUESDAY):
    return span_of(view, by, on, now, BERLIN)


@pytest.mark.parametrize(
    ("view", "first", "days"),
    [("day", date(2026, 3, 10), 1), ("week", date(2026, 3, 9), 7), ("weeks", date(2026, 3, 9), 42)],
)
def test_each_view_has_its_days(view, first, days):
    found = span(view)
    assert (found.first, found.days) == (first, days)


def test_nonsense_in_the_address_is_this_week():
    assert span("month", "colour", "yesterday") == span()


@pytest.mark.parametrize("on", ["0001-01-01", "9999-12-31", "2026-02-30"])
def test_a_day_beyond_any_plan_is_today(on):
    assert span(on=on) == span()


def test_before_six_in_the_morning_it_is_still_the_day_before():
    assert span("day", now=datetime(2026, 3, 10, 4, 30, tzinfo=UTC)).first == date(2026, 3, 9)


def test_a_row_runs_from_six_to_six():
    found = span("day")
    assert found.starts_at == datetime(2026, 3, 10, 5, tzinfo=UTC)
    assert found.hours(datetime(2026, 3, 10, 21, tzinfo=UTC), found.first) == 16


def test_the_night_of_the_change_of_clocks_is_an_hour_shorter():
    found = span("day", on="2026-03-28")
    assert (found.ends_at - found.starts_at).total_seconds() == 23 * 3600
    assert found.hours(datetime(2026, 3, 29, 3, 30, tzinfo=UTC), found.first) == 23.5


def test_six_weeks_by_day_are_six_rows():
    assert len(span("weeks").row_firsts) == 6
    assert len(span("week").row_firsts) == 7
