import itertools
import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.patterns.base import (
    Shape,
    cot,
    isosceles,
    parallelogram,
    rectangle,
    rhombus,
    right_triangle,
    trapezoid,
    turned,
)
from tests.projects.geometry.laid import NAMES, example

angles = st.floats(20, 160)
kerfs = st.floats(0, 4)


@st.composite
def shapes(draw, stripes=None):
    """Any piece that a saw could cut: the far edge at least touches."""
    bar, left, right = draw(st.floats(5, 200)), draw(angles), draw(angles)
    least = max(0.0, bar * (cot(left) - cot(right)))
    near = least + draw(st.floats(0, 200))
    assume(near > 1)
    return Shape("X", bar, near, left, right, 0 if stripes is None else draw(stripes))


def quad(shape):
    return shapely.Polygon(dict.fromkeys(shape.corners_mm))


@given(shapes())
def test_the_area_of_a_piece_is_that_of_its_corners(shape):
    assert quad(shape).area == pytest.approx(shape.area_mm2, rel=1e-9, abs=1e-6)


# each shape's bar, near edge and cuts, worked from its sides
@pytest.mark.parametrize(
    ("shape", "bar", "near", "left", "right", "handling"),
    [
        (rectangle("Q", 40, 40), 40, 40, 90, 90, "slide"),
        (rectangle("R", 60, 20), 20, 60, 90, 90, "slide"),
        (rhombus("R", 30, 60), 30 * math.sqrt(3) / 2, 30, 60, 60, "slide"),
        (parallelogram("P", 42, 60, 45), 60, 42, 45, 45, "slide"),
        (isosceles("T", 60, 45), 30, 60, 45, 135, "roll"),
        (isosceles("T", 40, 60), 20 * math.sqrt(3), 40, 60, 120, "roll"),
        (trapezoid("T", 60, 10, 60), 10, 60, 60, 120, "roll"),
        (right_triangle("R", 30, 40), 24, 50, math.degrees(math.atan(4 / 3)), 180 - 36.8698976458, "turn"),
        (right_triangle("R", 30, 30), 30 / math.sqrt(2), 30 * math.sqrt(2), 45, 135, "roll"),
    ],
    ids=lambda value: getattr(value, "name", None),
)
def test_a_shape_is_cut_as_worked_from_its_sides(shape, bar, near, left, right, handling):
    found = (shape.bar_mm, shape.near_mm, shape.left_deg, shape.right_deg)
    assert found == pytest.approx((bar, near, left, right))
    assert shape.handling == handling


FAR_MM = 20_000


def beside(at, angle, bar_mm, side_mm):
    """All that lies to one side of a line that leaves the near edge at a place and an angle."""
    foot, top = at - bar_mm * cot(angle), at + 2 * bar_mm * cot(angle)
    corners = [(foot, -bar_mm), (foot + side_mm, -bar_mm), (top + side_mm, 2 * bar_mm), (top, 2 * bar_mm)]
    return shapely.Polygon(corners)


def cut_up(shape, pieces, kerf_mm, first_mm):
    """A bar as a rectangle, parted by shapely between the sides of its cuts: pieces from left to right."""
    slots = shape.slots_mm(pieces, kerf_mm, first_mm)
    bar = shapely.box(-FAR_MM, 0, FAR_MM, shape.bar_mm)
    for (at, angle), (next_at, next_angle) in itertools.pairwise(slots):
        begin = at + kerf_mm / math.sin(math.radians(angle))
        right_of = bar.intersection(beside(begin, angle, shape.bar_mm, FAR_MM))
        yield right_of.intersection(beside(next_at, next_angle, shape.bar_mm, -FAR_MM))


@given(shapes(), st.integers(1, 7), kerfs, st.floats(0, 10))
def test_every_piece_of_a_cut_up_bar_is_the_shape_itself_or_turned_half_round(shape, pieces, kerf_mm, first):
    own = quad(shape)
    for index, parcel in enumerate(cut_up(shape, pieces, kerf_mm, first)):
        ring = shapely.affinity.rotate(own, 180) if index % 2 and not shape.slides else own
        moved = shapely.affinity.translate(
            ring, parcel.bounds[0] - ring.bounds[0], parcel.bounds[1] - ring.bounds[1]
        )
        assert parcel.hausdorff_distance(moved) < 1e-6


@given(shapes(), st.integers(1, 9), kerfs, st.floats(0, 10), st.floats(0, 60))
def test_a_bar_ends_where_its_last_cut_and_the_stub_say(shape, pieces, kerf_mm, trim, hold):
    slots = shape.slots_mm(pieces, kerf_mm, trim)
    at, angle = slots[-1]
    last = max(at, at + shape.bar_mm * cot(angle)) + kerf_mm / math.sin(math.radians(angle))
    assert shape.bar_length_mm(pieces, kerf_mm, trim + hold) == pytest.approx(last + hold)


