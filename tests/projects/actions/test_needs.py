"""What a project still wants follows its block, its pours and its strips; the rest is written in."""

from datetime import date, timedelta

import pytest

from projects.actions import log, needs, plan
from projects.models import LogEntry, Need
from projects.wants import wants
from tests.factories import (
    AT,
    Bench,
    MemberFactory,
    NeedFactory,
    ProjectFactory,
    SpeciesFactory,
    StepFactory,
    SupplyFactory,
    key,
    moment,
)
from workshop.models import Event

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    return Bench()


def follow(bench):
    needs.follow(bench.block, at=AT, by=bench.member)


def of_block(bench):
    """Part or wood to amount."""
    rows = Need.objects.filter(block=bench.block).select_related("species")
    return {need.part or need.species.name: need.amount for need in rows}


def load(bench, count):
    """So many strips were put into the mould."""
    kind, detail = LogEntry.Kind.STRIPS, {"count": count}
    return log.write(bench.member, kind, key=key(), moment=moment(), step=bench.step, detail=detail)


# from the block


def test_a_block_wants_both_parts_in_the_ratio_of_the_sheet(bench):
    follow(bench)
    found = of_block(bench)
    assert found["B"] / found["A"] == pytest.approx(0.45, rel=1e-4)
    assert found["A"] > 100


def test_a_block_wants_its_strips_in_the_size_they_stand_in_the_mould(bench):
    plan.keep_block(
        bench.member,
        bench.block,
        {"species": SpeciesFactory(shop=bench.shop, name="pear"), "strips": 40, "finished_mm": 14.0},
        at=AT,
    )
    need = Need.objects.get(species__isnull=False)
    assert (need.amount, need.unit) == (40, "strips")
    assert (need.thickness_mm, need.width_mm, need.length_mm) == (2, 16, 600)  # 14 and 1 off either face


def test_a_block_without_wood_or_resin_wants_neither(bench):
    bench.block.resin = None
    bench.block.save()
    follow(bench)
    assert of_block(bench) == {}


def test_a_block_that_makes_none_wants_nothing(bench):
    follow(bench)
    bench.block.length_mm = 1e9
    bench.block.save()
    follow(bench)
    assert set(of_block(bench).values()) == {0}


def test_new_figures_change_the_same_rows(bench):
    follow(bench)
    before = dict(Need.objects.values_list("part", "key"))
    plan.keep_block(bench.member, bench.block, {"finished_mm": 20.0}, at=AT)
    assert dict(Need.objects.values_list("part", "key")) == before


def test_another_resin_is_wanted_instead_of_the_first(bench):
    follow(bench)
    other = Bench().resin
    other.shop = bench.shop
    other.save()
    plan.keep_block(bench.member, bench.block, {"resin": other}, at=AT)
    open_ = Need.objects.open()
    assert {need.resin for need in open_} == {other}
    assert open_.count() == 2


def test_what_is_wanted_leaves_no_line_of_history(bench):
    follow(bench)
    assert not Event.objects.exists()


def test_what_was_poured_is_no_longer_wanted(bench):
    follow(bench)
    before = of_block(bench)
    bench.weigh_b(bench.meet(a_g=100.0), 46.0)
    bench.pour()
    gone = {part: before[part] - left for part, left in of_block(bench).items()}
    assert gone == pytest.approx({"A": 100, "B": 46}, abs=0.002)


def test_b_that_nobody_weighed_counts_as_it_was_wanted(bench):
    follow(bench)
    before = of_block(bench)
    bench.meet(a_g=100.0)
    bench.pour()
    assert before["B"] - of_block(bench)["B"] == pytest.approx(45, abs=0.002)


def test_more_than_was_planned_leaves_nothing_wanted(bench):
    bench.meet(a_g=4000.0)
    bench.pour()
    assert of_block(bench) == {"A": 0, "B": 0}


def test_strips_in_the_mould_are_no_longer_wanted(bench):
    bench.block.species = SpeciesFactory(shop=bench.shop, name="pear")
    bench.block.save()
    load(bench, 20)
    load(bench, 5).__class__.objects.filter(detail__count=5).update(removed_at=AT)
    follow(bench)
    assert of_block(bench)["pear"] == 30


# what is open


@pytest.mark.parametrize(
    ("state", "open_"),
    [("idea", 0), ("planned", 2), ("under_way", 2), ("finished", 0), ("set_aside", 0)],
)
def test_only_live_projects_want_something(bench, state, open_):
    follow(bench)
    bench.project.state = state
    bench.project.save()
    assert Need.objects.open().count() == open_


