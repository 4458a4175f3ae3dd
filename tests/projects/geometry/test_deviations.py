import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.deviations import base_jump_mm, gauge_growth_mm, rip_offset_mm, slide_offset_mm

turns = st.floats(0, 360)
crossings = st.floats(20, 160)


def unit(deg):
    return np.array([math.cos(math.radians(deg)), math.sin(math.radians(deg))])


def crossing(seam_deg, point, stripe_deg):
    """Where a stripe through a point crosses a seam through the origin, by shapely."""
    along, stripe = unit(seam_deg), unit(stripe_deg)
    seam = shapely.LineString([-900 * along, 900 * along])
    found = seam.intersection(shapely.LineString([point - 900 * stripe, point + 900 * stripe]))
    return np.array(found.coords[0]) @ along


@given(st.tuples(st.floats(-3, 3), st.floats(-3, 3)), turns, crossings)
def test_a_piece_that_slips_moves_the_crossings_of_its_stripes(slide, seam_deg, gamma):
    found = slide_offset_mm(slide, seam_deg + gamma, seam_deg)
    assert found == pytest.approx(crossing(seam_deg, np.array(slide), seam_deg + gamma), abs=1e-6)


@given(st.floats(-5, 5), turns, crossings)
def test_a_slip_along_its_own_stripes_costs_nothing(far_mm, seam_deg, gamma):
    slide = tuple(far_mm * unit(seam_deg + gamma))
    assert slide_offset_mm(slide, seam_deg + gamma, seam_deg) == pytest.approx(0, abs=1e-9)


@given(st.floats(-2, 2), turns, crossings)
def test_a_strip_off_its_place_crosses_the_seam_elsewhere(error_mm, seam_deg, gamma):
    aside = -error_mm * unit(seam_deg + gamma + 90)
    assert rip_offset_mm(error_mm, gamma) == pytest.approx(
        crossing(seam_deg, aside, seam_deg + gamma), abs=1e-6
    )


@given(st.floats(0.01, 2), crossings)
def test_a_turned_neighbour_errs_the_other_way(error_mm, gamma):
    own, other = (crossing(0, side * error_mm * unit(gamma + 90), gamma) for side in (1, -1))
    assert abs(own - other) == pytest.approx(rip_offset_mm(error_mm, gamma, turned=True))


@given(crossings, st.floats(-1, 1), st.floats(20, 200))
def test_a_side_cut_askew_is_longer_or_shorter_between_the_same_two_stripes(gamma, error, length):
    """A bar's stripes run along x; two of them are crossed by the seam as planned and by the one cut."""
    height = length * math.sin(math.radians(gamma))
    stripe = shapely.LineString([(-2000, height), (2000, height)])
    planned, cut = (
        shapely.Point(0, 0).distance(stripe.intersection(shapely.LineString([(0, 0), 1500 * unit(angle)])))
        for angle in (gamma, gamma + error)
    )
    assert gauge_growth_mm(length, gamma, error) == pytest.approx(cut - planned, abs=1e-6)


def test_a_gauge_off_where_stripes_cross_squarely_costs_almost_nothing():
    assert gauge_growth_mm(100, 90, 0.5) == pytest.approx(0.0038, abs=0.0001)


@given(crossings, st.floats(-1, 1), st.floats(20, 200))
def test_the_same_error_on_both_mirrored_sides_lets_stripes_meet(gamma, error, length):
    grown = [gauge_growth_mm(length, gamma, error), gauge_growth_mm(length, 180 - gamma, -error)]
    assert grown[0] == pytest.approx(grown[1], abs=1e-9)


@given(st.floats(30, 70), st.floats(-1, 1))
def test_a_triangle_with_too_long_a_base_stands_out_of_its_ring_as_drawn(base_deg, error_mm):
    """Two rays from the middle; the base as planned and as cut between them:
    the height of an isosceles triangle on each base."""
    ray = shapely.LineString([(0, 0), 900 * unit(base_deg)])
    heights, along = [], []
    for base in (60.0, 60.0 + error_mm):
        corner = ray.intersection(shapely.LineString([(base / 2, -1), (base / 2, 900)]))
        heights.append(corner.y)
        along.append(shapely.Point(0, 0).distance(corner))
    jump, out = base_jump_mm(error_mm, base_deg)
    assert heights[1] - heights[0] == pytest.approx(out, abs=1e-9)
    assert along[1] - along[0] == pytest.approx(jump, abs=1e-9)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: slide_offset_mm((1, 1), 30, 30), "crossing is 0 °"),
        (lambda: rip_offset_mm(1, 0), "crossing is 0 °"),
        (lambda: gauge_growth_mm(60, 60, 20), "error is 20 °"),
        (lambda: base_jump_mm(1, 90), "base is 90 °"),
    ],
)
def test_what_has_no_crossing_is_refused(wrong, words):
    with pytest.raises(OutOfRange, match=words):
        wrong()
