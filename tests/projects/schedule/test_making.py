from datetime import date, timedelta

import pytest

from projects.models import Project, Step
from projects.schedule.instance import CLAMPS, MOULDS, instance_of, task_id
from projects.schedule.making import fingerprint, make
from projects.schedule.matter import gather
from tests.factories import AT, MachineFactory, StepFactory
from tests.projects.schedule.rooms import Room, utc

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    return Room()


def starts(room, project, **how):
    made = make(room.matter(), **how)
    assert made.faults == []
    return [
        made.stands[step.pk].parts[0][0] if step.pk in made.stands else None for step in room.steps(project)
    ]


def test_work_and_waiting_follow_each_other(room):
    project = room.project(("glue_up", 60), ("~clamped", 600), ("pack", 30))
    assert starts(room, project) == [utc(10, 9), utc(10, 10), utc(11, 8)]


def test_one_pair_of_hands_does_one_thing_at_a_time(room):
    first = room.project(("pack", 120), due_on=date(2026, 3, 11))
    second = room.project(("pack", 120))
    assert starts(room, first) + starts(room, second) == [utc(10, 9), utc(10, 11)]


def test_two_pairs_of_hands_do_two():
    room = Room(people=2)
    projects = [room.project(("pack", 120)) for _ in range(2)]
    assert [starts(room, project) for project in projects] == [[utc(10, 9)], [utc(10, 9)]]


def test_work_for_somebody_waits_for_that_pair_of_hands():
    room = Room(people=2)
    for _ in range(2):
        room.project(("pack", 120))
    Step.objects.update(assignee=room.member)
    found = sorted(starts(room, project)[0] for project in Project.objects.all())
    assert found == [utc(10, 9), utc(10, 11)]


def test_a_machine_is_taken_by_one_at_a_time():
    room = Room(people=2)
    saw = MachineFactory(shop=room.shop, amount=1)
    for _ in range(2):
        room.project(("test_cut", 120))
    Step.objects.update(machine=saw)
    found = sorted(starts(room, project)[0] for project in Project.objects.all())
    assert found == [utc(10, 9), utc(10, 11)]


def test_a_mould_is_held_until_the_block_is_out():
    room = Room(people=2)
    MachineFactory(shop=room.shop, kind="mould", name="the long mould", amount=1)
    projects = [room.project(("load", 30), ("~cure", 600), ("demould", 30)) for _ in range(2)]
    found = sorted(starts(room, project)[0] for project in projects)
    assert found == [utc(10, 9), utc(11, 8, 30)]


def test_a_block_that_lies_in_the_mould_holds_it_from_now_on(room):
    MachineFactory(shop=room.shop, kind="mould", name="the long mould", amount=1)
    held = room.project(("load", 30), ("~cure", 600), ("demould", 30))
    loaded, cures, _ = room.steps(held)
    Step.objects.filter(pk=loaded.pk).update(state="done", started_at=AT, ended_at=AT)
    Step.objects.filter(pk=cures.pk).update(state="waiting", started_at=AT)
    other = room.project(("load", 30), ("demould", 30))
    assert starts(room, other)[0] >= utc(11, 8, 30)


def test_clamps_are_held_while_glue_cures():
    room = Room(people=2)
    MachineFactory(shop=room.shop, kind="clamps", name="a set of clamps", amount=1)
    projects = [room.project(("glue_up", 60), ("~clamped", 600)) for _ in range(2)]
    found = sorted(starts(room, project)[0] for project in projects)
    assert found == [utc(10, 9), utc(11, 8)]
    assert instance_of(room.matter()).capacities[CLAMPS] == 1
    assert instance_of(room.matter()).spans


def test_a_shop_without_moulds_on_its_list_holds_none(room):
    room.project(("load", 30), ("demould", 30))
    assert not instance_of(room.matter()).spans
    assert instance_of(room.matter()).capacities[MOULDS] == 0


def test_blocks_of_a_project_go_on_beside_each_other_and_come_together():
    room = Room(people=2)
    project = room.project(("pack", 60), ("pack", 60))
    more = StepFactory(shop=room.shop, block__project=project, block__shop=room.shop, block__position=1,
                       position=2, kind="pack", minutes=60)  # fmt: skip
    last = StepFactory(shop=room.shop, block=None, project=project, position=3, kind="pack", minutes=60)
    made = make(room.matter())
    assert made.stands[more.pk].parts[0][0] == utc(10, 9)
    assert made.stands[last.pk].parts[0][0] == utc(10, 11)


