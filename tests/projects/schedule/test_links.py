from datetime import timedelta

import pytest

from projects.models import Step, StepLink
from projects.planning.route import MINUTES
from projects.planning.solver import check_plan, make_plan
from projects.schedule.instance import instance_of, link_of, task_id
from projects.schedule.links import waits_of
from projects.schedule.making import fingerprint
from tests.factories import AT
from tests.projects.schedule.rooms import Room

pytestmark = pytest.mark.django_db


def link(before, after, **more):
    """A link as it is stored."""
    usual = {"open_min": 0, "close_min": None, "hard": False, "law": "wall", "at_c": None}
    return StepLink(before=before, after=after, **{**usual, **more})


@pytest.fixture
def steps():
    room = Room()
    room.project(("pack", 60), ("pack", 60), ("pack", 60))
    return room.matter().steps


def pairs(waits):
    return {(wait.before.position, wait.after.position) for wait in waits}


def test_a_stored_link_comes_on_top_of_the_order(steps):
    assert pairs(waits_of(steps, [link(steps[0], steps[2])])) == {(0, 1), (1, 2), (0, 2)}


def test_a_stored_link_counts_before_what_the_order_says_of_the_same_steps(steps):
    (first, _) = waits_of(steps, [link(steps[0], steps[1], open_min=30, close_min=90, hard=True)])
    made = link_of(first)
    assert (made.open_minutes, made.close_minutes, made.hard) == (30, 90, True)


def test_a_stored_link_may_follow_the_warmth(steps):
    wait = waits_of(
        steps, [link(steps[0], steps[1], open_min=240, close_min=840, law="ten_degree", at_c=25)]
    )[0]
    made = link_of(wait)
    assert (made.cure.open_h, made.cure.close_h, made.cure.at_c) == (4, 14, 25)


def test_what_has_begun_waits_for_no_stored_link(steps):
    steps[2].state = "under_way"
    assert pairs(waits_of(steps, [link(steps[0], steps[2])])) == {(0, 1)}


# --- as rows ---


@pytest.fixture
def room():
    room = Room()
    room.lamp = room.project(("pack", 60), ("pack", 60), ("pack", 60))
    return room


def keep(room, before, after, **window):
    steps = room.matter().steps
    ends = {"before": steps[before], "after": steps[after]}
    return StepLink.objects.create(shop=room.shop, created_at=AT, **ends, **window)


def placed(room):
    instance = instance_of(room.matter())
    plan = make_plan(instance)
    assert check_plan(instance, plan) == []
    return [plan.starts[task_id(step)] for step in room.matter().steps]


def test_a_kept_window_holds_a_step_back_in_the_plan(room):
    early = placed(room)
    keep(room, 0, 1, open_min=180, close_min=2000)
    late = placed(room)
    assert late[1] - late[0] >= timedelta(minutes=60 + 180) > early[1] - early[0]


def test_a_window_that_a_done_step_began_holds_the_next_one_back(room):
    link = keep(room, 0, 1, open_min=180)
    Step.objects.filter(pk=link.before_id).update(state="done", started_at=AT, ended_at=AT)
    assert placed(room)[0] >= AT + timedelta(minutes=180)


def test_a_link_without_a_window_keeps_what_the_order_says_of_the_two(room):
    steps = room.matter().steps
    steps[0].kind = "mould"
    [sealed, _] = waits_of(steps, [link(steps[0], steps[1])])
    assert sealed.open_minutes == MINUTES["sealant"]


def test_a_changed_window_is_a_reason_to_plan_anew(room):
    link = keep(room, 0, 1, open_min=180)
    before = fingerprint(room.matter())
    StepLink.objects.filter(pk=link.pk).update(open_min=200)
    assert fingerprint(room.matter()) != before
