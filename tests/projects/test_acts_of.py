import pytest
from django.template.loader import render_to_string

from projects import acts_of
from projects.actions import sanding
from projects.models import Step
from tests.factories import Bench, BlockFactory, StepFactory, design, key, moment
from tests.projects.pages import at

pytestmark = pytest.mark.django_db


def step_of(bench, kind, **more):
    return StepFactory(shop=bench.shop, block=bench.block, kind=kind, title="The step", **more)


def start(bench, step, side="front"):
    values = {"grade": "120", "system": "P", "side": side}
    return sanding.start(bench.member, step, values, key=key(), moment=moment())


@pytest.mark.parametrize("kind", acts_of.ACTS)
def test_every_act_of_a_kind_has_an_address(kind):
    bench = Bench()
    found = acts_of.doors_of(step_of(bench, kind))
    assert found.main.url.startswith(f"/s/{bench.shop.key}/bench/")


def test_the_main_act_stands_under_its_deed():
    bench = Bench()
    step = step_of(bench, "load")
    main = acts_of.doors_of(step).main
    assert (main.deed, main.url) == ("Strips are in", at("act-strips", bench.shop, step.key))


@pytest.mark.parametrize("state", [Step.State.DONE, Step.State.SKIPPED])
def test_a_step_that_is_over_has_no_main_act_but_can_still_be_added_to(state):
    found = acts_of.doors_of(step_of(Bench(), "coat", state=state))
    assert found.main is None
    assert [door.deed for door in found.others] == ["Coat is on", "Write a reading", "Set a clock"]


def test_a_step_without_acts_of_its_own_can_have_a_reading_and_a_clock():
    found = acts_of.doors_of(step_of(Bench(), "pack"))
    assert (found.main, [door.deed for door in found.others]) == (None, ["Write a reading", "Set a clock"])


def test_a_reading_that_is_the_main_act_stands_there_once():
    found = acts_of.doors_of(step_of(Bench(), "measure"))
    assert (found.main.deed, [door.deed for door in found.others]) == ("Write a reading", ["Set a clock"])


@pytest.mark.parametrize("kind", ["test_cut", "cut"])
def test_a_step_at_the_saw_leads_to_the_settings_of_its_panel(kind):
    bench = Bench()
    step = step_of(bench, kind)
    assert acts_of.leads_of(step) == []  # nothing says how it is sawn
    design(bench.member, bench.project)
    page = at("cuts", bench.shop, bench.project.key)
    assert acts_of.leads_of(step) == [acts_of.Door("Open the saw settings", page)]


def test_a_session_that_goes_on_comes_before_a_new_one():
    bench = Bench()
    step = step_of(bench, "sand")
    session = start(bench, step)
    found = acts_of.doors_of(step)
    assert found.main.deed == "Go on with P120, front"
    assert found.main.url == at("sanding", bench.shop, step.key, session.key)
    assert found.others[0].deed == "Start sanding"


def test_the_main_act_is_the_one_button_at_the_foot():
    bench = Bench()
    step = step_of(bench, "coat")
    url = at("act-coat", bench.shop, step.key)
    found = render_to_string("projects/_step_main_act.html", {"step": step})
    assert found.strip() == f'<a class="btn main full" href="{url}">Coat is on</a>'


def test_a_step_that_is_over_leaves_the_foot_empty():
    step = step_of(Bench(), "coat", state=Step.State.DONE)
    assert render_to_string("projects/_step_main_act.html", {"step": step}).strip() == ""


def test_the_other_acts_stand_in_a_row():
    bench = Bench()
    step = step_of(bench, "pack")
    found = render_to_string("projects/_step_acts.html", {"step": step})
    assert f'<a class="btn" href="{at("act-reading", bench.shop, step.key)}">Write a reading</a>' in found
    assert f'<a class="btn" href="{at("act-clock", bench.shop, step.key)}">Set a clock</a>' in found


def test_the_step_of_the_combs_leads_to_the_comb_of_its_own_block():
    bench = Bench()
    other = BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=1)
    for block, letter in ((bench.block, "A"), (other, "B")):
        step = StepFactory(shop=bench.shop, block=block, kind="combs", position=40 + block.position)
        doors = [(door.deed, door.url) for door in acts_of.doors_of(step).others]
        assert ("Open its comb", at("combs-of", bench.shop, bench.project.key, letter)) in doors


def test_a_step_of_no_block_offers_no_comb():
    bench = Bench()
    step = StepFactory(shop=bench.shop, project=bench.project, block=None, kind="combs", title="The step")
    assert "Open its comb" not in [door.deed for door in acts_of.doors_of(step).others]


@pytest.mark.parametrize("kind", ["demould", "flatten", "mark"])
def test_where_a_block_is_looked_at_its_flaws_can_be_marked(kind):
    bench = Bench()
    step = step_of(bench, kind)
    doors = [(door.deed, door.url) for door in acts_of.doors_of(step).others]
    assert ("Mark a flaw", at("flaws", bench.shop, bench.project.key, bench.block.key)) in doors


def test_a_step_of_no_block_offers_no_flaws():
    bench = Bench()
    step = StepFactory(shop=bench.shop, project=bench.project, block=None, kind="mark", title="The step")
    assert "Mark a flaw" not in [door.deed for door in acts_of.doors_of(step).others]
