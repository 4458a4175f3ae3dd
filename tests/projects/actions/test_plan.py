from datetime import date

import pytest

from projects.actions import plan
from projects.checklists import checks_of
from projects.models import Block, CheckItem, Project, Step
from tests.factories import (
    AT,
    BlockFactory,
    CheckItemFactory,
    MemberFactory,
    ProjectFactory,
    ResinFactory,
    SpeciesFactory,
)
from tests.projects.threads import at_once
from workshop.models import Event

pytestmark = pytest.mark.django_db


def begin(member, title="Stair window", resin=None, due_on=None):
    return plan.begin_project(member, title=title, due_on=due_on, resin=resin, at=AT)


def events_about(row):
    return Event.objects.filter(target_key=row.key).order_by("pk")


# --- a project begins ---


def test_projects_of_a_shop_are_numbered_from_one():
    member = MemberFactory()
    assert [begin(member).code for _ in range(2)] == ["001", "002"]


def test_each_shop_numbers_its_own_projects():
    assert [begin(MemberFactory()).code for _ in range(2)] == ["001", "001"]


def test_a_removed_project_keeps_its_number():
    member = MemberFactory()
    ProjectFactory(shop=member.shop, code="007", removed_at=AT)
    assert begin(member).code == "008"


def test_a_code_that_is_no_number_is_left_out_of_the_count():
    member = MemberFactory()
    ProjectFactory(shop=member.shop, code="DOOR")
    assert begin(member).code == "001"


def test_a_thousandth_project_gets_four_digits():
    member = MemberFactory()
    ProjectFactory(shop=member.shop, code="999")
    assert begin(member).code == "1000"


def test_a_project_begins_planned_with_what_was_typed():
    project = begin(MemberFactory(), title="Fanlight", due_on=date(2026, 5, 1))
    assert (project.title, project.due_on, project.state) == (
        "Fanlight",
        date(2026, 5, 1),
        Project.State.PLANNED,
    )


def test_a_project_begins_with_a_block_of_the_resin_that_was_given():
    member = MemberFactory()
    resin = ResinFactory(shop=member.shop)
    block = begin(member, resin=resin).blocks.get()
    assert (block.resin, block.letter) == (resin, "A")


def test_a_project_begins_without_a_resin_where_the_shop_has_none():
    assert begin(MemberFactory()).blocks.get().resin is None


def test_a_project_begins_with_the_step_that_pours_its_block():
    project = begin(MemberFactory())
    step = project.steps.get(kind="pour")
    assert (step.kind, step.title, step.block) == (Step.Kind.POUR, "Pour block A", project.blocks.get())
    assert step.state == Step.State.TO_DO


def test_the_pour_begins_with_its_checklist_in_order():
    checks = begin(MemberFactory()).steps.get(kind="pour").checks.all()
    assert tuple(item.text for item in checks) == checks_of("pour")


def test_all_rows_of_a_new_project_belong_to_its_shop():
    member = MemberFactory()
    project = begin(member)
    step = project.steps.get(kind="pour")
    rows = [project, step, project.blocks.get(), *step.checks.all()]
    assert {row.shop_id for row in rows} == {member.shop_id}


def test_history_says_who_began_a_project():
    member = MemberFactory()
    event = events_about(begin(member)).get()
    assert (event.verb, event.actor, event.target_label) == ("began", member, "001 Stair window")


@pytest.mark.django_db(transaction=True)
def test_two_projects_begun_at_once_get_two_numbers():
    member = MemberFactory()
    first, second = at_once(lambda: begin(member), lambda: begin(member, "Fanlight"))
    assert sorted([first.code, second.code]) == ["001", "002"]


# --- a block is kept ---


def test_a_kept_block_has_its_new_figures():
    block = BlockFactory()
    plan.keep_block(MemberFactory(shop=block.shop), block, {"strips": 60, "gap_mm": 1.5}, at=AT)
    block = Block.objects.get(pk=block.pk)
    assert (block.strips, block.gap_mm, block.strip_mm) == (60, 1.5, 2)


def test_history_keeps_only_what_changed_of_a_block():
    block = BlockFactory()
    plan.keep_block(
        MemberFactory(shop=block.shop), block, {"strips": 60, "gap_mm": 2, "length_mm": 600}, at=AT
    )
    event = events_about(block).get()
    assert (event.before, event.after) == ({"strips": 50}, {"strips": 60})


def test_history_names_woods_and_resins_as_people_do():
    block = BlockFactory(resin=None)
    wood, resin = SpeciesFactory(shop=block.shop), ResinFactory(shop=block.shop)
    plan.keep_block(MemberFactory(shop=block.shop), block, {"species": wood, "resin": resin}, at=AT)
    event = events_about(block).get()
    assert event.before == {"species": None, "resin": None}
    assert event.after == {"species": wood.name, "resin": resin.name}


def test_a_block_kept_as_it_was_writes_no_history():
    block = BlockFactory()
    plan.keep_block(MemberFactory(shop=block.shop), block, {"strips": 50, "gap_mm": 2.0}, at=AT)
    assert not events_about(block).exists()


def test_keeping_one_figure_leaves_what_somebody_else_changed_meanwhile():
    block = BlockFactory()
    stale = Block.objects.get(pk=block.pk)
    member = MemberFactory(shop=block.shop)
    plan.keep_block(member, block, {"strips": 60}, at=AT)
    plan.keep_block(member, stale, {"gap_mm": 1.5}, at=AT)
    block = Block.objects.get(pk=block.pk)
    assert (block.strips, block.gap_mm) == (60, 1.5)


# --- a checklist line is ticked ---


def test_a_ticked_line_says_when_and_by_whom():
    item = CheckItemFactory()
    member = MemberFactory(shop=item.shop)
    plan.tick(member, item, True, at=AT)
    item = CheckItem.objects.get(pk=item.pk)
    assert (item.ticked_at, item.ticked_by) == (AT, member.user)


def test_a_line_ticked_twice_stays_ticked_by_the_first():
    item = CheckItemFactory()
    first, second = MemberFactory(shop=item.shop), MemberFactory(shop=item.shop)
    plan.tick(first, item, True, at=AT)
    plan.tick(second, item, True, at=AT)
    assert CheckItem.objects.get(pk=item.pk).ticked_by == first.user


def test_a_line_ticked_twice_writes_history_once():
    item = CheckItemFactory()
    member = MemberFactory(shop=item.shop)
    plan.tick(member, item, True, at=AT)
    plan.tick(member, item, True, at=AT)
    assert [event.verb for event in events_about(item)] == ["ticked"]


def test_a_ticked_line_can_be_cleared():
    item = CheckItemFactory()
    member = MemberFactory(shop=item.shop)
    plan.tick(member, item, True, at=AT)
    plan.tick(member, item, False, at=AT)
    item = CheckItem.objects.get(pk=item.pk)
    assert (item.ticked_at, item.ticked_by) == (None, None)
    assert [event.verb for event in events_about(item)] == ["ticked", "cleared"]
