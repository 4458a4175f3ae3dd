import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.bars import SPARE, TEST, most_pieces
from projects.geometry.cuts import plan_cuts, plan_whole_rings, run_on_width, snap_rip_width
from projects.geometry.panel import lay_out
from projects.geometry.patterns.base import cot
from projects.geometry.patterns.registry import PATTERNS
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
from projects.geometry.steps import blade_advice
from tests.projects.geometry.laid import NAMES, example, panel_of

saws = st.builds(
    Saw,
    kerf_mm=st.floats(0.5, 4),
    trim_mm=st.floats(0, 10),
    hold_mm=st.floats(0, 80),
    test_cuts=st.integers(0, 4),
    spare_fraction=st.floats(0, 0.3),
)


def plan_of(name, saw=None, **more):
    return plan_cuts(panel_of(name, **more), Stack(), saw or Saw())


def quads_of(plan, bar):
    """The pieces of a bar, from the plan's own steps: each cut a pair of lines, each piece between two."""
    rip = next(step for step in plan.steps if step.act == "rip" and step.bar == bar.number)
    cuts = sorted(
        (step for step in plan.steps if step.act == "cut" and step.bar == bar.number),
        key=lambda step: step.at_mm,
    )
    wide = rip.size_mm
    for one, other in itertools.pairwise(cuts):
        begin = one.at_mm + one.size_mm / math.sin(math.radians(one.angle_deg))
        lean, far = wide * cot(one.angle_deg), wide * cot(other.angle_deg)
        yield [(begin, 0), (other.at_mm, 0), (other.at_mm + far, wide), (begin + lean, wide)]


@pytest.mark.parametrize("name", NAMES)
def test_working_through_the_steps_gives_back_every_piece_to_a_billionth(name):
    plan = plan_of(name)
    for bar in plan.bars:
        own = np.array(bar.job.shape.corners_mm)
        found = list(quads_of(plan, bar))
        assert len(found) == len(bar.pieces)
        for index, quad in enumerate(np.array(found)):
            if index % 2 and not bar.job.shape.slides:  # lies turned half round in the bar
                quad = (quad[2] - quad)[[2, 3, 0, 1]]
            assert quad - quad[0] == pytest.approx(own - own[0], abs=1e-9)


@settings(max_examples=25)
@given(st.sampled_from(NAMES), saws, st.floats(0.6, 2), st.floats(-90, 90))
def test_any_plan_gives_back_every_piece_within_its_bars_and_blocks(name, saw, scale, turn_deg):
    plan = plan_cuts(panel_of(name, 300, 200, turn_deg, scale), Stack(), saw)
    for block in plan.blocks:
        assert block.width_mm <= Stack().max_width_mm + 1e-9
        assert block.length_mm <= Stack().max_length_mm + 1e-6
        last = max(bar.offset_mm + bar.width_mm for bar in block.bars)
        assert last + 2 * Stack().edge_mm <= block.width_mm + 1e-6
    for bar in plan.bars[:4]:
        quads = list(quads_of(plan, bar))
        areas = [shapely.Polygon(quad).area for quad in quads]
        assert areas == pytest.approx([bar.job.shape.area_mm2] * len(bar.pieces))
        assert max(x for x, _ in quads[-1]) + saw.hold_mm < bar.length_mm + 1e-6


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("planner", [plan_cuts, plan_whole_rings])
def test_every_place_is_filled_once_and_spares_and_tests_are_there(name, planner):
    plan = planner(panel_of(name), Stack(), Saw())
    pieces = [piece for bar in plan.bars for piece in bar.pieces]
    assert sorted(piece for piece in pieces if piece > 0) == plan.panel.number.tolist()
    assert pieces.count(TEST) == 2 * len(plan.jobs)
    assert pieces.count(SPARE) == sum(job.need for job in plan.jobs) - len(plan.panel.number)


@pytest.mark.parametrize("name", NAMES)
def test_each_place_knows_its_bar_and_its_turn_in_it(name):
    plan = plan_of(name)
    by_number = {bar.number: bar for bar in plan.bars}
    for place, bar, cut in zip(plan.panel.number, plan.bar, plan.cut, strict=True):
        assert by_number[bar].pieces[cut - 1] == place
        assert by_number[bar].job.index == plan.panel.shape[place - 1]


@pytest.mark.parametrize("name", ["hexagons", "squares", "cubes", "star6", "star8", "hexrings"])
def test_a_plan_for_whole_rings_takes_each_ring_from_one_bar_in_its_order(name):
    plan = plan_whole_rings(panel_of(name), Stack(), Saw())
    panel = plan.panel
    for cell, shape in {*zip(panel.cell.tolist(), panel.shape.tolist(), strict=True)}:
        ring = np.nonzero((panel.cell == cell) & (panel.shape == shape))[0]
        assert len(set(plan.bar[ring])) == 1
        by_cut = ring[np.argsort(plan.cut[ring])]
        assert (np.diff(plan.cut[by_cut]) == 1).all()
    assert plan.parted == 0


