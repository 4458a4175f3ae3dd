from types import SimpleNamespace

import pytest

from projects.schedule.instance import link_of
from projects.schedule.links import waits_of
from tests.projects.schedule.rooms import Room

pytestmark = pytest.mark.django_db


def link(before, after, **more):
    """A link as it is stored."""
    usual = {"open_min": 0, "close_min": None, "hard": False, "law": "wall", "at_c": None}
    return SimpleNamespace(before_id=before.pk, after_id=after.pk, **{**usual, **more})


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
