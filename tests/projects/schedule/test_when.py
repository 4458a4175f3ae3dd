from datetime import date

import pytest
from django.utils import timezone

from projects.models import Project, Step
from projects.schedule.when import Done, changes, when
from tests.factories import MachineFactory
from tests.projects.schedule.rooms import Room, utc

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    with timezone.override("UTC"):
        yield Room()


def test_each_project_has_a_range_of_days(room):
    lamp = room.project(("pack", 120), ("~dry", 600), ("pack", 120), due_on=date(2026, 3, 20))
    (done,) = when(room.matter()).done
    assert done.project == lamp
    assert done.early <= done.middle <= done.late
    assert (done.days, done.stands) == ("11 Mar", ("clear", "in time"))


@pytest.mark.parametrize(
    ("due", "word"),
    [(20, "in time"), (17, "may be late"), (14, "more likely late than not"), (10, "too late"), (None, None)],
)
def test_a_range_is_held_against_the_day_it_is_wanted(due, word):
    project = Project(due_on=due and date(2026, 3, due))
    with timezone.override("UTC"):
        done = Done(project, utc(12, 9), utc(16, 9), utc(18, 9))
        assert (done.stands and done.stands[1]) == word


@pytest.mark.parametrize(("last", "said"), [(12, "12 Mar"), (18, "12 to 18 Mar")])
def test_days_are_said_short(last, said):
    with timezone.override("UTC"):
        assert Done(Project(), utc(12, 9), utc(12, 9), utc(last, 9)).days == said


def test_a_window_that_may_be_missed_has_its_chance(room):
    room.shop.day_c = room.shop.night_c = 20
    room.shop.save()
    resin = room.resin(recoat_open_h=4, recoat_close_h=6.5, recoat_c=20)
    room.project(("pour", 60), ("pack", 200), ("pour", 60), resin=resin)
    Step.objects.filter(kind="pack").update(kind="seal")
    first, _, second = Step.objects.order_by("position")
    assert when(room.matter()).windows == []
    Step.objects.filter(kind="seal").delete()
    busy = room.project(("pour", 180), due_on=date(2026, 3, 10))
    found = when(room.matter())
    assert {missed.step for missed in found.windows} <= {second}
    assert busy in {done.project for done in found.done} | set(found.unplaced)


def test_a_project_with_a_step_without_a_place_has_no_day(room):
    stuck = room.project(("pour", 12 * 60))
    found = when(room.matter())
    assert (found.done, found.unplaced) == ([], [stuck])


def test_more_hands_help_where_hands_are_what_is_short(room):
    for _ in range(3):
        room.project(("pour", 400))
    assert "One more pair of hands" in [help.deed for help in when(room.matter()).helps]


def test_nothing_helps_where_chemistry_takes_its_time(room):
    room.project(("~cure", 5000))
    Step.objects.update(state="waiting", started_at=utc(10, 9))
    assert when(room.matter()).helps == []


def test_a_mould_is_a_help_only_to_a_shop_that_lists_its_moulds(room):
    room.project(("pack", 60))
    assert "One more mould" not in [deed for deed, _ in changes(room.matter())]
    MachineFactory(shop=room.shop, kind="mould", name="the long mould")
    assert "One more mould" in [deed for deed, _ in changes(room.matter())]


def test_the_same_matter_gives_the_same_days(room):
    for minutes in (100, 200):
        room.project(("pack", minutes), ("~dry", 600), ("sand", minutes))
    assert when(room.matter()) == when(room.matter())