@pytest.mark.parametrize("name", ["hexagons", "squares", "cubes", "star6", "star8", "hexrings"])
def test_neighbours_in_a_bar_are_neighbours_in_their_ring(name):
    plan = plan_whole_rings(panel_of(name), Stack(), Saw())
    panel, ring = plan.panel, example(name).ring
    whole = 0
    for cell in set(panel.cell.tolist()):
        own = np.nonzero((panel.cell == cell) & (panel.shape == 0) & ~panel.clipped)[0]
        if len(own) == ring.pieces:
            whole += 1
            middles = panel.middle_mm[own[np.argsort(plan.cut[own])]]
            x, y = (middles - middles.mean(axis=0)).T
            steps = np.diff(np.degrees(np.arctan2(y, x))) % 360
            assert steps == pytest.approx(np.full(ring.pieces - 1, 360 / ring.pieces), abs=1e-6)
    assert whole > 3


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_parts_no_more_rings_than_its_bars_force_it_to(name):
    """Counted anew: in each bar, the places left beside whole rings are fewer than a ring."""
    plan = plan_of(name)
    assert len(plan.bars) == sum(job.bars for job in plan.jobs)
    if plan.parted:
        assert len(plan_whole_rings(plan.panel, Stack(), Saw()).bars) >= len(plan.bars)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("overhang_mm", [0, 4])
def test_the_losses_add_up_to_the_offcut(name, overhang_mm):
    plan = plan_of(name, overhang_mm=overhang_mm)
    assert sum(plan.losses) == pytest.approx(plan.offcut_fraction, abs=1e-12)
    assert min(plan.losses) >= 0
    cast = sum(block.length_mm * block.width_mm for block in plan.blocks)
    assert plan.offcut_fraction == pytest.approx(1 - 240_000 / cast)


