"""People away, as a plan takes them in. AT is Tuesday 10 March 2026, 09:00; open Monday to Friday."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.utils import timezone

from projects.actions import plans
from projects.models import Step
from projects.planning.estimate import finish_range
from projects.planning.solver import check_plan
from projects.schedule import absent, agenda, clashes, risks, span, stretches
from projects.schedule.instance import task_id
from projects.schedule.making import fingerprint, make, solved
from projects.schedule.today import doables
from projects.schedule.when import when
from tests.factories import AT, MemberFactory
from tests.projects.schedule.rooms import Room, change, clock, utc
from workshop.changes import absences
from workshop.models import Member
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    with timezone.override("UTC"):
        yield Room()


def away(room, first, last, person=None):
    """Somebody is away from one day of March to another."""
    days = date(2026, 3, first), date(2026, 3, last)
    return absences.enter(room.member, person or room.member, *days, at=AT)


def starts(room, project):
    made = make(room.matter(), keep=False)
    assert made.faults == []
    return [made.stands[step.pk].parts[0][0] for step in room.steps(project)]


def test_a_shop_of_one_away_for_two_weeks_is_planned_around_it(room):
    away(room, 11, 24)
    lamp = room.project(("pack", 420), ("~dry", 600), ("pack", 120), due_on=date(2026, 3, 12))
    assert starts(room, lamp) == [utc(10, 9), utc(10, 16), utc(25, 8)]
    assert absent.told(room.matter()) == [f"{room.member.name} is away from 11 to 24 March."]


def test_who_is_away_already_begins_when_back(room):
    away(room, 2, 12)
    assert starts(room, room.project(("pack", 60))) == [utc(13, 8)]
    assert absent.told(room.matter())[0].endswith("is away until 12 March, that day too.")


def test_work_under_way_of_who_is_away_goes_on_when_back(room):
    lamp = room.project(("flatten", 300), ("pack", 60))
    Step.objects.filter(kind="flatten").update(state="under_way", started_at=utc(10, 8), assignee=room.member)
    away(room, 10, 10)
    assert starts(room, lamp)[0] == utc(11, 8)


def test_days_that_overlap_or_touch_hold_a_pair_of_hands_once(room):
    for first, last in ((10, 11), (11, 12), (13, 13)):
        away(room, first, last)
    (one,) = room.matter().away
    assert (one.start, one.end) == (utc(10, 0), utc(14, 0))
    assert starts(room, room.project(("pack", 60))) == [utc(16, 8)]


def test_of_two_the_other_one_works_on_alone():
    room = Room(people=2)
    away(room, 10, 11)
    lamp, tray = (room.project(("pack", 480)) for _ in range(2))
    assert sorted(starts(room, lamp) + starts(room, tray)) == [utc(10, 9), utc(11, 8)]


def test_two_away_at_once_leave_nobody():
    room = Room(people=2)
    other = Member.objects.of(room.shop).exclude(pk=room.member.pk).get()
    away(room, 10, 12)
    away(room, 11, 13, other)
    lamp = room.project(("pack", 480), ("pack", 480))
    Step.objects.update(people=2)
    assert starts(room, lamp) == [utc(16, 8), utc(17, 8)]


def test_work_for_who_is_away_comes_after_it_and_work_for_others_does_not():
    room = Room(people=2)
    away(room, 10, 12)
    mine, free = room.project(("pack", 60)), room.project(("pack", 60))
    Step.objects.filter(project=mine).update(assignee=room.member)
    assert starts(room, mine) + starts(room, free) == [utc(13, 8), utc(10, 9)]


@pytest.mark.parametrize("change", [{"role": "viewer"}, {"left_at": AT}])
def test_whose_hands_do_not_count_is_not_missed(change):
    room = Room(people=2)
    other = Member.objects.of(room.shop).exclude(pk=room.member.pk).get()
    away(room, 10, 20, other)
    Member.objects.filter(pk=other.pk).update(**change)
    assert room.matter().away == ()


def test_days_away_are_no_step_and_no_project(room):
    away(room, 11, 24)
    lamp = room.project(("pack", 60))
    made = make(room.matter())
    assert set(made.ends) == {lamp.pk}
    assert {step.pk for step in room.steps(lamp)} == set(made.stands)
    assert [done.project for done in when(room.matter()).done] == [lamp]
    assert [line.step.project for line in doables(room.matter(), room.matter().sessions(AT.date(), 3))] == [
        lamp
    ]


def test_days_taken_out_count_no_more(room):
    row = away(room, 10, 24)
    absences.take_out(room.member, row, at=AT)
    assert starts(room, room.project(("pack", 60))) == [utc(10, 9)]


def test_days_away_make_a_plan_stale(room):
    room.project(("pack", 60))
    before = fingerprint(room.matter())
    proposal = plans.propose(room.member, at=AT)
    away(room, 11, 24)
    assert fingerprint(room.matter()) != before
    with pytest.raises(Refused, match="Something was done or changed"):
        plans.accept(room.member, proposal, at=AT)


def test_the_checker_finds_work_in_days_away(room):
    away(room, 11, 12)
    (step,) = room.steps(room.project(("pack", 60)))
    instance, plan = solved(room.matter())
    assert check_plan(instance, plan) == []
    name = task_id(step)
    moved = replace(
        plan,
        starts={**plan.starts, name: utc(11, 9)},
        ends={**plan.ends, name: utc(11, 10)},
        parts={**plan.parts, name: ((utc(11, 9), utc(11, 10)),)},
    )
    assert check_plan(instance, moved) == ["more people than there are at 2026-03-11 09:00"]


def test_a_project_ends_no_day_on_which_everybody_is_away(room):
    away(room, 11, 24)
    lamp = room.project(("pack", 420), due_on=date(2026, 3, 12))
    instance, plan = solved(room.matter(), keep=False)
    found = finish_range(instance, plan, samples=500).projects[str(lamp.pk)]
    # seven hours fill the day: whatever takes longer is gone on with by who comes back
    assert utc(10, 17, 5) > found.P10
    assert utc(25, 8) <= found.P90


def test_a_window_in_days_away_is_at_risk(room):
    away(room, 11, 24)
    (step,) = room.steps(room.project(("pour", 60)))
    change(step, state="under_way", started_at=utc(10, 6))
    clock(room, step, "recoat", utc(11, 9), utc(12, 9))
    matter = room.matter()
    (risk,) = risks.at_risk(matter, matter.sessions(AT.date(), 20))
    assert risk.said == "It closes Thu 09:00, and everybody is away all that time. Be there for it."


def test_dates_that_stand_in_days_away_clash(room):
    project = room.project(("pack", 60))
    Step.objects.update(planned_start=utc(11, 9), planned_end=utc(11, 10))
    away(room, 11, 24)
    matter = room.matter()
    sessions = matter.sessions(AT.date(), 20)
    (clash,) = clashes.clashes(matter, stretches.stretches(matter, [], sessions), sessions)
    assert (clash.said, clash.codes) == ("everybody is away", (project.code,))
    Step.objects.update(assignee=room.member)
    matter = room.matter()
    (clash,) = clashes.clashes(matter, stretches.stretches(matter, [], sessions), sessions)
    assert clash.said == f"{room.member.name} is away"


def said_to_clash(room):
    matter = room.matter()
    sessions = matter.sessions(AT.date(), 20)
    return [
        each.said for each in clashes.clashes(matter, stretches.stretches(matter, [], sessions), sessions)
    ]


def test_two_things_at_once_clash_while_one_of_two_is_away():
    room = Room(people=2)
    for kind in ("pack", "saw"):
        room.project((kind, 60))
    Step.objects.update(planned_start=utc(11, 9), planned_end=utc(11, 10))
    assert said_to_clash(room) == []
    away(room, 11, 12)
    assert said_to_clash(room) == ["two things at once for one pair of hands"]


def test_a_job_for_two_clashes_while_one_of_two_is_away():
    room = Room(people=2)
    room.project(("pack", 60))
    Step.objects.update(planned_start=utc(11, 9), planned_end=utc(11, 10), people=2)
    assert said_to_clash(room) == []
    away(room, 11, 12)
    assert said_to_clash(room) == ["a job for two, for one pair of hands"]


def test_a_day_of_the_week_says_who_is_away_on_it(room):
    away(room, 11, 12)
    shown = span.span_of("week", "list", "2026-03-09", AT, room.shop.tz)
    days = agenda.days_of(shown, room.matter(), [], [])
    assert [day.day.day for day in days if day.away == (room.member.name,)] == [11, 12]


def test_many_away_are_told_in_few_sentences():
    room = Room(people=7)
    for person in Member.objects.of(room.shop):
        away(room, 12, 13, person)
    assert absent.told(room.matter())[-1] == "3 more are away later."
    assert absent.told(room.matter(), AT + timedelta(hours=9)) == []


def test_another_shops_people_are_no_matter(room):
    stranger = MemberFactory(shop__zone="UTC")
    absences.enter(stranger, stranger, date(2026, 3, 10), date(2026, 3, 20), at=AT)
    assert room.matter().away == ()
