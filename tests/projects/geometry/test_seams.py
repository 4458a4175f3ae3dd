import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.panel import lay_out
from projects.geometry.patterns.base import Pattern, Place, rectangle
from projects.geometry.saw import Saw
from projects.geometry.seams import (
    find_seams,
    random_ring_gap_mm,
    ring_gap,
    tolerance_budget,
    wrapped,
)
from projects.geometry.stack import Stack
from tests.projects.geometry.laid import GRID, NAMES, PANELS, example, panel_of, polygons

LAID = [(name, *panel) for name in NAMES for panel in PANELS]


@pytest.mark.parametrize(("name", "width_mm", "height_mm", "turn_deg"), LAID)
def test_seams_are_as_long_as_all_outlines_less_the_frame_halved(name, width_mm, height_mm, turn_deg):
    panel = panel_of(name, width_mm, height_mm, turn_deg)
    outlines = sum(piece.length for piece in polygons(panel))
    expected = (outlines - 2 * (width_mm + height_mm)) / 2
    assert find_seams(panel).length_mm.sum() == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=10)
@given(
    st.floats(60, 500),
    st.floats(60, 400),
    st.floats(-180, 180),
    # in steps of a hundredth: closer to a corner than any saw, what reaches into the frame is dropped as dust
    st.tuples(st.integers(-30_000, 30_000), st.integers(-30_000, 30_000)),
)
def test_on_any_panel_seams_are_as_long_as_outlines_say(name, width_mm, height_mm, turn_deg, origin):
    panel = panel_of(name, width_mm, height_mm, turn_deg, origin=(origin[0] / 100, origin[1] / 100))
    outlines = sum(piece.length for piece in polygons(panel))
    expected = (outlines - 2 * (width_mm + height_mm)) / 2
    # contacts shorter than 1e-7 mm are corners
    assert find_seams(panel).length_mm.sum() == pytest.approx(expected, rel=1e-9, abs=1e-5)


@pytest.mark.parametrize("name", NAMES)
def test_every_seam_lies_on_the_outlines_of_both_its_pieces(name):
    panel = panel_of(name, 317.3, 211.9, 17)
    seams, pieces = find_seams(panel), np.array(polygons(panel))
    ends = seams.start_mm + seams.length_mm[:, None] * seams.along
    drawn = shapely.linestrings(np.stack([seams.start_mm, ends], axis=1))
    for side in (seams.left, seams.right):
        assert (
            shapely.hausdorff_distance(
                shapely.intersection(shapely.buffer(shapely.boundary(pieces[side]), 1e-6), drawn), drawn
            ).max()
            < 1e-5
        )
    middle = seams.start_mm + seams.length_mm[:, None] / 2 * seams.along
    aside = 1e-4 * np.stack([-seams.along[:, 1], seams.along[:, 0]], axis=1)
    long = seams.length_mm > 0.01
    assert shapely.covers(pieces[seams.left], shapely.points(middle + aside))[long].all()
    assert shapely.covers(pieces[seams.right], shapely.points(middle - aside))[long].all()


def crossings(panel, piece, start, along):
    """Where strips of a piece cross a seam's line: the strips drawn as shapely lines, one by one."""
    normal, offset = panel.stripe_normal[piece], panel.stripe_offset_mm[piece]
    direction = np.array([-normal[1], normal[0]])
    seam = shapely.LineString([start - 50 * along, start + 50 * along])
    found = []
    for step in range(-400, 400):
        foot = normal * (offset + step * 4)
        point = seam.intersection(shapely.LineString([foot - 3000 * direction, foot + 3000 * direction]))
        if point.geom_type == "Point":
            found.append(float((np.array(point.coords[0]) - start) @ along))
    return np.array(found)


