"""The demo's calendar, and how its story lines take turns."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as some

from projects.demo.diary import Diary, Lines, to_the_minute
from projects.demo.story import shop as story
from projects.demo.story.mishaps import MISHAPS
from projects.demo.story.pieces import PIECES

WEDNESDAY = datetime(2026, 3, 11, 10, 30, tzinfo=UTC)
DAYS = {place: stretches for place, (_, stretches) in story.DAYS.items()}
ANCHORS = some.datetimes(datetime(2020, 1, 1), datetime(2035, 1, 1), timezones=some.just(UTC))  # noqa: DTZ001 the zone is put on them


def diary(anchor=WEDNESDAY, zone="UTC"):
    return Diary(anchor, ZoneInfo(zone), story.WEEK, DAYS)


def test_weeks_are_counted_from_the_monday_of_the_anchors_week():
    assert diary().at(0, 0, "8:00") == datetime(2026, 3, 9, 8, tzinfo=UTC)
    assert diary().at(2, 4, "13:15") == datetime(2026, 2, 27, 13, 15, tzinfo=UTC)
    assert diary().at(-1, 0, "8:00") == datetime(2026, 3, 16, 8, tzinfo=UTC)


def test_the_clock_on_the_wall_counts_in_summer_and_in_winter():
    berlin = diary(zone="Europe/Berlin")
    assert berlin.at(0, 0, "8:00") == datetime(2026, 3, 9, 7, tzinfo=UTC)
    assert berlin.at(-4, 0, "8:00") == datetime(2026, 4, 6, 6, tzinfo=UTC)


def test_a_zone_in_which_the_week_is_another_one_has_its_own_monday():
    late = datetime(2026, 3, 8, 23, 30, tzinfo=UTC)  # Sunday in London, Monday in Berlin
    assert diary(late).monday.isoformat() == "2026-03-02"
    assert diary(late, "Europe/Berlin").monday.isoformat() == "2026-03-09"


def test_work_that_does_not_fit_before_noon_begins_after_it():
    assert diary().open_from(diary().at(0, 1, "12:00"), 60) == diary().at(0, 1, "13:15")


def test_work_waits_over_sunday():
    assert diary().open_from(diary().at(1, 5, "12:30"), 60) == diary().at(0, 0, "8:00")


def test_a_day_on_which_the_shop_is_shut_is_left_out():
    assert diary().open_from(diary().at(76, 0, "8:00"), 30) == diary().at(75, 0, "8:00")


def test_a_shop_that_never_opens_is_an_error():
    shut = Diary(WEDNESDAY, ZoneInfo("UTC"), dict.fromkeys(range(7), []), {})
    with pytest.raises(ValueError, match="shut for two months"):
        shut.open_from(WEDNESDAY, 10)


def test_the_last_open_moment_between_two():
    on = diary().at(0, 0, "18:00")
    assert diary().open_before(on - timedelta(hours=3), on) == diary().at(0, 0, "17:30")
    assert diary().open_before(on, on + timedelta(hours=3)) is None


@given(ANCHORS, some.integers(0, 100), some.integers(1, 300))
def test_what_is_begun_in_opening_hours_is_begun_when_somebody_is_there(anchor, weeks, minutes):
    book = diary(anchor)
    begin = book.open_from(anchor - timedelta(weeks=weeks), minutes)
    assert book.is_open(begin)
    assert begin >= anchor - timedelta(weeks=weeks)


def test_times_are_written_down_to_the_minute():
    assert to_the_minute(datetime(2026, 3, 1, 8, 0, 30, 5, tzinfo=UTC)) == datetime(
        2026, 3, 1, 8, 1, tzinfo=UTC
    )
    assert to_the_minute(WEDNESDAY) == WEDNESDAY


def test_lines_take_turns_by_the_clock_and_may_begin_others():
    told, lines = [], Lines()

    def line(name, *minutes, then=None):
        for minute in minutes:
            yield WEDNESDAY + timedelta(minutes=minute)
            told.append((name, minute))
        if then:
            lines.begin(then)

    lines.begin(line("a", 1, 5, then=line("c", 6)))
    lines.begin(line("b", 2, 9))
    lines.run()
    assert told == [("a", 1), ("b", 2), ("a", 5), ("c", 6), ("b", 9)]


def test_the_shop_opens_and_shuts_in_an_order_that_can_be():
    for stretches in (*story.WEEK.values(), *DAYS.values()):
        assert all(time(6) <= opens < closes <= time(22) for opens, closes in stretches)


def test_the_story_pours_fifty_times_and_five_times_in_the_cellar():
    assert sum(piece.pours for piece in PIECES) == 50
    assert sum(len(piece.cellar) for piece in PIECES) == 5


def test_every_mishap_belongs_to_a_project_and_a_pour_that_there_is():
    pours = {piece.title: piece.pours for piece in PIECES}
    assert all(mishap.lift is None or mishap.lift <= pours[mishap.title] for mishap in MISHAPS)


def test_titles_are_told_apart():
    assert len({piece.title for piece in PIECES}) == len(PIECES)
