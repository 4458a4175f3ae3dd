from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from projects import own_times
from projects.models import Project, Step
from projects.planning.estimate import own_spread
from projects.schedule.when import Done, changes, when
from tests.factories import MachineFactory, ProjectFactory, StepFactory
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


def packed(room, minutes, day, kind="pack"):
    """A step of a project that is over: begun and done on one day of February."""
    begun = datetime(2026, 2, day, 9, tzinfo=UTC)
    over = ProjectFactory(shop=room.shop, state="done")
    StepFactory(
        shop=room.shop, project=over, block=None, kind=kind, title="Pack", state="done",
        started_at=begun, ended_at=begun + timedelta(minutes=minutes),
    )  # fmt: skip


def often(room, minutes, **more):
    for day, took in enumerate(minutes, start=2):
        packed(room, took, day, **more)


def test_a_kind_told_five_times_has_the_spread_of_the_log(room):
    room.project(("pack", 100), ("~dry", 600), ("sand", 100))
    pack, _, sand = Step.objects.order_by("position")
    often(room, [60] * 5)
    found = own_times.spreads_of(room.shop, room.matter().steps)
    assert (found.own_kinds, found.kinds) == (1, 2)
    assert found.by_step == {pack.pk: own_spread((0.8, 1, 1.5), [60] * 5)}
    said = when(room.matter())
    assert (said.own_kinds, said.kinds) == (1, 2)


def test_four_times_are_too_few_for_a_spread(room):
    room.project(("pack", 100))
    often(room, [60] * 4)
    found = own_times.spreads_of(room.shop, room.matter().steps)
    assert (found.own_kinds, found.kinds, found.by_step) == (0, 1, {})


def test_hours_that_follow_a_block_keep_the_usual_spread(room):
    room.project(("seal", 100))
    often(room, [60] * 5, kind="seal")
    assert own_times.spreads_of(room.shop, room.matter().steps).by_step == {}


def test_what_goes_by_itself_is_no_kind_of_work(room):
    room.project(("~dry", 600))
    found = own_times.spreads_of(room.shop, room.matter().steps)
    assert (found.own_kinds, found.kinds) == (0, 0)


def test_a_shop_whose_work_varies_much_has_a_wider_range(room):
    for _ in range(8):
        room.project(("pack", 240))
    (*_, usual) = when(room.matter()).done
    often(room, [60, 120, 240, 360, 480])
    (*_, wide) = when(room.matter()).done
    assert wide.late - wide.early > usual.late - usual.early
    assert usual.project == wide.project


def test_the_log_of_another_shop_says_nothing_here(room):
    room.project(("pack", 100))
    often(Room(), [60] * 5)
    assert own_times.spreads_of(room.shop, room.matter().steps).own_kinds == 0


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
