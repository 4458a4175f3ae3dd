from datetime import date, time, timedelta

import pytest

from projects.actions import dates, plans, route
from projects.models import Plan, PlanSlot, Step, StepLink
from projects.schedule import making
from projects.schedule.proposal import proposal_of
from tests.factories import AT
from tests.projects.schedule.rooms import Room, utc
from workshop.models import Event, Job
from workshop.models.records import AppendOnly
from workshop.refusals import Refused
from workshop.told import Teller

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    room = Room()
    room.lamp = room.project(("pack", 60), ("~dry", 600), ("pack", 60), due_on=date(2026, 3, 20))
    return room


def propose(room, **how):
    return plans.propose(room.member, at=AT, **how)


def dated(project):
    return list(
        Step.objects.filter(project=project).order_by("position").values_list("planned_start", flat=True)
    )


def test_a_proposal_moves_nothing(room):
    plan = propose(room)
    assert plan.is_open
    assert dated(room.lamp) == [None, None, None]
    assert plan.slots.count() == 3


def test_an_accepted_plan_gives_its_dates_to_the_steps(room):
    plans.accept(room.member, propose(room), at=AT)
    assert dated(room.lamp) == [utc(10, 9), utc(10, 10), utc(11, 8)]
    assert Plan.objects.get().accepted_at == AT


def test_what_a_plan_replaced_can_be_put_back(room):
    route.lay_out(room.member, at=AT - timedelta(days=1))
    before = dated(room.lamp)
    plans.accept(room.member, propose(room, keep=False), at=AT)
    assert dated(room.lamp) != before
    dates.dates_back(room.member, dates.last_dates(room.shop), at=AT)
    assert dated(room.lamp) == before


def test_history_tells_of_an_accepted_plan(room):
    plans.accept(room.member, propose(room), at=AT)
    event = Event.objects.get(verb=dates.ACCEPTED)
    assert Teller("metric").tell(event).did == "took a plan for"


def test_a_dropped_plan_can_not_be_accepted_any_more(room):
    plan = propose(room)
    plans.drop(room.member, plan, at=AT)
    with pytest.raises(Refused, match="accepted or dropped already"):
        plans.accept(room.member, plan, at=AT)
    with pytest.raises(Refused, match="accepted or dropped already"):
        plans.drop(room.member, plan, at=AT)


def test_a_new_proposal_drops_the_one_that_lay_there(room):
    first = propose(room)
    second = propose(room)
    first.refresh_from_db()
    assert (first.dropped_at, second.is_open) == (AT, True)


def test_a_plan_is_refused_once_something_was_done_at_the_bench(room):
    plan = propose(room)
    Step.objects.filter(position=0).update(state="under_way", started_at=AT)
    with pytest.raises(Refused, match="changed in the shop since"):
        plans.accept(room.member, plan, at=AT)
    assert dated(room.lamp) == [None, None, None]


def test_a_step_that_was_begun_keeps_the_start_it_was_planned_for(room):
    Step.objects.filter(position=0).update(state="under_way", started_at=AT, planned_start=utc(9, 8))
    plans.accept(room.member, propose(room), at=AT)
    assert dated(room.lamp)[0] == utc(9, 8)


def test_a_seal_coat_is_over_when_it_has_dried():
    room = Room()
    room.project(("seal", 60))
    plans.accept(room.member, propose(room), at=AT)
    assert Step.objects.get().planned_end == utc(10, 18)


def test_another_shop_is_left_alone(room):
    other = Room()
    lantern = other.project(("pack", 60))
    plans.accept(room.member, propose(room), at=AT)
    assert dated(lantern) == [None]


def test_slots_are_never_changed(room):
    propose(room)
    slot = PlanSlot.objects.first()
    with pytest.raises(AppendOnly, match="never changed"):
        slot.save()
    with pytest.raises(AppendOnly, match="never changed"):
        PlanSlot.objects.update(part=2)


# --- where there can be none ---


def test_with_nothing_to_do_there_is_nothing_to_plan():
    with pytest.raises(Refused, match="Nothing is planned or under way"):
        propose(Room())


