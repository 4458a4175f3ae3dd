from datetime import date, timedelta

import pytest

from materials.models import Reading
from projects.schedule import risks, stretches, today
from projects.schedule.wanted import wanted
from tests.factories import AT
from tests.projects.schedule.rooms import Room, change, clock, utc

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    return Room()


def sessions(matter):
    return matter.sessions(matter.today - timedelta(days=1), 16)


def doables(room, at=AT):
    matter = room.matter(at)
    return today.doables(matter, sessions(matter))


def reading(room, taken_at, kind="temperature", value=19.0):
    return Reading.objects.create(
        shop=room.shop, created_at=AT, created_by=room.member.user, member=room.member, kind=kind,
        value=value, unit="°C", taken_at=taken_at,
    )  # fmt: skip


# --- what can be done ---


def test_what_can_wait_least_comes_first(room):
    late, soon = room.project(("pack", 60), due_on=date(2026, 3, 20)), room.project(("pack", 60))
    soon.due_on = date(2026, 3, 12)
    soon.save()
    found = doables(room)
    assert [each.step.project for each in found] == [soon, late]
    assert [each.small for each in found] == ["can wait until", "can wait until"]
    assert found[0].figure == "Thu 16:00"


def test_what_nobody_wants_by_a_day_comes_last(room):
    whenever, dated = room.project(("pack", 60)), room.project(("pack", 60), due_on=date(2026, 3, 20))
    found = doables(room)
    assert [each.step.project for each in found] == [dated, whenever]
    assert (found[1].small, found[1].figure) == ("", "")


def test_only_what_waits_for_nothing_can_be_done(room):
    room.project(("pack", 60), ("~dry", 60), ("pack", 30))
    assert [each.step.position for each in doables(room)] == [0]


def test_two_blocks_of_a_project_can_be_gone_on_with_at_once(room):
    from tests.factories import StepFactory

    project = room.project(("seal", 60), ("pack", 60))
    StepFactory(shop=room.shop, block__project=project, block__shop=room.shop, block__position=1, position=2)
    assert [each.step.position for each in doables(room)] == [0, 2]


def test_what_is_under_way_comes_before_what_can_begin(room):
    room.project(("pack", 60), due_on=date(2026, 3, 11))
    begun = room.project(("pack", 60))
    change(room.steps(begun)[0], state="under_way", started_at=AT)
    assert doables(room)[0].step.project == begun


def test_a_pour_whose_window_is_open_comes_first_of_all(room):
    room.project(("pack", 60), due_on=date(2026, 3, 11))
    poured = room.project(("pour", 60))
    (step,) = room.steps(poured)
    change(step, state="under_way", started_at=utc(10, 6))
    clock(room, step, "recoat", utc(10, 8), utc(10, 14))
    first = doables(room)[0]
    assert (first.step, first.small, first.figure, first.must_by) == (
        step, "must be done by", "14:00", utc(10, 14),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("minutes", "hour", "said"),
    [
        (60, 9, "done before closing if begun by 16:00"),
        (240, 15, "not done before the shop shuts at 17:00"),
        (60, 19, ""),
    ],
)
def test_whether_it_fits_before_closing(room, minutes, hour, said):
    room.project(("pack", minutes))
    (found,) = doables(room, utc(10, hour))
    assert found.fits == said


# --- windows ---


def windows(room, at=AT):
    matter = room.matter(at)
    return today.windows_today(matter, stretches.openings(matter), sessions(matter), utc(11, 5))


def test_a_window_that_opens_today_says_when_the_shop_is_open_for_it(room):
    (step,) = room.steps(room.project(("pour", 60)))
    clock(room, step, "recoat", utc(10, 15), utc(11, 9))
    (found,) = windows(room)
    assert (found.verb, found.at) == ("opens", utc(10, 15))
    assert found.said == "until Wed 09:00; the shop is open for it 15:00 to 17:00"


def test_a_window_in_the_night_says_that_the_shop_is_shut(room):
    (step,) = room.steps(room.project(("pour", 60)))
    clock(room, step, "recoat", utc(10, 22), utc(11, 4))
    assert windows(room)[0].said.endswith("the shop is shut all that time")


def test_a_window_that_closes_today_is_told(room):
    (step,) = room.steps(room.project(("pour", 60)))
    clock(room, step, "recoat", utc(10, 8), utc(10, 14))
    assert [(each.verb, each.at) for each in windows(room)] == [("closes", utc(10, 14))]


def risk(room, at=AT):
    matter = room.matter(at)
    return [each.said for each in risks.at_risk(matter, sessions(matter))]