def test_a_second_pour_meets_its_window_with_a_reserve(room):
    resin = room.resin(recoat_open_h=4, recoat_close_h=14, recoat_c=20)
    room.shop.day_c = room.shop.night_c = 20
    room.shop.save()
    project = room.project(("pour", 60), ("pour", 60), resin=resin)
    first, second = starts(room, project)
    # as soon as can be: 9:00, over at 10:00, safe from 15:00 on and until 22:36
    assert (first, second) == (utc(10, 9), utc(10, 15))


def test_a_hard_window_that_nothing_meets_leaves_its_step_without_a_place_and_says_why(room):
    resin = room.resin(recoat_open_h=10, recoat_close_h=12, recoat_c=20)
    room.shop.day_c = room.shop.night_c = 20
    room.shop.save()
    project = room.project(("pour", 60), ("pour", 60), ("pack", 30), resin=resin)
    made = make(room.matter())
    assert made.faults == []
    assert [pk for pk, _ in made.unplaced] == [step.pk for step in room.steps(project)[1:]]
    assert "must start" in made.unplaced[0][1]
    assert "one evening open" in made.unplaced[0][1]


def test_work_longer_than_any_opening_has_no_place_and_says_why(room):
    project = room.project(("pour", 12 * 60))
    made = make(room.matter())
    assert starts(room, project) == [None]
    assert made.unplaced[0][1].startswith(f"pour {project.code} has no place: ")


def test_sanding_may_be_laid_down_over_night(room):
    project = room.project(("sand", 12 * 60))
    made = make(room.matter())
    parts = made.stands[room.steps(project)[0].pk].parts
    assert len(parts) == 2
    assert sum(((end - start) for start, end in parts), timedelta()) == timedelta(hours=12)


def test_the_next_day_stays_as_it_was_dated(room):
    project = room.project(("pack", 60))
    Step.objects.update(planned_start=utc(10, 14), planned_end=utc(10, 15))
    assert starts(room, project) == [utc(10, 14)]
    assert starts(room, project, keep=False) == [utc(10, 9)]


def test_what_waits_is_over_when_its_clock_says_so(room):
    project = room.project(("~cure", 600), ("demould", 30))
    cure, _ = room.steps(project)
    Step.objects.filter(pk=cure.pk).update(state="waiting", started_at=utc(10, 3))
    assert starts(room, project)[1] == utc(10, 13)


def test_what_should_be_over_is_not_over_before_somebody_says_so(room):
    project = room.project(("~cure", 60), ("demould", 30))
    cure, _ = room.steps(project)
    Step.objects.filter(pk=cure.pk).update(state="waiting", started_at=utc(9, 3))
    assert starts(room, project)[1] == utc(10, 9)


def test_work_under_way_goes_on_at_once_with_what_is_left_of_it(room):
    project = room.project(("pour", 120), ("pack", 30))
    begun, _ = room.steps(project)
    Step.objects.filter(pk=begun.pk).update(state="under_way", started_at=utc(10, 8))
    assert starts(room, project) == [utc(10, 9), utc(10, 10)]


def test_the_same_matter_gives_the_same_plan(room):
    for minutes in (30, 90, 200):
        room.project(("pack", minutes), ("~dry", 600), ("sand", minutes))
    assert make(room.matter()) == make(room.matter())


def test_a_plan_rests_on_its_rows_and_not_on_the_time_of_day(room):
    room.project(("pack", 60))
    before = fingerprint(room.matter())
    assert fingerprint(gather(room.shop, AT + timedelta(hours=1))) == before
    Step.objects.update(minutes=90)
    assert fingerprint(room.matter()) != before


def test_a_step_is_known_by_its_row(room):
    room.project(("pack", 60))
    step = Step.objects.get()
    assert task_id(step) == f"{step.pk:012d}"


def test_a_shop_is_read_with_a_constant_number_of_queries(room, django_assert_num_queries):
    for _ in range(3):
        room.project(("pack", 60), ("~dry", 600), resin=room.resin())
    with django_assert_num_queries(12):
        gather(room.shop, AT)
