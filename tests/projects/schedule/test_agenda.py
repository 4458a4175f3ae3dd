"""The Week as a list: a day lasts until the next morning, and says so."""

import pytest

from projects.schedule import agenda, span
from projects.schedule.stretches import Opening
from tests.factories import AT
from tests.projects.schedule.rooms import Room, utc

pytestmark = pytest.mark.django_db


def test_what_comes_after_midnight_stands_under_the_day_before_and_is_marked():
    room = Room()
    step = room.steps(room.project(("coat", 30)))[0]
    shown = span.span_of("week", "list", "2026-03-09", AT, room.shop.tz)
    window = Opening(step, utc(11, 23), utc(12, 4), "Next coat")
    days = agenda.days_of(shown, room.matter(), [], [window])
    assert [(day.day.day, line.at, line.after_midnight) for day in days for line in day.lines] == [
        (11, utc(11, 23), False),
        (11, utc(12, 4), True),
    ]
