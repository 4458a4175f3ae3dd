import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.light.transmission import (
    absorption_per_mm,
    critical_angle_deg,
    normal_reflectance,
    reflectances,
    slab,
    tinted,
    tinted_depth_mm,
)
from materials.science.light.viewing import open_fraction
from tests.data.rows import rows

indices = st.floats(1.01, 2)


@pytest.mark.parametrize("row", rows("optics", quantity="Fresnel reflectance, one air face"))
def test_one_face_reflects_the_published_share(row):
    assert normal_reflectance(row["inputs"]["n"]) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="lossless slab"))
def test_a_clear_slab_passes_the_published_share(row):
    assert slab(row["inputs"]["n"]) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="critical angle"))
def test_the_critical_angle_is_the_published_one(row):
    assert critical_angle_deg(row["inputs"]["n"]) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="Fresnel reflectance air→epoxy at angle"))
def test_a_face_reflects_the_published_shares_at_an_angle(row):
    across, along = reflectances(row["inputs"]["n"], row["inputs"]["theta_deg"])
    found = {"Rs": across, "Rp": along, "mean": (across + along) / 2}
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="Brewster angle"))
def test_at_the_derived_angle_one_polarisation_is_not_reflected_at_all(row):
    index = row["inputs"]["n"]
    assert math.degrees(math.atan(index)) == pytest.approx(row["expected"], abs=row["tolerance"])
    assert reflectances(index, row["expected"])[1] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("row", rows("optics", quantity="Beer–Lambert worked example"))
def test_a_tint_reaches_the_published_share_at_the_published_thickness(row):
    tint = row["inputs"]
    found_cm = tinted_depth_mm(tint["T2"], tint["T1"], tint["l1_cm"] * 10) / 10
    assert found_cm == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="Beer–Lambert absorbance"))
def test_the_absorption_is_the_published_absorbance_in_natural_logarithms(row):
    found = absorption_per_mm(row["inputs"]["T"], 10) * 10 / math.log(10)
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("optics", quantity="Beer–Lambert thickness scaling"))
def test_a_tint_is_carried_to_another_thickness_as_published(row):
    tint = row["inputs"]
    found = tinted(tint["T_ref"], tint["l_mm"], tint["l_ref_mm"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


def test_a_slab_of_index_one_and_a_half_is_worked_by_hand():
    # R = (0.5/2.5)^2 = 0.04; one pass of two faces 0.96^2 = 0.9216;
    # all passes 0.96/1.04 = 0.923077 = 2n/(n^2+1)
    assert normal_reflectance(1.5) == pytest.approx(0.04)
    assert slab(1.5) == pytest.approx(0.923077, abs=5e-7)
    assert slab(1.5) == pytest.approx(2 * 1.5 / (1.5**2 + 1))


def test_the_brightness_along_the_strips_at_sixty_degrees_is_worked_by_hand():
    # index 1.5, strip = gap: half of the face is resin, all of it open, the slab passes 0.8482: 0.4241
    assert open_fraction(60, 2, 10, 1.5, stripe_deg=90) * 0.5 * slab(1.5, 60) == pytest.approx(
        0.4241, abs=5e-5
    )


def test_at_grazing_incidence_nothing_passes():
    assert slab(1.5, 90) == pytest.approx(0, abs=1e-12)


@given(st.floats(-90, 90))
def test_a_face_between_equal_media_reflects_nothing(angle_deg):
    assert slab(1, angle_deg) == pytest.approx(1)


@given(indices)
def test_straight_on_both_polarisations_reflect_alike(index):
    assert reflectances(index, 0) == pytest.approx((normal_reflectance(index),) * 2)


@given(indices, st.floats(0, 90))
def test_what_passes_is_a_fraction_and_never_more_than_straight_on_by_much(index, angle_deg):
    # between the polarisations it may rise a little near Brewster's angle, never above 1
    assert 0 <= slab(index, angle_deg) <= 1


@given(st.floats(0.01, 1), st.floats(0, 50), st.floats(0, 50))
def test_two_pieces_in_a_row_tint_like_one_of_their_thickness(fraction_at, one_mm, other_mm):
    both = tinted(fraction_at, one_mm, 10) * tinted(fraction_at, other_mm, 10)
    assert tinted(fraction_at, one_mm + other_mm, 10) == pytest.approx(both)


@given(st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_a_thickness_found_for_a_share_gives_that_share(fraction, fraction_at):
    depth_mm = tinted_depth_mm(fraction, fraction_at, 10)
    assert math.exp(-absorption_per_mm(fraction_at, 10) * depth_mm) == pytest.approx(fraction)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: normal_reflectance(0.99), "refractive index is 0.99"),
        (lambda: slab(1.5, 90.1), "angle is 90.1 °"),
        (lambda: tinted(0, 10, 10), "fraction at is 0"),
        (lambda: tinted(1.01, 10, 10), "fraction at is 1.01"),
        (lambda: tinted(0.5, -1, 10), "depth is -1 mm"),
        (lambda: tinted_depth_mm(0.5, 1, 10), "fraction at is 1,"),
    ],
)
def test_what_no_resin_can_have_is_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
