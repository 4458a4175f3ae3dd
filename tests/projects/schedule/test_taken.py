from datetime import timedelta

import pytest

from projects.actions import dates, plans, route
from projects.models import Step
from projects.schedule import clashes, stretches
from projects.schedule.making import make
from tests.factories import AT, BlockFactory, ProjectFactory, StepFactory
from tests.projects.schedule.rooms import Room, change, clock, utc

pytestmark = pytest.mark.django_db

BLOCK = (("pour", 60), ("~cure", 1440), ("demould", 45), ("flatten", 120), ("cut", 150))


@pytest.fixture
def room():
    return Room()


def blocks(room, count, *work):
    """A project with blocks that all want the same work."""
    project = ProjectFactory(shop=room.shop, state="under_way")
    for number in range(count):
        block = BlockFactory(shop=room.shop, project=project, position=number)
        for place, (kind, minutes) in enumerate(work):
            StepFactory(
                shop=room.shop, block=block, position=number * len(work) + place, kind=kind.strip("~"),
                title=f"{kind.strip('~')} {number}", minutes=minutes,
                mode="passive" if kind.startswith("~") else "hands_on",
            )  # fmt: skip
    return project


def take(room, at=AT):
    """A plan made and taken as it was offered."""
    plan = plans.propose(room.member, at=at)
    return plans.accept(room.member, plan, at=at)


def drawn(room, at=AT):
    """What the Week draws, with the matter and the hours it is drawn from."""
    matter = room.matter(at)
    sessions = matter.sessions(matter.today, 60)
    return stretches.stretches(matter, [], sessions), matter, sessions


def pieces(room, step, at=AT):
    """The stretches of one step, without what was done of it."""
    found, _, _ = drawn(room, at)
    return [(each.start, each.end) for each in found if each.step == step and each.state != "over"]


def put_apart(room, step, *parts):
    """A step dated by a plan that has it in these parts."""
    plan = take(room)
    plan.slots.model.objects.filter(plan=plan, step=step)._raw_delete(using="default")
    for number, (start, end) in enumerate(parts):
        plan.slots.create(
            shop=room.shop, created_at=AT, created_by=room.member.user, step=step, part=number,
            starts_at=start, ends_at=end,
        )  # fmt: skip
    change(step, planned_start=parts[0][0], planned_end=parts[-1][1])


# --- what was taken as it was offered ---


def test_a_plan_that_was_taken_does_not_clash_with_itself(room):
    blocks(room, 4, *BLOCK)
    take(room)
    found, matter, sessions = drawn(room)
    assert len([each for each in found if each.is_hands]) >= 4 * 4
    assert clashes.clashes(matter, found, sessions) == []


def test_the_week_draws_what_the_plan_offered(room):
    blocks(room, 4, *BLOCK)
    plan = take(room)
    offered = sorted((slot.step_id, slot.starts_at, slot.ends_at) for slot in plan.slots.all())
    found, _, _ = drawn(room)
    assert sorted((each.step.pk, each.start, each.end) for each in found) == offered


def test_work_once_begun_is_not_laid_down_for_other_work_without_need(room):
    project = blocks(room, 4, ("flatten", 120))
    made = make(room.matter())
    assert [len(made.stands[step.pk].parts) for step in room.steps(project)] == [1, 1, 1, 1]


def test_work_that_a_plan_has_in_parts_is_drawn_where_each_part_is(room):
    (step,) = room.steps(room.project(("flatten", 120)))
    parts = [(utc(10, 10), utc(10, 11)), (utc(10, 15), utc(10, 16))]
    put_apart(room, step, *parts)
    assert pieces(room, step) == parts


def test_work_that_takes_longer_by_now_is_drawn_as_long_as_it_takes(room):
    (step,) = room.steps(room.project(("flatten", 120)))
    put_apart(room, step, (utc(10, 10), utc(10, 11)), (utc(10, 15), utc(10, 16)))
    change(step, minutes=180)
    assert pieces(room, step) == [(utc(10, 10), utc(10, 13))]


