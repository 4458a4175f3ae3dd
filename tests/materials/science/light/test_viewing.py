import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.light.viewing import cutoff_deg, open_fraction
from tests.data.rows import rows

sizes_mm = st.floats(0.2, 50)
indices = st.floats(1, 2)


@pytest.mark.parametrize("row", rows("optics", quantity="slot cut-off half-angle"))
def test_the_cut_off_is_the_derived_one(row):
    slot = row["inputs"]
    found = cutoff_deg(slot["g_mm"], slot["d_mm"], slot["n"])
    assert found == pytest.approx(row["expected"]["outside_deg"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="slot cut-off half-angle"))
def test_an_empty_slot_cuts_off_at_the_angle_inside(row):
    slot = row["inputs"]
    found = cutoff_deg(slot["g_mm"], slot["d_mm"], 1)
    assert found == pytest.approx(row["expected"]["inside_deg"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="unobstructed fraction"))
def test_the_open_fraction_is_the_derived_one(row):
    slot = row["inputs"]
    found = open_fraction(slot["view_deg"], slot["g_mm"], slot["d_mm"], slot["n"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize(
    ("gap_mm", "index", "cutoff"),
    [
        (2, 1, 11.3099),
        (2, 1.49, 16.9905),
        (2, 1.5, 17.1080),
        (2, 1.56, 17.8148),
        (1, 1.5, 8.5838),
        (3, 1.5, 25.5324),
        (10, 1.5, 90),
    ],
)
def test_the_cut_off_of_a_ten_millimetre_panel_is_that_of_the_closed_form(gap_mm, index, cutoff):
    # source: asin(n sin(atan(g/h))), worked apart from this code, four digits
    assert cutoff_deg(gap_mm, 10, index) == pytest.approx(cutoff, abs=5e-5)


@pytest.mark.parametrize(
    ("angle_deg", "stripe_deg", "fraction"),
    [
        (5, 0, 0.7090), (10, 0, 0.4173), (15, 0, 0.1241), (20, 0, 0),
        (10, 60, 0.7086), (20, 60, 0.4145), (30, 60, 0.1161),
        (10, 90, 1), (60, 90, 1),
    ],
)  # fmt: skip
def test_the_open_fraction_of_the_default_stack_is_that_of_the_closed_form(angle_deg, stripe_deg, fraction):
    # source: 1 - h (d_t . n_s) / (n cos inside) / g, worked apart from this code, four digits
    assert open_fraction(angle_deg, 2, 10, 1.5, stripe_deg) == pytest.approx(fraction, abs=5e-5)


def test_slots_wider_than_the_known_ratio_never_close():
    never = 1 / math.sqrt(1.5**2 - 1)  # 0.8944 for an index of 1.5
    assert cutoff_deg(never * 10 + 1e-3, 10, 1.5) == 90
    assert cutoff_deg(never * 10 - 1e-3, 10, 1.5) < 90


def rays_through(angle_deg, gap_mm, depth_mm, index, stripe_deg, rays=100_000):
    """The share of rays that meet no wall, counted: each is refracted and followed to the back."""
    across = np.radians(angle_deg), np.radians(stripe_deg)
    outside = np.array(
        [np.sin(across[0]) * np.cos(across[1]), np.sin(across[0]) * np.sin(across[1]), -np.cos(across[0])]
    )
    normal = np.array([0.0, 0.0, 1.0])
    cosine, ratio = -normal @ outside, 1 / index
    inside = ratio * outside + (ratio * cosine - np.sqrt(1 - ratio**2 * (1 - cosine**2))) * normal
    enters_mm = np.random.default_rng(7).uniform(0, gap_mm, rays)
    leaves_mm = enters_mm + inside[0] / -inside[2] * depth_mm
    return np.mean((leaves_mm >= 0) & (leaves_mm <= gap_mm))


@pytest.mark.parametrize("stripe_deg", [0, 30, 60, 90])
@pytest.mark.parametrize("angle_deg", [0, 5, 10, 15, 20, 35])
def test_the_open_fraction_agrees_with_a_count_of_rays(angle_deg, stripe_deg):
    counted = rays_through(angle_deg, 2, 10, 1.5, stripe_deg)
    assert open_fraction(angle_deg, 2, 10, 1.5, stripe_deg) == pytest.approx(counted, abs=5e-3)


@given(sizes_mm, sizes_mm, sizes_mm, indices)
def test_a_wider_gap_never_closes_sooner(one_mm, other_mm, depth_mm, index):
    narrow, wide = sorted((one_mm, other_mm))
    assert cutoff_deg(narrow, depth_mm, index) <= cutoff_deg(wide, depth_mm, index)


@given(sizes_mm, sizes_mm, sizes_mm, indices)
def test_a_thicker_panel_never_closes_later(gap_mm, one_mm, other_mm, index):
    thin, thick = sorted((one_mm, other_mm))
    assert cutoff_deg(gap_mm, thin, index) >= cutoff_deg(gap_mm, thick, index)


@given(st.floats(-90, 90), sizes_mm, sizes_mm, indices, st.floats(-360, 360))
def test_the_open_fraction_is_a_fraction_and_the_same_from_left_and_right(
    angle, gap_mm, depth_mm, index, stripe
):
    fraction = open_fraction(angle, gap_mm, depth_mm, index, stripe)
    assert 0 <= fraction <= 1
    assert fraction == open_fraction(-angle, gap_mm, depth_mm, index, stripe)


@given(sizes_mm, sizes_mm, indices)
def test_nothing_is_left_open_just_beyond_the_cut_off(gap_mm, depth_mm, index):
    beyond = cutoff_deg(gap_mm, depth_mm, index) + 1e-4
    if beyond < 90:
        assert open_fraction(beyond, gap_mm, depth_mm, index) < 1e-3
        assert open_fraction(beyond - 2e-4, gap_mm, depth_mm, index) > 0


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: cutoff_deg(0, 10, 1.5), "gap is 0 mm"),
        (lambda: cutoff_deg(2, -1, 1.5), "depth is -1 mm"),
        (lambda: cutoff_deg(2, 10, 0.9), "refractive index is 0.9"),
        (lambda: open_fraction(91, 2, 10, 1.5), "angle is 91 °"),
        (lambda: open_fraction(5, 2, 10, 1.5, stripe_deg=400), "stripe is 400 °"),
    ],
)
def test_a_slot_that_cannot_be_is_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
