import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from projects.geometry.clipping import CUT, areas, kept, middles, widened, within

corners = st.tuples(st.floats(-50, 50), st.floats(-50, 50))


@st.composite
def convex(draw):
    """A convex polygon with three or four corners, counter-clockwise."""
    points = draw(st.lists(corners, min_size=3, max_size=8))
    hull = shapely.MultiPoint(points).convex_hull
    if hull.geom_type != "Polygon" or hull.area < 1:
        hull = shapely.box(0, 0, 30, 20)
    ring = np.array(hull.exterior.coords)[:-1][:4]
    return ring if shapely.LinearRing(ring).is_ccw else ring[::-1]


def padded(ring):
    return widened(ring[None], np.arange(len(ring))[None], 4)


@given(convex(), corners, corners)
def test_a_polygon_in_a_rectangle_has_the_area_that_shapely_finds(ring, one, other):
    low, high = np.minimum(one, other), np.maximum(one, other)
    points, _ = within(*padded(ring), low, high)
    expected = shapely.Polygon(ring).intersection(shapely.box(*low, *high)).area
    assert areas(points)[0] == pytest.approx(expected, abs=1e-6)


@given(convex(), st.floats(0, 360), st.floats(-60, 60))
def test_both_sides_of_a_line_make_the_whole(ring, angle_deg, limit):
    normal = np.array([[np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))]])
    one, _ = kept(*padded(ring), normal, np.array([limit]))
    other, _ = kept(*padded(ring), -normal, np.array([-limit]))
    assert areas(one)[0] + areas(other)[0] == pytest.approx(areas(ring[None])[0], abs=1e-6)


@given(convex())
def test_a_middle_is_where_shapely_has_it(ring):
    centre = shapely.Polygon(ring).centroid
    assert middles(padded(ring)[0])[0] == pytest.approx((centre.x, centre.y), abs=1e-6)


def test_what_a_cut_lays_open_is_marked_and_all_else_keeps_its_mark():
    square = np.array([[[0.0, 0], [4, 0], [4, 4], [0, 4]]])
    points, tags = kept(square, np.arange(4)[None], np.array([[1.0, 0]]), np.array([3.0]))
    sides = {
        (tuple(a), tuple(b)): tag
        for a, b, tag in zip(points[0], np.roll(points[0], -1, 0), tags[0], strict=True)
    }
    assert sides == {((0, 0), (3, 0)): 0, ((3, 0), (3, 4)): CUT, ((3, 4), (0, 4)): 2, ((0, 4), (0, 0)): 3}


def test_a_polygon_beyond_the_line_has_no_area():
    square = np.array([[[0.0, 0], [4, 0], [4, 4], [0, 4]]])
    points, _ = kept(square, np.arange(4)[None], np.array([[1.0, 0]]), np.array([-1.0]))
    assert areas(points)[0] == 0


def test_many_polygons_are_cut_as_if_each_were_alone():
    rng = np.random.default_rng(5)
    squares = np.array([[0.0, 0], [4, 0], [4, 4], [0, 4]]) + rng.uniform(-5, 5, (50, 1, 2))
    angle = rng.uniform(0, 6.28, 50)
    normals, limits = np.stack([np.cos(angle), np.sin(angle)], axis=1), rng.uniform(-3, 3, 50)
    together, _ = kept(squares, np.zeros((50, 4), dtype=int), normals, limits)
    alone = [
        areas(
            kept(squares[n : n + 1], np.zeros((1, 4), dtype=int), normals[n : n + 1], limits[n : n + 1])[0]
        )[0]
        for n in range(50)
    ]
    assert areas(together) == pytest.approx(alone)
