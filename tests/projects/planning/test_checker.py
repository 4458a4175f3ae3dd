from dataclasses import replace
from datetime import timedelta

import pytest

from projects.planning.network import Cure, Link, Span
from projects.planning.solver import check_plan, make_plan
from tests.projects.planning.shops import TUESDAY, USUAL, calendar, instance, task, week

HOUR = timedelta(hours=1)


def case():
    steps = [
        task("set up", 60),
        task("pour", 45),
        task("coat", 20, project="other", release=TUESDAY + 2 * HOUR),
        task("cure", 600, kind="passive"),
        task("again", 45),
        task("sand", 120, splittable=True),
        task("begun", 30, project="other", fixed_start=TUESDAY - HOUR),
    ]
    links = [
        Link("set up", "pour", open_minutes=30, close_minutes=600),
        Link("pour", "cure"),
        Link("pour", "again", cure=Cure(4, 30)),
        Link("again", "sand"),
    ]
    spans = [Span("mould", 1, "set up", "again"), Span("mould", 1, "coat", "coat")]
    return instance(steps, links, spans, capacities={"mould": 2, "people": 1}, climate=USUAL)


def moved(plan, name, by, end_by=None):
    """A plan in which one step lies elsewhere."""
    starts, ends = dict(plan.starts), dict(plan.ends)
    starts[name] += by
    ends[name] += by if end_by is None else end_by
    parts = {step: pieces for step, pieces in plan.parts.items() if step != name}
    return replace(plan, starts=starts, ends=ends, parts=parts)


def faults(changed):
    return " / ".join(check_plan(case(), changed(make_plan(case()))))


def test_a_plan_as_it_was_made_has_no_fault():
    assert check_plan(case(), make_plan(case())) == []


@pytest.mark.parametrize(
    ("name", "by", "fault"),
    [
        ("set up", timedelta(hours=-1), "set up lies outside opening hours"),
        ("set up", timedelta(days=-7), "set up starts too early"),
        ("coat", timedelta(hours=-1), "coat starts too early"),
        ("pour", timedelta(minutes=-25), "pour starts before set up allows"),
        ("pour", timedelta(days=1), "pour starts after its window has closed"),
        ("cure", timedelta(minutes=5), "cure does not start as its cause ends"),
        ("again", timedelta(hours=-1), "again starts before pour has cured"),
        ("again", timedelta(days=6), "again starts after its cure has closed the window"),
        ("begun", timedelta(minutes=1), "begun has begun and was moved"),
    ],
)
def test_a_step_that_was_moved_is_found(name, by, fault):
    assert fault in faults(lambda plan: moved(plan, name, by))


def test_a_step_that_was_made_shorter_is_found():
    short = faults(lambda plan: moved(plan, "coat", timedelta(), timedelta(minutes=-10)))
    assert "coat takes 10 min instead of 20" in short


def test_two_steps_for_one_person_at_once_are_found():
    def crowded(plan):
        return moved(plan, "coat", plan.starts["again"] - plan.starts["coat"])

    assert "more people than there are" in faults(crowded)


def test_more_moulds_than_there_are_is_found():
    plan = make_plan(case())
    one = replace(case(), capacities={"mould": 1, "people": 1})
    inside = moved(plan, "coat", plan.ends["pour"] - plan.starts["coat"])
    assert "more mould than there are" in " / ".join(check_plan(one, inside))


def test_a_step_without_a_place_and_a_reason_is_found():
    gone = faults(lambda plan: replace(plan, starts=dict(plan.starts) | {"coat": None}))
    assert "coat has no place and nothing says why" in gone


def test_a_step_that_does_not_wait_for_one_without_a_place_is_found():
    gone = faults(lambda plan: replace(plan, ends=dict(plan.ends) | {"again": None}))
    assert "sand is planned although again is not" in gone


def test_work_cut_in_parts_that_may_not_be_is_found():
    def cut(plan):
        begun, end = plan.starts["coat"], plan.ends["coat"]
        middle = begun + timedelta(minutes=10)
        return replace(plan, parts=dict(plan.parts) | {"coat": [(begun, middle), (middle, end)]})

    assert "coat is cut in parts" in faults(cut)


def test_parts_that_overlap_are_found():
    def doubled(plan):
        first, second = plan.parts["sand"]
        return replace(plan, parts={"sand": [first, (first[0] + HOUR / 2, second[1] - HOUR / 2)]})

    assert "sand overlaps itself" in faults(doubled)


def test_a_missed_window_that_was_not_told_is_found():
    steps = [task("a", 60), task("b", 60)]
    impossible = instance(steps, [Link("a", "b", 120, 180)], calendar=calendar(hours=week(8, 10)))
    plan = make_plan(impossible)
    assert check_plan(impossible, plan) == []
    assert "b starts after its window has closed" in check_plan(impossible, replace(plan, relaxed=()))