def test_without_opening_hours_the_dates_stay_as_they_are(room):
    room.open(days=())
    with pytest.raises(Refused, match="no opening hours ahead"):
        propose(room)


def test_a_circle_is_named_and_the_dates_stay_as_they_are(room):
    first, _, last = room.steps(room.lamp)
    # the Steps page refuses such a link; a plan must say it all the same
    StepLink.objects.create(shop=room.shop, created_at=AT, before=last, after=first)
    with pytest.raises(Refused, match=r"These steps wait for each other: .*pack .* → .*circle on the Steps"):
        propose(room)


def test_a_plan_that_fails_its_own_check_is_not_offered(room, monkeypatch):
    monkeypatch.setattr(
        "projects.planning.solver.check_plan", lambda instance, plan: ["Pack overlaps itself"]
    )
    with pytest.raises(Refused, match="Pack overlaps itself"):
        propose(room)
    assert not Plan.objects.exists()


def test_a_day_wanted_that_has_passed_is_planned_all_the_same_and_called_late(room):
    room.lamp.due_on = date(2026, 3, 2)
    room.lamp.save()
    (end,) = proposal_of(propose(room)).ends
    assert end.late_days == 9


def test_a_week_away_is_planned_around(room):
    from workshop.changes import hours

    for day in range(10, 24):
        hours.set_day(room.member, date(2026, 3, day), [], at=AT, note="away")
    plans.accept(room.member, propose(room), at=AT)
    assert dated(room.lamp)[0] == utc(24, 8)


# --- what it says ---


def test_a_proposal_says_what_moves_and_what_it_gains(room):
    Step.objects.filter(position=2).update(planned_start=utc(19, 8), planned_end=utc(19, 9))
    Step.objects.filter(position=1).update(planned_start=utc(10, 10), planned_end=utc(10, 20))
    Step.objects.filter(position=0).update(planned_start=utc(10, 9), planned_end=utc(10, 10))
    found = proposal_of(propose(room))
    assert [(move.step.position, move.was, move.will) for move in found.moves] == [
        (2, utc(19, 8), utc(11, 8))
    ]
    assert [(end.gained_days, end.late_days) for end in found.sooner] == [(8, 0)]


def test_a_window_that_is_given_up_is_told():
    room = Room()
    room.shop.day_c = room.shop.night_c = 20
    room.shop.save()
    room.project(
        ("seal", 60), ("seal", 60), resin=room.resin(recoat_open_h=10, recoat_close_h=12, recoat_c=20)
    )
    found = proposal_of(propose(room))
    assert "the plan lets it cure and sands before" in found.relaxed[0].said
    assert PlanSlot.objects.filter(relaxed=True).count() == 1


def test_work_in_parts_has_a_slot_for_each():
    room = Room()
    room.open(time(8), time(12))
    room.project(("sand", 360))
    plan = propose(room)
    slots = plan.slots.in_order().values_list("part", "starts_at", "ends_at")
    assert list(slots) == [(0, utc(10, 9), utc(10, 12)), (1, utc(11, 8), utc(11, 11))]


# --- the worker's search ---


def test_a_large_shop_is_planned_by_the_worker(room, monkeypatch, django_capture_on_commit_callbacks):
    monkeypatch.setattr(making, "IN_A_REQUEST", 2)
    with django_capture_on_commit_callbacks(execute=True):
        job = propose(room)
    job = Job.objects.get(pk=job.pk)
    assert (job.state, job.done) == ("done", plans.ROUNDS + 1)
    assert plans.page(job).endswith(f"/week/plan/{Plan.objects.get().key}/")


def test_a_search_that_can_find_nothing_says_why(room, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        job = plans.search_on(room.member, at=AT)
        Step.objects.update(state="done", started_at=AT, ended_at=AT)
    job = Job.objects.get(pk=job.pk)
    assert (job.state, job.error) == ("failed", plans.NOTHING)
    assert plans.page(job).endswith("/week/")
