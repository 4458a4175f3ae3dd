"""Blocks that came out smaller than planned: the cut plan goes by what was measured, and says so."""

import pytest

from projects.actions import demould
from projects.models import Block, PanelDesign
from projects.panel.casting import from_panel
from projects.panel.design import planned
from projects.panel.measured import measured_of
from projects.panel.rows import kept_of
from projects.panel.stock import size_of
from tests.factories import Bench, BlockFactory, StepFactory, design, key, moment
from tests.projects.pages import at, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    """Nested squares of 60: bars of 30 mm, 15 pieces from 568.3 mm; the block is planned 600 by 198 mm."""
    made = Bench()
    design(made.member, made.project)
    return made


def out_of_the_mould(bench, block=None, **measures):
    step = StepFactory(
        shop=bench.shop, block=block or bench.block, kind="demould", title="Demould", position=9
    )
    values = {"text": "", "done": True, **measures}
    demould.demould(bench.member, step, values, key=key(), moment=moment(60))


def kept(bench):
    return kept_of(PanelDesign.objects.get().project)


def words(signed_in, bench):
    return words_of(signed_in(bench.member).get(at("cuts", bench.shop, bench.project.key)))


def real_block(bench):
    """The block of the plan that lies there."""
    return next(each for each in planned(kept(bench).design).blocks if each.stock)


def test_a_shorter_block_is_cut_as_it_was_measured(signed_in, bench):
    out_of_the_mould(bench, length_mm=500.0, width_mm=198.0)
    block = real_block(bench)
    assert (block.stock.key, block.stock.length_mm) == ("Block A", 500)
    # 3 + 40 and 30 mm at both slanted ends; a piece is 30 mm and 2√2 mm of cut: 12 in 500 mm, 15 in 600
    assert {len(bar.pieces) for bar in block.bars} == {12}
    said = words(signed_in, bench)
    assert "bars no longer fit Block A : measured 500 mm long, planned 600 mm." in said


def test_a_narrower_block_loses_a_bar(signed_in, bench):
    out_of_the_mould(bench, length_mm=600.0, width_mm=190.0)
    # 190 less two edges of 3 mm: five bars of 30 and their cuts, six take 190 mm
    assert len(real_block(bench).bars) == 5
    found = measured_of(kept(bench))
    assert (found.blocks[0].bars, found.blocks[0].sizes) == (1, (("wide", 190, 198),))
    said = words(signed_in, bench)
    assert "measured 190 mm wide, planned 198 mm. 1 bar and" in said


def test_a_block_that_is_a_little_smaller_still_gives_its_bars(signed_in, bench):
    out_of_the_mould(bench, length_mm=598.0, width_mm=196.0)
    assert (
        "bars fit Block A : measured 598 mm long, planned 600 mm, measured 196 mm wide, planned 198 mm."
        in (words(signed_in, bench))
    )
    assert "bars no longer fit" not in words(signed_in, bench)


@pytest.mark.parametrize(
    "measures", [{"length_mm": 599.0, "width_mm": 197.0}, {"length_mm": 604.0, "width_mm": 200.0}, {}]
)
def test_a_block_as_large_as_planned_to_a_millimetre_leaves_plan_and_papers_as_they_are(
    signed_in, bench, measures
):
    before = kept(bench).version
    out_of_the_mould(bench, **measures)
    assert kept(bench).version == before
    assert "measured" not in words(signed_in, bench)


def test_a_smaller_block_gives_the_papers_another_version(bench):
    before = kept(bench).version
    out_of_the_mould(bench, length_mm=500.0)
    assert kept(bench).version != before


def test_what_a_smaller_block_no_longer_gives_may_cost_a_block_more(signed_in, bench):
    out_of_the_mould(bench, length_mm=300.0, width_mm=100.0)
    assert measured_of(kept(bench)).more == 1
    assert "That costs 1 block more . Cast it, or cut a leftover that fits." in words(signed_in, bench)


def test_a_smaller_block_is_no_flaw(signed_in, bench):
    out_of_the_mould(bench, length_mm=500.0)
    assert "The flaws cost" not in words(signed_in, bench)


def test_each_block_of_a_project_goes_by_its_own_measures(bench):
    b = BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=1)
    out_of_the_mould(bench, block=b, length_mm=500.0)
    found = measured_of(kept(bench))
    assert [one.name for one in found.blocks] == ["Block B"]
    assert size_of(Block.objects.get(pk=bench.block.pk)) == (600, 198)


def test_a_block_that_lies_there_keeps_its_strips_and_the_next_is_asked_for_the_next_cast(bench):
    for position in (1, 2, 3):
        BlockFactory(shop=bench.shop, project=bench.project, resin=bench.resin, position=position)
    out_of_the_mould(bench, length_mm=590.0)
    now = kept(bench)
    asked = [from_panel(now, block).own_strips for block in now.blocks]
    assert asked[0] == 50
    assert asked[1:] == [cast.strips for cast in planned(now.design).cast if cast.stock is None]
