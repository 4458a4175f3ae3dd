"""Blocks as they lie there: no piece on a flaw, leftovers first, and every loss accounted for.

Shapely is the outside reference: pieces are built from the plan's own cuts and laid into the block.
"""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.bars import SPARE, TEST
from projects.geometry.cuts import plan_cuts, plan_from_stock, plan_whole_rings
from projects.geometry.leftovers import leftovers
from projects.geometry.panel import lay_out
from projects.geometry.patterns.base import cot, rectangle
from projects.geometry.patterns.squares import squares
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
from projects.geometry.stock import Spot, Stock, area_of, lanes
from tests.projects.geometry.laid import NAMES, example, panel_of

spots = st.lists(
    st.tuples(st.floats(-20, 590), st.floats(1, 300), st.floats(-10, 190), st.floats(1, 120)).map(
        lambda spot: Spot(spot[0], spot[0] + spot[1], spot[2], spot[2] + spot[3])
    ),
    max_size=5,
)
saws = st.builds(
    Saw, kerf_mm=st.floats(0.5, 4), trim_mm=st.floats(0, 10), hold_mm=st.floats(0, 80),
    true_mm=st.sampled_from([0, 0.3, 1.5]),
)  # fmt: skip
names = st.sampled_from(NAMES)
EXACT = {"width_mm": 600, "height_mm": 420, "origin": (30, 30)}


def real_block(marked=(), **more):
    return Stock("A", **{"stack": Stack(), "length_mm": 600, "width_mm": 198, "edge_mm": 3, "cast": True,
                         "spots": tuple(marked), **more})  # fmt: skip


def boxed(spot):
    return shapely.box(spot.from_mm, spot.low_mm, spot.to_mm, spot.high_mm)


def pieces_in(block, bar, saw):
    """Each piece of a bar where it lies in its block, from the bar's cuts; and each cut's kerf."""
    low = block.edge_mm + bar.offset_mm
    wide = bar.width_mm
    found, kerfs = [], []
    for run in bar.cut_runs(saw):
        for at, angle in run:
            slot, lean = saw.slot_mm(angle), wide * cot(angle)
            kerfs.append([(at, 0), (at + slot, 0), (at + slot + lean, wide), (at + lean, wide)])
        for (at, angle), (ends, other) in zip(run, run[1:], strict=False):
            near = at + saw.slot_mm(angle)
            far, far_end = near + wide * cot(angle), ends + wide * cot(other)
            found.append([(near, 0), (ends, 0), (far_end, wide), (far, wide)])
    return [
        [shapely.Polygon((np.array(corners) + (0, low)).round(9)) for corners in shapes]
        for shapes in (found, kerfs)
    ]


@settings(max_examples=40, deadline=None)
@given(names, saws, spots)
def test_no_piece_and_no_cut_lies_on_a_flaw_or_on_another_piece(name, saw, marked):
    block = real_block(marked)
    plan = plan_from_stock(panel_of(name), Stack(), saw, [block])
    own = [held for held in plan.blocks if held.stock]
    flawed = shapely.unary_union([boxed(spot) for spot in marked])
    for held in own:
        everything = []
        for bar in held.bars:
            pieces, kerfs = pieces_in(held, bar, saw)
            assert [piece.area for piece in pieces] == pytest.approx(
                [bar.job.shape.area_mm2] * len(bar.pieces)
            )
            everything += [*pieces, *kerfs]
        # a cut may just touch a flaw's edge, and cuts of one run touch the pieces beside them
        one, other = shapely.STRtree(everything).query(everything)
        shared = [
            everything[a].intersection(everything[b]).area for a, b in zip(one, other, strict=True) if a < b
        ]
        assert max(shared, default=0) < 1e-6
        assert all(part.intersection(flawed).area < 1e-6 for part in everything)
        inside = shapely.box(0, 3 - 1e-6, 600, 195 + 1e-6)
        assert all(inside.covers(part) for part in everything)