@pytest.mark.parametrize(
    ("state", "open_"), [("to_do", 2), ("under_way", 2), ("waiting", 0), ("done", 0), ("skipped", 0)]
)
def test_once_all_pours_are_over_no_resin_is_wanted(bench, state, open_):
    follow(bench)
    bench.step.state = state
    bench.step.save()
    assert Need.objects.open().count() == open_


def test_as_long_as_one_pour_is_to_come_resin_is_wanted(bench):
    follow(bench)
    bench.step.state = "done"
    bench.step.save()
    StepFactory(shop=bench.shop, block=bench.block)
    assert Need.objects.open().count() == 2


def test_loading_that_is_done_wants_no_strips_though_the_pour_is_to_come(bench):
    bench.block.species = SpeciesFactory(shop=bench.shop)
    bench.block.save()
    follow(bench)
    StepFactory(shop=bench.shop, block=bench.block, kind="load", state="done")
    assert {need.part for need in Need.objects.open()} == {"A", "B"}


# by when


def planned(bench, kind, days, **more):
    return StepFactory(
        shop=bench.shop, block=bench.block, kind=kind, planned_start=AT + timedelta(days), **more
    )


def when(bench):
    """What is wanted: the step and day it is wanted for."""
    return {want.part or want.unit: (want.step, want.on) for want in wants(bench.shop)}


def test_resin_is_wanted_for_the_first_pour_that_is_planned(bench):
    follow(bench)
    planned(bench, "pour", 9, title="Pour 2")
    planned(bench, "pour", 5, title="Pour 1")
    planned(bench, "pour", 1, title="over", state="done")
    planned(bench, "mould", 2, title="Mould")
    assert when(bench)["A"] == ("Pour 1", date(2026, 3, 15))


def test_strips_are_wanted_for_the_first_work_on_them(bench):
    bench.block.species = SpeciesFactory(shop=bench.shop)
    bench.block.save()
    follow(bench)
    planned(bench, "load", 6, title="Load")
    planned(bench, "condition", 1, title="Condition")
    assert when(bench)["strips"] == ("Condition", date(2026, 3, 11))


def test_without_a_plan_it_is_wanted_when_the_project_is_due(bench):
    bench.project.due_on = date(2026, 5, 1)
    bench.project.save()
    follow(bench)
    assert when(bench)["A"] == ("", date(2026, 5, 1))


def test_a_planned_day_is_the_shops_day(bench):
    bench.shop.zone = "Pacific/Auckland"
    bench.shop.save()
    follow(bench)
    bench.step.planned_start = AT + timedelta(hours=6)  # 15:00 in Greenwich
    bench.step.save()
    assert when(bench)["A"][1] == date(2026, 3, 11)


# written in


def test_something_is_written_in_and_told():
    member = MemberFactory()
    project = ProjectFactory(shop=member.shop, code="033")
    oil = SupplyFactory(shop=member.shop, name="Hardwax oil", unit="ml")
    need = needs.write_in(member, project, {"supply": oil, "amount": 120.5}, at=AT)
    assert (need.amount, need.unit, need.source) == (120.5, "ml", "hand")
    event = Event.objects.get()
    assert (event.verb, event.target_label, event.after) == (
        "wrote on the shelf list",
        "033: Hardwax oil",
        {"amount": 120.5},
    )


def test_what_is_not_counted_is_wanted_as_such():
    member = MemberFactory()
    tape = SupplyFactory(shop=member.shop)
    need = needs.write_in(member, ProjectFactory(shop=member.shop), {"supply": tape, "amount": None}, at=AT)
    assert (need.amount, need.unit) == (1, "level")


def test_what_was_written_in_is_wanted_for_its_own_step(bench):
    step = planned(bench, "coat", 20, title="First coat")
    NeedFactory(project=bench.project, step=step)
    assert when(bench)["level"] == ("First coat", date(2026, 3, 30))


def test_a_line_is_struck_off_and_put_back_and_told_once_each(bench):
    need = NeedFactory(project=bench.project)
    for removed in (True, True, False, False):
        needs.strike(bench.member, need, removed=removed, at=AT)
    assert Need.objects.open().count() == 1
    assert [event.verb for event in Event.objects.order_by("pk")] == [
        "struck off the shelf list",
        "put back on the shelf list",
    ]


def test_a_line_that_was_struck_off_is_not_wanted(bench):
    needs.strike(bench.member, NeedFactory(project=bench.project), removed=True, at=AT)
    assert wants(bench.shop) == []