def test_a_window_that_the_shop_sleeps_through_is_at_risk(room):
    (step,) = room.steps(room.project(("pour", 60)))
    change(step, state="under_way", started_at=utc(10, 6))
    clock(room, step, "recoat", utc(10, 22), utc(11, 4))
    assert risk(room) == [
        "It closes Wed 04:00, and the shop is shut all that time. Open for it, or be there."
    ]


def test_a_step_planned_behind_its_window_is_at_risk(room):
    first, second = room.steps(room.project(("pour", 60), ("pour", 60)))
    change(first, state="done", started_at=utc(10, 5), ended_at=utc(10, 6))
    change(second, planned_start=utc(11, 9), planned_end=utc(11, 10))
    clock(room, first, "recoat", utc(10, 10), utc(10, 16))
    assert "is planned for Wed 09:00. Make a plan" in risk(room)[0]


def test_a_window_that_will_be_met_is_no_risk(room):
    first, second = room.steps(room.project(("pour", 60), ("pour", 60)))
    change(first, state="done", started_at=utc(10, 5), ended_at=utc(10, 6))
    change(second, planned_start=utc(10, 11), planned_end=utc(10, 12))
    clock(room, first, "recoat", utc(10, 10), utc(10, 16))
    assert risk(room) == []


def test_a_window_that_has_closed_says_so(room):
    (step,) = room.steps(room.project(("pour", 60)))
    change(step, state="under_way", started_at=utc(10, 6))
    clock(room, step, "recoat", utc(10, 7), utc(10, 8))
    assert risk(room) == ["It closed 08:00."]


# --- what is late ---


def test_what_is_late_says_why_and_what_waits_behind_it(room):
    first, second, third = room.steps(room.project(("pack", 60), ("sand", 60), ("pack", 60)))
    for step in (second, third):
        change(step, planned_start=utc(10, 6), planned_end=utc(10, 7))
    (late,) = today.lates(room.matter())
    assert (late.step, late.by, late.behind) == (second, "3 h", 1)
    assert late.why == f"It waits for {first.title}, which is not begun."


def test_what_waits_for_a_cure_says_until_when(room):
    cure, out = room.steps(room.project(("~cure", 600), ("demould", 20)))
    change(cure, state="waiting", started_at=utc(10, 6))
    change(out, planned_start=utc(10, 7), planned_end=utc(10, 8))
    assert today.lates(room.matter())[0].why == f"It waits for {cure.title}."


def test_what_nothing_holds_up_says_so(room):
    (step,) = room.steps(room.project(("pack", 60)))
    change(step, planned_start=utc(7, 9), planned_end=utc(7, 10))
    (late,) = today.lates(room.matter())
    assert (late.by, late.why) == ("3 days", "Nothing holds it up; nobody has begun.")


def test_a_pour_between_two_lifts_is_not_late(room):
    (step,) = room.steps(room.project(("pour", 60)))
    change(step, state="under_way", started_at=utc(10, 6), planned_start=utc(10, 6), planned_end=utc(10, 7))
    assert today.lates(room.matter())
    clock(room, step, "recoat", utc(10, 10), utc(10, 16))
    assert today.lates(room.matter()) == []


# --- what waits for a reading ---


def test_strips_at_rest_are_read_every_two_days(room):
    rest, _ = room.steps(room.project(("~condition", 4 * 1440), ("measure", 20)))
    change(rest, state="waiting", started_at=AT - timedelta(days=1))
    assert wanted(room.matter(), None) == []
    assert [each.step for each in wanted(room.matter(AT + timedelta(days=1)), None)] == [rest]


def test_a_reading_of_the_strips_puts_the_next_off(room):
    rest, _ = room.steps(room.project(("~condition", 4 * 1440), ("measure", 20)))
    change(rest, state="waiting", started_at=AT - timedelta(days=3))
    entry = clock(room, rest, "wait", AT, None).entry
    entry.readings.add(reading(room, AT - timedelta(days=1), kind="mass"))
    assert wanted(room.matter(), None) == []


def test_what_cures_wants_the_shops_temperature_of_today(room):
    cure, _ = room.steps(room.project(("~cure", 600), ("demould", 20)))
    change(cure, state="waiting", started_at=AT)
    assert [each.step for each in wanted(room.matter(), None)] == [None]
    assert wanted(room.matter(), reading(room, AT - timedelta(hours=3))) == []
    assert wanted(room.matter(), reading(room, AT - timedelta(hours=13)))
