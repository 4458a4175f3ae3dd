import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.panel import lay_out
from projects.geometry.patterns.registry import PATTERNS
from projects.geometry.stack import Stack
from tests.projects.geometry.laid import GRID, NAMES, PANELS, angle_sums, example, panel_of, polygons

LAID = [(name, *panel) for name in NAMES for panel in PANELS]


@pytest.mark.parametrize(("name", "width_mm", "height_mm", "turn_deg"), LAID)
def test_the_pieces_fill_the_frame_as_shapely_measures(name, width_mm, height_mm, turn_deg):
    pieces = polygons(panel_of(name, width_mm, height_mm, turn_deg))
    frame = width_mm * height_mm
    assert shapely.unary_union(pieces, grid_size=GRID).area == pytest.approx(frame, rel=1e-9)
    assert sum(piece.area for piece in pieces) == pytest.approx(frame, rel=1e-9)


@pytest.mark.parametrize(("name", "width_mm", "height_mm", "turn_deg"), LAID)
def test_no_two_pieces_overlap_as_shapely_measures(name, width_mm, height_mm, turn_deg):
    pieces = np.array(polygons(panel_of(name, width_mm, height_mm, turn_deg)))
    first, second = shapely.STRtree(pieces).query(pieces, predicate="intersects")
    pairs = first < second
    shared = shapely.intersection(pieces[first[pairs]], pieces[second[pairs]], grid_size=GRID)
    assert shapely.area(shared).max() == 0