@settings(max_examples=30, deadline=None)
@given(names, saws, spots, st.booleans())
def test_counts_and_losses_add_up_around_flaws(name, saw, marked, whole_rings):
    panel = panel_of(name)
    plan = plan_from_stock(panel, Stack(), saw, [real_block(marked)], whole_rings=whole_rings)
    pieces = [piece for bar in plan.bars for piece in bar.pieces]
    assert sorted(piece for piece in pieces if piece > 0) == panel.number.tolist()
    assert pieces.count(TEST) == sum(job.tests for job in plan.jobs)
    assert pieces.count(SPARE) == sum(job.need for job in plan.jobs) - len(panel.number)
    assert [bar.number for bar in plan.bars] == list(range(1, len(plan.bars) + 1))
    assert sum(plan.losses) == pytest.approx(plan.offcut_fraction, abs=1e-12)
    assert min(plan.losses) >= -1e-12


@given(spots)
def test_what_flaws_cover_is_counted_once(marked):
    whole = Spot(0, 600, 0, 198)
    theirs = shapely.unary_union([boxed(spot) for spot in marked]).intersection(boxed(whole)).area
    assert area_of(marked, whole) == pytest.approx(theirs, abs=1e-6)


def test_the_flaws_loss_is_their_own_area():
    spot = Spot(200, 220, 50, 60)
    plan = plan_from_stock(panel_of("basket"), Stack(), Saw(), [real_block([spot])])
    cast = sum(block.length_mm * block.width_mm for block in plan.blocks)
    assert plan.losses.flaws == pytest.approx(200 / cast)
    assert plan_from_stock(panel_of("basket"), Stack(), Saw(), [real_block()]).losses.flaws == 0


def test_a_plan_without_stock_is_the_plain_plan():
    panel = panel_of("hexagons")
    for plain, whole in ((plan_cuts, False), (plan_whole_rings, True)):
        plan, other = (
            plain(panel, Stack(), Saw()),
            plan_from_stock(panel, Stack(), Saw(), [], whole_rings=whole),
        )
        assert [bar.pieces for bar in plan.bars] == [bar.pieces for bar in other.bars]
        assert plan.losses == other.losses


def test_a_block_without_flaws_gives_what_a_planned_one_does():
    panel = panel_of("squares", **EXACT)
    plan = plan_from_stock(panel, Stack(), Saw(), [real_block()])
    assert [len(block.bars) for block in plan.blocks] == [6, 6, 6, 2]
    assert [len(bar.pieces) for bar in plan.blocks[0].bars] == [15] * 6
    assert [bar.phase_mm for bar in plan.blocks[0].bars] == [bar.phase_mm for bar in plan.blocks[1].bars]


def test_a_strip_that_leans_all_along_is_ripped_around():
    # the fourth strip, 12 to 14 mm from the edge: the first bar begins beyond it, by whole pitches
    leaned = Spot(0, 600, 12, 14)
    found = lanes(real_block([leaned]), squares(60).shapes[0], Saw())
    assert [(lane.offset_mm, lane.pieces) for lane in found] == [(12 + 32 * n, 15) for n in range(5)]


def test_a_small_flaw_costs_the_pieces_it_lies_in_and_the_wedges_beside_it():
    clear = lanes(real_block(), squares(60).shapes[0], Saw())
    marked = lanes(real_block([Spot(300, 306, 50, 56)]), squares(60).shapes[0], Saw())
    assert [lane.pieces for lane in clear] == [15] * 6
    assert [lane.pieces for lane in marked] == [15, 14, 15, 15, 15, 15]


def test_a_block_that_is_flawed_all_over_gives_nothing_and_is_not_used():
    plan = plan_from_stock(panel_of("basket"), Stack(), Saw(), [real_block([Spot(0, 600, 0, 198)])])
    assert all(block.stock is None for block in plan.blocks)
    assert plan.losses.flaws == 0


# leftovers


def leftover(length_mm=300, width_mm=30, first_line_mm=1.0, **more):
    return Stock("L-03", Stack(), length_mm, width_mm, first_line_mm=first_line_mm, **more)


