"""What is gathered of a shop: all that it works on, or what presses most of it."""

from datetime import date

import pytest

from projects.models import Project, Timer
from projects.schedule.matter import gather
from tests.factories import AT
from tests.projects.schedule.rooms import Room, clock, utc

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    return Room()


def titles(matter):
    return [step.title for step in matter.steps]


def test_all_open_work_of_the_shop_is_gathered(room):
    for code in ("a", "b", "c"):
        room.project(("saw", 30), code=code)
    assert titles(gather(room.shop, AT)) == ["saw a", "saw b", "saw c"]
    assert not gather(room.shop, AT).cut_short


def test_of_many_projects_those_that_press_most_are_gathered(room):
    room.project(("saw", 30), code="planned, wanted today", due_on=AT.date())
    Project.objects.update(state="planned")
    room.project(("saw", 30), code="without a day")
    room.project(("saw", 30), code="wanted late", due_on=date(2027, 1, 1))
    room.project(("saw", 30), code="wanted soon", due_on=AT.date())
    matter = gather(room.shop, AT, most=2)
    assert titles(matter) == ["saw wanted late", "saw wanted soon"]
    assert matter.cut_short
    assert not gather(room.shop, AT, most=4).cut_short


def test_a_project_with_an_open_window_is_gathered_however_little_it_presses(room):
    waiting = room.project(("coat", 30), code="coated")
    room.project(("saw", 30), code="wanted soon", due_on=AT.date())
    step = room.steps(waiting)[0]
    clock(room, step, Timer.Kind.COAT, utc(10, 17), utc(11, 17))
    assert titles(gather(room.shop, AT, most=1)) == ["coat coated", "saw wanted soon"]