@pytest.mark.parametrize(("name", "width_mm", "height_mm", "turn_deg"), LAID)
def test_the_angles_round_every_inner_corner_make_a_full_turn(name, width_mm, height_mm, turn_deg):
    sums = angle_sums(polygons(panel_of(name, width_mm, height_mm, turn_deg)), width_mm, height_mm)
    assert len(sums) > 10
    assert sums == pytest.approx(np.full(len(sums), 360), abs=1e-5)


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=15)
@given(
    st.floats(40, 700),
    st.floats(40, 500),
    st.floats(-360, 360),
    st.tuples(st.floats(-900, 900), st.floats(-900, 900)),
    st.floats(0.5, 2.5),
)
def test_any_panel_is_filled_to_a_billionth(name, width_mm, height_mm, turn_deg, origin, scale):
    panel = panel_of(name, width_mm, height_mm, turn_deg, scale, origin=origin)
    assert panel.visible_area_mm2.sum() == pytest.approx(width_mm * height_mm, rel=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_a_panel_smaller_than_a_piece_is_filled_too(name):
    assert panel_of(name, 3, 2, 11, origin=(1, 0.3)).visible_area_mm2.sum() == pytest.approx(6, rel=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_every_piece_is_its_shape_moved_turned_and_if_face_down_mirrored(name):
    panel = panel_of(name, turn_deg=17)
    for piece in range(0, len(panel.number), 7):
        shape = panel.shapes[panel.shape[piece]]
        own = shapely.Polygon(dict.fromkeys(shape.corners_mm))
        own = shapely.affinity.scale(own, 1, -1 if panel.face_down[piece] else 1, origin=(0, 0))
        own = shapely.affinity.rotate(own, panel.turn_deg[piece], origin=(0, 0))
        own = shapely.affinity.translate(own, *panel.shift_mm[piece])
        assert own.hausdorff_distance(shapely.Polygon(panel.corners_mm[piece])) < 1e-7


@pytest.mark.parametrize("name", NAMES)
def test_a_piece_runs_against_the_clock_as_the_bar_has_it_unless_face_down(name):
    panel = panel_of(name, turn_deg=17)
    x, y = np.moveaxis(panel.corners_mm, 2, 0)
    signed = (x * np.roll(y, -1, 1) - np.roll(x, -1, 1) * y).sum(axis=1)
    assert ((signed < 0) == panel.face_down).all()


@pytest.mark.parametrize("name", NAMES)
def test_what_is_seen_runs_against_the_clock_and_repeats_no_corner(name):
    for points in panel_of(name, 317.3, 211.9, 17).visible_mm:
        assert shapely.LinearRing(points).is_ccw
        assert np.hypot(*(points - np.roll(points, 1, axis=0)).T).min() > 0


@pytest.mark.parametrize("name", NAMES)
def test_a_piece_counts_as_clipped_where_shapely_finds_it_beyond_the_frame(name):
    panel = panel_of(name, turn_deg=17)
    frame = shapely.box(0, 0, 600, 400).buffer(1e-6)
    whole = [frame.covers(shapely.Polygon(corners).convex_hull) for corners in panel.corners_mm]
    assert (panel.clipped == ~np.array(whole)).all()


def test_numbers_run_by_rows_from_the_top_and_from_the_left():
    panel = panel_of("basket", 400, 240)
    middles = np.array([piece.centroid.coords[0] for piece in polygons(panel)])
    assert panel.number.tolist() == list(range(1, 61))
    rows = (-middles[:, 1].round(6)).reshape(6, 10)
    assert (rows == rows[:, :1]).all()
    assert (np.diff(rows[:, 0]) > 0).all()
    assert (np.diff(middles[:, 0].reshape(6, 10), axis=1) > 0).all()


def test_stripes_point_as_pieces_are_turned():
    panel = panel_of("squares", turn_deg=30)
    assert set(panel.stripe_deg.round(6)) == {30.0, 120.0}
    assert panel.stripe_deg == pytest.approx(panel.turn_deg % 180)


def test_turning_a_pattern_turns_it_about_its_origin():
    straight = panel_of("star8", 2000, 2000, origin=(1000, 1000))
    turned = panel_of("star8", 2000, 2000, 90, origin=(1000, 1000))
    there = straight.middle_mm - 1000
    spots = {(round(-y, 5) + 0.0, round(x, 5) + 0.0) for x, y in there}
    assert spots == {(round(x, 5) + 0.0, round(y, 5) + 0.0) for x, y in turned.middle_mm - 1000}


@pytest.mark.parametrize("name", NAMES)
def test_moving_the_origin_by_a_repeat_changes_nothing(name):
    (step, _) = example(name).lattice
    one, other = panel_of(name, origin=(50, 60)), panel_of(name, origin=(50 + step[0], 60 + step[1]))
    assert np.allclose(one.corners_mm, other.corners_mm, atol=1e-6)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("glue_mm", [0.1, 0.4])
def test_a_glue_line_lies_between_pieces_and_not_along_the_frame(name, glue_mm):
    panel = panel_of(name, glue_mm=glue_mm)
    whole = ~panel.clipped
    pitch = [shapely.Polygon(points) for points in panel.outline_mm[whole]]
    for piece, cut in zip(pitch, np.array(polygons(panel))[whole], strict=True):
        inner = piece.buffer(-glue_mm / 2, join_style="mitre", mitre_limit=50)
        assert inner.symmetric_difference(cut).area < 1e-5
    sides = shapely.unary_union(polygons(panel)).bounds
    assert sides == pytest.approx((0, 0, 600, 400), abs=glue_mm)
    assert panel.visible_area_mm2.sum() < 600 * 400


def test_saw_sizes_follow_the_glue_line():
    panel = panel_of("basket", 400, 240, glue_mm=0.2)
    assert (panel.shapes[0].bar_mm, panel.shapes[0].near_mm) == pytest.approx((39.8, 39.8))


@pytest.mark.parametrize("name", NAMES)
def test_overhang_adds_pieces_beyond_the_frame_but_no_area_to_it(name):
    panel = panel_of(name, overhang_mm=5)
    assert panel.visible_area_mm2.sum() == pytest.approx(240_000, rel=1e-9)
    assert sum(piece.area for piece in polygons(panel)) == pytest.approx(610 * 410, rel=1e-9)
    assert shapely.unary_union(polygons(panel), grid_size=GRID).bounds == pytest.approx((-5, -5, 605, 405))


def test_slivers_are_the_pieces_of_which_little_is_seen():
    panel = panel_of("basket", 401, 240, origin=(0, 0))
    assert [panel.visible_area_mm2[index] for index in panel.slivers(0.05)] == pytest.approx([40] * 6)
    assert len(panel_of("basket", 400, 240).slivers(0.05)) == 0


def test_each_shape_may_come_from_a_block_of_its_own():
    oak, ash = Stack(strip_mm=2), Stack(strip_mm=1)
    panel = lay_out(example("star6"), 300, 200, [oak, ash])
    assert panel.pitch_mm.tolist() == [4, 3]


def test_a_block_too_few_is_refused():
    with pytest.raises(ValueError, match="star6 has 2 shapes, but there are 1 stacks"):
        lay_out(example("star6"), 300, 200, [Stack()])


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"width_mm": 0}, "width is 0 mm, which is too low"),
        ({"height_mm": math.nan}, "height is not a number"),
        ({"width_mm": 20_000}, "width is 20000 mm, which is too high"),
        ({"turn_deg": 500}, "turn is 500 °"),
        ({"glue_mm": -0.1}, "glue is -0.1 mm"),
        ({"overhang_mm": math.inf}, "overhang is not a number"),
        ({"origin": (math.nan, 0)}, "origin x is not a number"),
    ],
)
def test_a_panel_that_cannot_be_made_is_refused(changed, words):
    with pytest.raises(OutOfRange, match=words):
        lay_out(
            **{"pattern": example("basket"), "width_mm": 400, "height_mm": 240, "stack": Stack(), **changed}
        )


def test_more_pieces_than_anyone_could_lay_are_refused_at_once():
    with pytest.raises(OutOfRange, match="pieces is 60000 pieces, which is too high"):
        lay_out(PATTERNS["basket"](10), 3000, 2000, Stack())


def test_ten_thousand_pieces_are_laid_out():
    assert len(lay_out(PATTERNS["basket"](10), 1000, 1000, Stack()).number) == 10_000