def test_a_leftover_is_used_first_and_fewer_bars_are_cast():
    panel = panel_of("squares", **EXACT)
    plain = plan_cuts(panel, Stack(), Saw())
    plan = plan_from_stock(panel, Stack(), Saw(), [leftover()])
    first = plan.blocks[0]
    assert (first.stock.key, len(first.bars), first.bars[0].number) == ("L-03", 1, 1)
    assert len(first.bars[0].pieces) + sum(len(bar.pieces) for bar in plan.bars[1:]) == 296
    assert [block.number for block in plan.blocks] == [1, 2, 3, 4, 5]
    assert len(plan.cast) == len(plain.blocks) == 4
    assert plan.resin_ml == pytest.approx(sum(block.gap_ml for block in plan.blocks[1:]))


@pytest.mark.parametrize(("first_line_mm", "offset_mm", "off_mm"), [(3, 0, 0), (1, 2, 0), (0.5, 1.5, 0)])
def test_a_wide_leftover_is_ripped_where_its_lines_lie_right(first_line_mm, offset_mm, off_mm):
    # bars of 30 mm want a strip's middle at 15 mm: 3 mm and whole pitches of 4 mm
    wide = leftover(width_mm=36, first_line_mm=first_line_mm)
    (lane,) = lanes(wide, squares(60).shapes[0], Saw())
    assert lane.offset_mm == pytest.approx(offset_mm)
    assert wide.off_mm(lane.offset_mm, squares(60).shapes[0]) == pytest.approx(off_mm)


def test_a_leftover_just_wide_enough_says_how_far_its_lines_lie_off():
    narrow = leftover(width_mm=30, first_line_mm=1)
    (lane,) = lanes(narrow, squares(60).shapes[0], Saw())
    assert (lane.offset_mm, narrow.off_mm(lane.offset_mm, squares(60).shapes[0])) == pytest.approx((0, 2))
    assert leftover(first_line_mm=None).off_mm(0, squares(60).shapes[0]) == 0


@pytest.mark.parametrize(
    "other", [leftover(width_mm=29.9), leftover(length_mm=60), Stock("L", Stack(gap_mm=1.5), 500, 60)]
)
def test_a_leftover_too_narrow_too_short_or_of_other_stripes_gives_nothing(other):
    panel = panel_of("squares", **EXACT)
    plan = plan_from_stock(panel, Stack(), Saw(), [other])
    assert [bar.pieces for bar in plan.bars] == [bar.pieces for bar in plan_cuts(panel, Stack(), Saw()).bars]


def test_what_a_bar_of_a_real_block_leaves_is_kept_without_its_flaws():
    block = real_block([Spot(500, 510, 3, 33)], length_mm=590)
    panel = lay_out(squares(60), 120, 60, Stack(), origin=(30, 30))
    plan = plan_from_stock(panel, Stack(), Saw(spare_fraction=0, test_cuts=0), [block])
    (bar,) = plan.bars
    begins = bar.length_mm - 40
    (kept,) = leftovers(plan)
    assert kept.length_mm == pytest.approx(500 - begins)
    assert (kept.width_mm, kept.first_line_mm, kept.bar) == pytest.approx((30, bar.phase_mm, 1))


def test_a_leftover_of_a_plan_serves_another_plan_in_phase():
    panel = panel_of("squares", **EXACT)
    (kept,) = leftovers(plan_cuts(panel, Stack(), Saw()))
    stock = leftover(kept.length_mm, kept.width_mm, kept.first_line_mm)
    plan = plan_from_stock(panel, Stack(), Saw(), [stock])
    assert plan.blocks[0].stock is stock
    assert stock.off_mm(plan.bars[0].offset_mm, plan.bars[0].job.shape) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("name", ["hexagons", "squares", "cubes", "star6", "star8", "hexrings"])
def test_whole_rings_stay_whole_beside_short_leftovers(name):
    panel = panel_of(name)
    stock = [leftover(180, 60), leftover(160, 60), real_block([Spot(100, 130, 20, 150)])]
    plan = plan_from_stock(panel, Stack(), Saw(), stock, whole_rings=True)
    for cell, shape in {*zip(panel.cell.tolist(), panel.shape.tolist(), strict=True)}:
        ring = np.nonzero((panel.cell == cell) & (panel.shape == shape))[0]
        assert len(set(plan.bar[ring])) == 1