@given(shapes(), st.integers(1, 9), kerfs)
def test_a_bar_begins_at_the_outermost_point_of_its_first_cut(shape, pieces, kerf_mm):
    at, angle = shape.slots_mm(pieces, kerf_mm, 3)[0]
    assert min(at, at + shape.bar_mm * cot(angle)) == pytest.approx(3)


@given(shapes(stripes=st.floats(0, 89)), st.integers(1, 6), kerfs, st.floats(1, 20))
def test_the_phases_along_a_bar_are_those_of_its_own_lines(shape, pieces, kerf_mm, pitch):
    """The bar's lines are drawn as points, and each piece asked where they lie in its own frame."""
    alpha = math.radians(shape.stripe_deg)
    across = (-math.sin(alpha), math.cos(alpha))
    slots = shape.slots_mm(pieces, kerf_mm)
    start = slots[0][0] + kerf_mm / math.sin(math.radians(slots[0][1]))
    for index, phase in enumerate(shape.bar_phases(pieces, pitch, kerf_mm)):
        at, angle = slots[index]
        corner = (at + kerf_mm / math.sin(math.radians(angle)), 0.0)
        half_round = index % 2 == 1 and not shape.slides
        if half_round:  # its near left corner is where its near edge, now on top, ends on the right
            right = slots[index + 1]
            corner = (right[0] + shape.bar_mm * cot(right[1]), shape.bar_mm)
        # a point on a line of the bar, seen from the piece
        line = shape.phase + across[0] * start
        point = (across[0] * line - corner[0], across[1] * line - corner[1])
        own = (-point[0], -point[1]) if half_round else point
        rest = (across[0] * own[0] + across[1] * own[1] - phase) % pitch
        assert min(rest, pitch - rest) < 1e-6


@given(st.floats(5, 80), st.floats(0, 1), st.floats(1, 10))
def test_turned_pieces_look_alike_only_if_a_strip_or_a_gap_is_on_the_centre_line(bar, share, pitch):
    triangle = Shape("T", bar, 2 * bar, 45, 135, phase_mm=share * pitch)
    first, second = triangle.bar_phases(2, pitch, 2)
    jump = (first - second) % pitch
    wanted = (2 * share * pitch - bar) % pitch
    assert min(abs(jump - wanted), pitch - abs(jump - wanted)) < 1e-6


@given(shapes(), st.floats(0.01, 1))
def test_a_glue_line_takes_the_same_from_all_edges_as_shapely_does(shape, half_mm):
    outline = quad(shape).buffer(-half_mm, join_style="mitre", mitre_limit=50)
    assume(not outline.is_empty and outline.geom_type == "Polygon" and outline.area > 1)
    # GEOS takes edges away that are short against the distance before it moves the outline
    assume(shape.far_mm < 1e-9 or shape.far_mm > half_mm)
    smaller, corner = shape.inset(half_mm)
    moved = shapely.affinity.translate(quad(smaller), *corner)
    # without a grid GEOS has given whole pieces as the difference of equal ones
    off = shapely.symmetric_difference(moved, outline, grid_size=1e-7).area
    assert off < 1e-5 * max(1, outline.area)


def test_a_glue_line_may_take_a_whole_near_edge_away():
    smaller, (_, low) = Shape("X", 40, 1.2, 60, 20).inset(1)
    assert (smaller.near_mm, round(low, 6)) == (0, 1.326422)


def test_a_glue_line_wider_than_the_piece_is_refused():
    with pytest.raises(OutOfRange, match="glue is 4 mm, which is too high"):
        rectangle("Q", 3, 3).inset(2)


def test_two_cuts_that_cross_inside_the_bar_are_refused():
    with pytest.raises(OutOfRange, match="far is -20 mm, which is too low"):
        Shape("X", 40, 60, 45, 135)


@pytest.mark.parametrize("name", NAMES)
def test_every_piece_of_a_pattern_has_a_strip_on_its_centre_line(name):
    assert all(shape.phase == shape.bar_mm / 2 for shape in example(name).shapes)


@given(st.floats(-720, 720), st.floats(-100, 100), st.floats(-100, 100))
def test_a_turn_keeps_lengths_and_its_own_angle(by_deg, x, y):
    found = turned(by_deg, (x, y))
    assert math.hypot(*found) == pytest.approx(math.hypot(x, y), abs=1e-9)
    assert turned(-by_deg, found) == pytest.approx((x, y), abs=1e-9)