@pytest.mark.parametrize("name", ["zigzag", "peaks", "hexagons", "hexrings", "squares", "star8"])
def test_stripes_meet_where_they_are_drawn_to_meet(name):
    panel = panel_of(name, 317.3, 211.9, 17)
    seams = find_seams(panel)
    meeting = np.nonzero(seams.meeting)[0]
    for seam in meeting[:: max(1, len(meeting) // 6)]:
        line = seams.start_mm[seam], seams.along[seam]
        left, right = (crossings(panel, side[seam], *line) for side in (seams.left, seams.right))
        gaps = np.abs(left[:, None] - right[None]).min(axis=1)[len(left) // 4 : -len(left) // 4]
        assert gaps == pytest.approx(abs(seams.offset_mm[seam]), abs=1e-5)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("turn_deg", [0, 17, 45])
def test_by_the_plan_every_stripe_that_can_meet_does(name, turn_deg):
    seams = find_seams(panel_of(name, turn_deg=turn_deg))
    assert np.abs(seams.offset_mm[seams.meeting]).max(initial=0) < 1e-6


@pytest.mark.parametrize("name", NAMES)
def test_only_seams_that_meet_or_run_along_carry_a_number(name):
    seams = find_seams(panel_of(name))
    assert (np.isnan(seams.offset_mm) == np.isin(seams.kind, ["differ", "end"])).all()


# two rows of bricks; the lower one's bar is 18 wide, its strips on the centre line of each
def rows_of(bar_mm, phase_mm=None):
    brick = rectangle("B", 30, bar_mm)
    if phase_mm is not None:
        brick = type(brick)("B", bar_mm, 30, 90, 90, phase_mm=phase_mm)
    cell = (Place(0, 0, False, (0, 0)), Place(0, 180, False, (30, 2 * bar_mm)))
    return Pattern("rows", (brick,), cell, ((30, 0), (0, 2 * bar_mm)))


@given(st.floats(5, 40))
def test_the_jump_over_a_rim_of_centred_bars_is_the_bar_over_whole_pitches(bar_mm):
    panel = lay_out(rows_of(bar_mm), 60, 2 * bar_mm, Stack(), origin=(0, 0))
    seams = find_seams(panel)
    level = (seams.kind == "along") & (np.abs(seams.along[:, 0]) > 0.9)
    expected = wrapped(np.array([bar_mm]), np.array([4.0]))[0]
    jumps = seams.offset_mm[level]
    assert len(jumps) == 2
    assert np.abs(wrapped(jumps - expected, np.full(2, 4.0))).max() < 1e-6


@given(st.floats(5, 40), st.floats(0, 4))
def test_the_jump_over_a_rim_is_counted_from_strip_to_strip(bar_mm, phase_mm):
    # the lower brick's last strip lies bar - phase below the seam, the upper one, turned, as much above
    panel = lay_out(rows_of(bar_mm, phase_mm), 60, 2 * bar_mm, Stack(), origin=(0, 0))
    seams = find_seams(panel)
    level = (seams.kind == "along") & (np.abs(seams.along[:, 0]) > 0.9)
    rest = wrapped(seams.offset_mm[level] - 2 * (bar_mm - phase_mm), np.full(2, 4.0))
    assert np.abs(rest).max() < 1e-6


def test_a_tie_counts_as_plus_half_a_pitch():
    found = wrapped(np.array([2.0, -2.0, 6.0, 2 + 1e-11, 2 - 1e-11]), np.full(5, 4.0))
    assert found == pytest.approx([2, 2, 2, 2, 2], abs=1e-9)


@given(st.floats(-1000, 1000), st.floats(0.5, 30))
def test_wrapping_keeps_the_value_but_for_whole_periods(value, period):
    rest = wrapped(np.array([value]), np.array([period]))[0]
    assert -period / 2 - 1e-8 < rest <= period / 2 + 1e-8
    assert abs((value - rest) / period - round((value - rest) / period)) < 1e-6


def test_blocks_of_different_pitch_never_match():
    panel = lay_out(example("star8"), 300, 300, [Stack(), Stack(strip_mm=1), Stack()])
    kinds = find_seams(panel)
    square = (panel.shape[kinds.left] == 1) ^ (panel.shape[kinds.right] == 1)
    assert not np.isin(kinds.kind[square], ["meet", "along"]).any()


# --- rings, laid piece by piece ---


@pytest.mark.parametrize(("pieces", "faces", "inner_deg"), [(6, 2, 60), (4, 2, 90), (8, 1, 45), (3, 1, 120)])
@pytest.mark.parametrize("error_deg", [0.05, 0.1, 0.25])
def test_a_ring_laid_piece_by_piece_is_open_by_what_the_formula_says(pieces, faces, inner_deg, error_deg):
    radius, turn = 100.0, 0.0
    wedge = inner_deg - faces * error_deg
    for _ in range(pieces):
        turn += wedge
    first = np.array([radius, 0.0])
    last = radius * np.array([math.cos(math.radians(turn)), math.sin(math.radians(turn))])
    angle, gap = ring_gap(pieces, radius, error_deg, faces)
    assert angle == pytest.approx(360 - turn)
    assert gap == pytest.approx(np.hypot(*(last - first)))


def test_random_errors_leave_the_gap_that_a_hundred_thousand_rings_show():
    rng = np.random.default_rng(11)
    for pieces, faces in ((6, 2), (6, 1), (8, 1), (4, 2)):
        errors = rng.normal(0, math.radians(0.1), (100_000, pieces * faces)).sum(axis=1)
        gaps = 2 * 100 * np.abs(np.sin(errors / 2))
        # at twice the spread 95.45 of 100 stay below: the tables of the normal distribution, from memory
        assert np.quantile(gaps, 0.9545) == pytest.approx(
            random_ring_gap_mm(pieces, 100, 0.1, faces), rel=0.015
        )


@pytest.mark.parametrize("name", ["hexagons", "squares", "zigzag", "star8"])
def test_a_gauge_at_its_limit_makes_just_the_step_that_may_be_seen(name):
    panel = panel_of(name)
    seams = find_seams(panel)
    budget = tolerance_budget(panel, seams, Saw())
    gamma, length = np.radians(seams.left_deg[seams.meeting]), seams.length_mm[seams.meeting]
    off = math.radians(budget.seam_deg) / 100  # the limit is of first order
    worst = np.abs(length * (np.sin(gamma) / np.sin(gamma + off) - 1)).max()
    assert worst == pytest.approx(budget.visible_mm / 100, rel=1e-3)
    if budget.ring_deg:
        ring = panel.pattern.ring
        assert ring_gap(ring.pieces, ring.radius_mm, budget.ring_deg, ring.faces)[1] == pytest.approx(1)


def test_a_panel_with_nothing_to_match_asks_nothing_of_its_seams():
    panel = panel_of("basket")
    budget = tolerance_budget(panel, find_seams(panel), Saw())
    assert (budget.seam_deg, budget.ring_deg, budget.length_mm, budget.rip_mm) == (None,) * 4
    assert (budget.gauge_deg, budget.gauge_ok, budget.stop_ok) == (None, True, True)


def test_what_may_be_seen_can_be_said():
    panel = panel_of("hexagons")
    seams = find_seams(panel)
    strict, usual = (tolerance_budget(panel, seams, Saw(), visible_mm=mm) for mm in (0.2, 1))
    assert strict.ring_deg == pytest.approx(usual.ring_deg / 5, rel=1e-3)
    with pytest.raises(OutOfRange, match="visible is 0 mm"):
        tolerance_budget(panel, seams, Saw(), visible_mm=0)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ((0, 100, 0.1), "pieces is 0"),
        ((6, 0, 0.1), "radius is 0 mm"),
        ((6, 100, 20), "error is 20 °"),
        ((6, 9, 0.1, 3), "faces"),
    ],
)
def test_a_ring_that_is_none_is_refused(wrong, words):
    with pytest.raises(OutOfRange, match=words):
        ring_gap(*wrong)


def test_seams_lie_in_the_middle_of_glue_lines():
    plain, glued = (find_seams(panel_of("hexagons", glue_mm=mm)) for mm in (0, 0.2))
    assert glued.length_mm.sum() == pytest.approx(plain.length_mm.sum())
    assert (glued.kind == plain.kind).all()


def test_no_seam_is_found_where_there_is_one_piece():
    assert len(find_seams(panel_of("basket", 3, 3, origin=(-1, -1))).kind) == 0


def test_shapely_agrees_on_the_seams_of_a_star():
    panel = panel_of("star8", 200, 200)
    merged = shapely.unary_union([shapely.LinearRing(points) for points in panel.visible_mm], grid_size=GRID)
    inner = merged.length - 800
    assert find_seams(panel).length_mm.sum() == pytest.approx(inner, rel=1e-6)