@settings(max_examples=30)
@given(st.sampled_from(NAMES), saws)
def test_with_any_saw_the_losses_add_up(name, saw):
    plan = plan_of(name, saw, width_mm=240, height_mm=180)
    assert sum(plan.losses) == pytest.approx(plan.offcut_fraction, abs=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_the_resin_is_what_fills_the_gaps_of_all_blocks(name):
    plan = plan_of(name)
    # each gap drawn as a box of its own
    gaps = sum(block.length_mm * 2 * 12 for block in plan.blocks for _ in range(block.strips - 1))
    assert plan.resin_ml == pytest.approx(gaps / 1000)


@pytest.mark.parametrize("name", NAMES)
def test_every_clipped_piece_is_cut_whole_and_the_least_is_said_beside_it(name):
    plan = plan_of(name)
    for job in plan.jobs:
        own = plan.panel.shape == job.index
        assert job.whole + job.edge == own.sum()
        assert job.edge == (own & plan.panel.clipped).sum()
        assert job.need == math.ceil(own.sum() * 1.05 - 1e-9)
        assert job.at_least == math.ceil(plan.panel.visible_area_mm2[own].sum() / job.shape.area_mm2 - 1e-9)
        assert job.at_least <= job.whole + job.edge


@pytest.mark.parametrize("name", NAMES)
def test_no_bar_could_hold_one_piece_more(name):
    for job in plan_of(name).jobs:
        lengths = [job.shape.bar_length_mm(job.per_bar + more, 2, 43) for more in (0, 1)]
        assert lengths[0] <= 600 < lengths[1]


@given(st.sampled_from(NAMES), st.floats(0.3, 3), saws, st.floats(200, 1500))
def test_the_most_that_a_bar_holds_is_found_for_any_saw(name, scale, saw, longest_mm):
    stack = Stack(max_length_mm=longest_mm)
    for shape in example(name, scale).shapes:
        ends = saw.trim_mm + saw.hold_mm
        counts = [n for n in range(1, 400) if shape.bar_length_mm(n, saw.kerf_mm, ends) <= longest_mm + 1e-9]
        if counts:
            assert most_pieces(shape, stack, saw) == counts[-1]
        else:
            with pytest.raises(OutOfRange, match="bar length"):
                most_pieces(shape, stack, saw)


def test_bars_of_one_block_shift_their_strips_by_width_and_kerf():
    plan = plan_of("hexagons")
    for block in plan.blocks:
        for index, bar in enumerate(block.bars):
            # phi_j = phi_0 - j (b + k), modulo the pitch
            shift = (bar.width_mm / 2 - index * (bar.width_mm + 2) - bar.phase_mm) % 4
            assert min(shift, 4 - shift) < 1e-6


def test_bars_of_a_snapped_width_are_all_alike():
    side = 2 * snap_rip_width(34.641, Stack(), Saw()) / math.sqrt(3)
    plan = plan_cuts(lay_out(PATTERNS["hexagons"](side), 600, 400, Stack()), Stack(), Saw())
    phases = np.array([bar.phase_mm for bar in plan.bars])
    assert np.abs(phases - phases[0]).max() < 1e-6


@given(st.floats(3, 150), st.floats(0.5, 4), st.floats(0.5, 4), st.floats(0.5, 4))
def test_a_snapped_width_and_a_kerf_are_whole_pitches(width_mm, strip_mm, gap_mm, kerf_mm):
    stack = Stack(strip_mm=strip_mm, gap_mm=gap_mm)
    snapped = snap_rip_width(width_mm, stack, Saw(kerf_mm=kerf_mm))
    pitches = (snapped + kerf_mm) / stack.pitch_mm
    assert abs(pitches - round(pitches)) < 1e-9
    assert snapped > 0
    if width_mm > 2 * stack.pitch_mm:
        assert abs(snapped - width_mm) <= stack.pitch_mm / 2 + 1e-9


@given(st.floats(3, 150))
def test_a_width_with_which_lines_run_on_is_whole_pitches(width_mm):
    found = run_on_width(width_mm, Stack())
    assert found % 4 == 0
    assert abs(found - width_mm) <= 2 or found == 4


def test_the_steps_come_in_the_order_of_the_work():
    order = ("flatten", "joint", "rip", "square", "test")
    acts = [step.act for step in plan_of("peaks").steps]
    firsts = [acts.index(act) for act in order]
    assert firsts == sorted(firsts)
    assert set(acts) == {*order, "cut", "mark"}


def test_the_widest_bars_of_a_block_are_ripped_first():
    for block in plan_of("peaks").blocks:
        rips = [s.size_mm for s in plan_of("peaks").steps if s.act == "rip" and s.block == block.number]
        assert rips == sorted(rips, reverse=True)
        assert len(rips) == len(block.bars)


def test_a_piece_with_two_gauges_is_parted_with_the_steeper_one_last():
    plan = plan_of("peaks")
    halves, sky = plan.jobs
    assert halves.gauges_deg == pytest.approx((29.98, 60.02), abs=0.01)
    assert len(sky.gauges_deg) == 1
    bar = next(bar for bar in plan.bars if bar.job is halves)
    angles = [step.angle_deg for step in plan.steps if step.act == "cut" and step.bar == bar.number]
    turns = [one != other for one, other in itertools.pairwise(angles)]
    assert sum(turns) == 1
    assert halves.parcel_mm(Saw()) == pytest.approx(
        halves.shape.near_mm + 2 / math.sin(math.radians(halves.cut_order_deg[1]))
    )


def test_a_gauge_that_stops_short_asks_for_a_sled():
    plan = plan_of("peaks")
    assert plan.jobs[0].sled_deg(50) == pytest.approx((29.98,), abs=0.01)
    assert plan.jobs[0].sled_deg(65) == ()


def test_marks_name_places_in_cut_order_and_which_lie_face_down():
    plan = plan_of("zigzag")
    bar = plan.bars[0]
    said = next(step.note for step in plan.steps if step.act == "mark" and step.bar == bar.number)
    words = said.split(", ")
    assert words[:2] == ["test", "test"]
    for word, piece in zip(words[2:], bar.pieces[2:], strict=True):
        down = piece > 0 and plan.panel.face_down[piece - 1]
        assert word == ("spare" if piece == SPARE else f"{piece}F" if down else str(piece))


@pytest.mark.parametrize(
    ("name", "tried"), [("basket", True), ("cubes", True), ("hexagons", False), ("peaks", False)]
)
def test_advice_for_a_leaning_blade_says_where_nobody_has_tried_it(name, tried):
    said = blade_advice(plan_of(name).jobs[0])
    assert ("nobody has sawn it" in said) != tried


def test_shapes_of_different_stacks_share_no_block():
    stacks = [Stack(), Stack(strip_mm=1)]
    plan = plan_cuts(lay_out(example("star6"), 300, 200, stacks), stacks, Saw())
    assert all({bar.job.stack for bar in block.bars} == {block.stack} for block in plan.blocks)
    assert len({block.stack for block in plan.blocks}) == 2


def test_an_overhang_should_clear_the_saw():
    assert plan_of("basket").least_overhang_mm == 4


def test_a_piece_longer_than_any_bar_is_refused():
    with pytest.raises(
        OutOfRange, match="bar length is 867 mm, which is too high: it must be from 0 to 600 mm"
    ):
        plan_cuts(lay_out(PATTERNS["herringbone"](41, 20), 900, 600, Stack()), Stack(), Saw())


def test_a_bar_wider_than_any_block_is_refused():
    with pytest.raises(OutOfRange, match="bar is 220 mm, which is too high: it must be from 0 to 192 mm"):
        plan_cuts(lay_out(PATTERNS["basket"](220), 900, 600, Stack()), Stack(), Saw())
