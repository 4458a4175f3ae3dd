"""A new plan offered at the day's end. The shop is open eight to five; AT is Tuesday 10 March, 09:00."""

from datetime import date, timedelta

import pytest

from projects.actions import plans
from projects.models import Plan, Step
from projects.schedule import span
from projects.schedule.evening import evening
from tests.factories import AT
from tests.projects.schedule.rooms import Room, change, utc

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    return Room()


def planned(room, start, end, **more):
    (step,) = room.steps(room.project(("flatten", 60)))
    change(step, planned_start=start, planned_end=end, **more)
    return step


def asked(room, at):
    matter = room.matter(at)
    day = span.span_of(span.DAY, "day", "", at, room.shop.tz)
    done = list(Step.objects.of(room.shop).gone_on(day.starts_at, day.ends_at))
    newest = Plan.objects.of(room.shop).newest_first().first()
    return evening(matter, matter.sessions(date(2026, 3, 8), 10), done, day, newest)


def test_what_was_not_begun_is_told_in_the_last_half_hour_and_not_before(room):
    step = planned(room, utc(10, 10), utc(10, 11))
    assert asked(room, utc(10, 16, 29)) is None
    found = asked(room, utc(10, 16, 30))
    assert found.not_begun == [step]
    assert found.said == f"“flatten {step.project.code}” was not begun"


def test_after_closing_it_is_still_told_until_the_next_morning(room):
    planned(room, utc(10, 10), utc(10, 11))
    assert asked(room, utc(11, 2)) is not None
    assert asked(room, utc(11, 7)) is None


def test_a_day_that_went_as_planned_asks_nothing(room):
    planned(room, utc(10, 10), utc(10, 11), state="done", started_at=utc(10, 10, 5), ended_at=utc(10, 12))
    planned(room, utc(11, 10), utc(11, 11))
    assert asked(room, utc(10, 17)) is None


def test_what_is_not_done_in_time_is_told(room):
    step = planned(room, utc(10, 10), utc(10, 11), state="under_way", started_at=utc(10, 10))
    assert asked(room, utc(10, 17)).not_done == [step]


def test_what_goes_on_as_planned_tomorrow_is_not_late(room):
    planned(room, utc(10, 10), utc(11, 11), state="under_way", started_at=utc(10, 10))
    assert asked(room, utc(10, 17)) is None


@pytest.mark.parametrize("start", [None, utc(12, 8)])
def test_what_was_begun_that_stood_on_no_day_or_a_later_one_is_told(room, start):
    step = planned(room, start, None, state="done", started_at=utc(10, 9), ended_at=utc(10, 10))
    found = asked(room, utc(10, 17))
    assert found.not_planned == [step]
    assert found.said.endswith("was begun that was not planned")


def test_several_are_counted(room):
    for _ in range(2):
        planned(room, utc(10, 10), utc(10, 11))
        planned(room, utc(10, 10), utc(10, 11), state="under_way", started_at=utc(10, 10))
    assert asked(room, utc(10, 17)).said == "2 steps were not begun, 2 steps are not done"


def test_whoever_made_a_plan_this_evening_is_not_asked_again(room):
    step = planned(room, utc(10, 10), utc(10, 11))
    plan = plans.propose(room.member, at=utc(10, 16, 40))
    assert asked(room, utc(10, 17)) is None
    plans.drop(room.member, plan, at=utc(10, 16, 45))
    assert asked(room, utc(10, 17)) is None
    step.refresh_from_db()
    assert step.planned_start == utc(10, 10)


def test_a_plan_of_the_morning_is_no_answer_to_the_evening(room):
    planned(room, utc(10, 10), utc(10, 11))
    plans.propose(room.member, at=AT)
    assert asked(room, utc(10, 17)) is not None


def test_a_day_on_which_the_shop_is_shut_has_no_end(room):
    planned(room, utc(13, 10), utc(13, 11))
    assert asked(room, utc(14, 17)) is None


def test_the_last_of_two_openings_ends_the_day(room):
    planned(room, utc(10, 10), utc(10, 11))
    matter = room.matter(utc(10, 12, 50))
    day = span.span_of(span.DAY, "day", "", matter.at, room.shop.tz)
    twice = [(utc(10, 8), utc(10, 13)), (utc(10, 14), utc(10, 18))]
    assert evening(matter, twice, [], day, None) is None
    later = room.matter(utc(10, 17, 40))
    assert evening(later, twice, [], day, None).not_begun


def test_nothing_moves_by_itself(room):
    step = planned(room, utc(10, 10), utc(10, 11))
    assert asked(room, utc(10, 17) + timedelta(hours=1)) is not None
    step.refresh_from_db()
    assert (step.planned_start, step.planned_end) == (utc(10, 10), utc(10, 11))
    assert not Plan.objects.exists()