def test_dates_that_were_put_back_are_drawn_without_the_plans_parts(room):
    (step,) = room.steps(room.project(("flatten", 120)))
    change(step, planned_start=utc(11, 9), planned_end=utc(11, 11))
    put_apart(room, step, (utc(10, 10), utc(10, 11)), (utc(10, 15), utc(10, 16)))
    dates.dates_back(room.member, dates.last_dates(room.shop), at=AT)
    assert pieces(room, step) == [(utc(11, 9), utc(11, 11))]


def test_the_parts_of_all_steps_are_one_question(room, django_assert_num_queries):
    blocks(room, 4, *BLOCK)
    take(room)
    with django_assert_num_queries(12):
        room.matter()


# --- a pour that goes on ---


@pytest.fixture
def begun(room):
    """Pour, cure, demould: one pour is in, the window for the next is open from 06:00 to 14:00 tomorrow."""
    room.lamp = room.project(("pour", 60), ("~cure", 1440), ("demould", 45))
    room.pour, room.cure, room.out = room.steps(room.lamp)
    change(room.pour, state="under_way", started_at=utc(10, 8))
    change(room.cure, state="waiting", started_at=utc(10, 8))
    clock(room, room.pour, "recoat", utc(11, 6), utc(11, 14))
    clock(room, room.pour, "demould", utc(11, 8), None)
    return room


def test_the_rest_of_a_pour_stays_in_the_week_once_its_plan_is_taken(begun):
    take(begun)
    assert pieces(begun, begun.pour) == [(utc(11, 8), utc(11, 9))]


def test_a_block_is_taken_out_when_its_last_pour_has_cured(begun):
    take(begun)
    assert pieces(begun, begun.cure) == [(utc(10, 8), utc(12, 9))]
    assert pieces(begun, begun.out) == [(utc(12, 9), utc(12, 9, 45))]


def test_a_pour_that_is_still_to_come_as_a_step_of_its_own_holds_the_demoulding_up(room):
    project = room.project(("pour", 60), ("pour", 60), ("~cure", 1440), ("demould", 45))
    first, _, cure, out = room.steps(project)
    change(first, state="done", started_at=utc(10, 7), ended_at=utc(10, 8))
    change(cure, state="waiting", started_at=utc(10, 8))
    clock(room, first, "recoat", utc(11, 6), utc(11, 14))
    clock(room, first, "demould", utc(11, 8), None)
    made = make(room.matter())
    assert made.faults == []
    assert made.stands[out.pk].parts[0][0] == utc(12, 9)


def test_a_cure_with_nothing_to_come_is_over_by_its_clock(begun):
    change(begun.pour, state="done", ended_at=utc(10, 8, 30))
    made = make(begun.matter())
    assert made.stands[begun.out.pk].parts[0][0] == utc(11, 8)


def test_without_a_plan_the_rest_of_a_pour_stands_where_its_window_and_the_shop_are_open(begun):
    assert pieces(begun, begun.pour) == [(utc(11, 8), utc(11, 9))]


def test_a_window_that_closes_while_the_shop_is_shut_has_no_pour_in_it(begun):
    begun.pour.timers.filter(kind="recoat").update(closes_at=utc(11, 7))
    assert pieces(begun, begun.pour) == []


def test_dates_laid_out_have_the_rest_of_a_pour_before_its_demoulding(begun):
    route.lay_out(begun.member, at=AT)
    begun.pour.refresh_from_db()
    begun.out.refresh_from_db()
    assert begun.pour.planned_end >= utc(11, 9)
    assert begun.out.planned_start >= utc(12, 9)


def test_a_pour_that_was_planned_and_not_begun_says_so(begun):
    take(begun)
    found, _, _ = drawn(begun, utc(11, 8, 30))
    (late,) = [each for each in found if each.step == begun.pour and each.state != "over"]
    assert (late.state, late.start) == ("late", utc(11, 8))


def test_what_is_left_of_work_under_way_is_drawn_where_the_plan_has_it(room):
    (step,) = room.steps(room.project(("pack", 120)))
    change(step, state="under_way", started_at=AT - timedelta(minutes=30))
    take(room)
    assert pieces(room, step, AT + timedelta(minutes=15)) == [(utc(10, 9, 15), utc(10, 10, 30))]
    assert Step.objects.get().state == "under_way"