# truing


def test_truing_lies_between_bars_and_is_counted():
    panel = panel_of("squares", **EXACT)
    plan = plan_cuts(panel, Stack(), Saw(true_mm=0.5))
    block = plan.blocks[0]
    assert [bar.offset_mm for bar in block.bars] == [33 * n for n in range(len(block.bars))]
    gaps = sum((len(block.bars) - 1) * block.length_mm for block in plan.blocks)
    cast = sum(block.length_mm * block.width_mm for block in plan.blocks)
    assert plan.losses.truing == pytest.approx(2 * 0.5 * gaps / cast)
    assert sum(plan.losses) == pytest.approx(plan.offcut_fraction, abs=1e-12)
    assert plan_cuts(panel, Stack(), Saw()).losses.truing == 0


def test_each_rip_is_followed_by_its_truing_where_one_is_allowed_for():
    acts = [step.act for step in plan_cuts(panel_of("basket"), Stack(), Saw(true_mm=0.4)).steps]
    assert acts.count("true") == acts.count("rip") > 0
    assert all(acts[place + 1] == "true" for place, act in enumerate(acts) if act == "rip")
    assert "true" not in [step.act for step in plan_cuts(panel_of("basket"), Stack(), Saw()).steps]


def test_past_a_flaw_the_saw_begins_anew():
    plan = plan_from_stock(panel_of("basket"), Stack(), Saw(), [real_block([Spot(200, 220, 0, 198)])])
    notes = [step.note for step in plan.steps if step.act == "cut" and step.bar == 1]
    assert notes[0] == "the first cut"
    assert [place for place, note in enumerate(notes) if note.startswith("past the flaw")] == [5]


def test_leftovers_are_not_flattened_again():
    plan = plan_from_stock(panel_of("squares", **EXACT), Stack(), Saw(), [leftover()])
    assert [step.block for step in plan.steps if step.act == "flatten"] == [2, 3, 4, 5]


@pytest.mark.parametrize("spot", [Spot(20, 10, 0, 5), Spot(10, 20, 5, 0)])
def test_a_flaw_that_ends_before_it_begins_is_refused(spot):
    with pytest.raises(OutOfRange, match="too low"):
        real_block([spot])


@given(spots)
@settings(max_examples=30)
def test_no_other_choice_of_bars_in_a_row_gives_more(marked):
    """Against all ways to begin on a grid of half pitches and to put bars one after the other."""
    block, shape, saw = real_block(marked), rectangle("Q", 60, 60), Saw()
    ours = sum(lane.pieces for lane in lanes(block, shape, saw))
    side_by_side = sum(
        sum(run.pieces for run in lane.runs)
        for lane in lanes(real_block(), shape, saw)
        for lane in [next(iter(lanes_at(block, shape, saw, lane.offset_mm)), lane._replace(runs=()))]
    )
    assert ours >= side_by_side


def lanes_at(block, shape, saw, offset):
    """The bar at one offset alone, if it gives a piece."""
    narrow = Stock("A", block.stack, block.length_mm, shape.bar_mm, spots=tuple(
        Spot(spot.from_mm, spot.to_mm, spot.low_mm - 3 - offset, spot.high_mm - 3 - offset)
        for spot in block.spots
    ))  # fmt: skip
    return lanes(narrow, shape, saw)


def test_kerfs_are_as_wide_as_the_saw_cuts():
    plan = plan_from_stock(panel_of("hexagons"), Stack(), Saw(), [real_block()])
    _, kerfs = pieces_in(plan.blocks[0], plan.bars[0], Saw())
    assert kerfs[0].area == pytest.approx(2 / math.sin(math.radians(60)) * plan.bars[0].width_mm)
    assert example("hexagons").shapes[0].bar_mm == plan.bars[0].width_mm
