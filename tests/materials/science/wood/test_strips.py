import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange, UnknownName
from materials.science.wood.strips import (
    bow_mm,
    capillary_head_mm,
    float_force_n,
    hold_down_g,
    largest_span_mm,
    stack_growth_mm,
)
from tests.data.rows import rows

GRAVITY = 9.80665


def head_mm(pressure_pa):
    return 1000 * pressure_pa / (1100 * GRAVITY)


def as_beam(load_n_per_m, span_m, modulus_pa, inertia_m4):
    """A published beam, worked by the strip of the same stiffness that is a metre high."""
    thickness_mm = 50.0  # any: modulus and load are scaled to it
    modulus = modulus_pa * inertia_m4 / ((thickness_mm / 1000) ** 3 / 12)
    scale = 1e3 / modulus * 1e7  # keeps modulus and head inside what a strip may have
    return bow_mm(thickness_mm, 1000 * span_m, head_mm(load_n_per_m * scale), modulus * scale / 1e9)


@pytest.mark.parametrize("row", rows("strips", quantity="simply supported UDL"))
def test_a_strip_bows_like_the_beam_of_the_tables(row):
    # another page prints 10 mm for the second of these, which its own formula does not give
    own = row["inputs"]
    if "w_N_mm" in own:
        beam = (own["w_N_mm"] * 1e3, own["L_mm"] / 1e3, own["E_MPa"] * 1e6, own["I_mm4"] * 1e-12)
    else:
        beam = (own["w_N_m"], own["L_m"], own["E_Pa"], own["I_m4"])
    assert as_beam(*beam) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("strips", quantity="pressure from head"))
def test_a_head_of_resin_presses_as_hydrostatics_says(row):
    own = row["inputs"]
    # the bow of a strip that bows by 1 mm a pascal
    modulus = 0.15625 * 0.1**4 / (0.001**3 * 0.001) / 1e9
    found = bow_mm(1, 100, own["dh_mm"], modulus * 100, resin_density_kg_m3=own["rho"]) * 100
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("strips", quantity="mid-span deflection"))
def test_a_strip_between_combs_bows_as_worked_out(row):
    own = row["inputs"]
    at = (own["t_mm"], own["L_mm"], head_mm(own["p_Pa"]), own["E_GPa"])
    assert bow_mm(*at) == pytest.approx(row["expected"]["SS_mm"], rel=0.01)
    assert bow_mm(*at, ends="fixed") == pytest.approx(row["expected"]["fixed_mm"], rel=0.01)


@pytest.mark.parametrize(
    "row", [*rows("strips", quantity="max comb"), *rows("strips", quantity="same, cross")]
)
def test_combs_may_stand_as_far_apart_as_worked_out(row):
    own = row["inputs"]
    found = largest_span_mm(own["t_mm"], head_mm(own["p_Pa"]), own["E_GPa"], 0.1)
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize(
    ("thickness_mm", "span_mm", "dh_mm", "simple", "fixed"),
    [
        (0.6, 100, 10, 0.780, 0.156),
        (1, 100, 10, 0.169, 0.034),
        (0.6, 60, 10, 0.101, 0.020),
        (2, 150, 20, 0.213, 0.043),
    ],
)
def test_strips_of_stiffness_ten_bow_by_the_reference_figures(thickness_mm, span_mm, dh_mm, simple, fixed):
    # source: hand calculation with 5 q L^4 / 384 E I, printed to three digits
    assert bow_mm(thickness_mm, span_mm, dh_mm, 10) == pytest.approx(simple, abs=0.0006)
    assert bow_mm(thickness_mm, span_mm, dh_mm, 10, "fixed") == pytest.approx(fixed, abs=0.0006)


@pytest.mark.parametrize(
    ("thickness_mm", "span_mm", "allowed_mm"), [(0.6, 100, 1.3), (1, 100, 5.9), (0.6, 60, 9.9), (2, 150, 9.4)]
)
def test_a_tenth_of_a_millimetre_allows_the_reference_heads(thickness_mm, span_mm, allowed_mm):
    # source: the same hand calculation solved for the head, printed to one decimal
    assert 0.1 / bow_mm(thickness_mm, span_mm, 1, 10) == pytest.approx(allowed_mm, abs=0.051)


def test_a_strip_with_its_grain_across_bows_sixteen_times_as_much():
    assert bow_mm(0.6, 60, 10, 0.6) / bow_mm(0.6, 60, 10, 10) == pytest.approx(16.7, abs=0.1)


@pytest.mark.parametrize(("gap_mm", "head"), [(0.5, 12.4), (1, 6.2), (2, 3.1)])
def test_wet_strips_are_drawn_together_by_the_reference_heads(gap_mm, head):
    # source: 2 gamma cos(theta) / b by hand: 134, 67 and 33 Pa
    assert capillary_head_mm(gap_mm) == pytest.approx(head, abs=0.051)


def test_sixty_walnut_strips_push_up_with_three_newtons():
    # source: hand calculation: 1 x 20 x 600 mm of 640 kg/m³ in resin of 1100, 0.054 N a strip, 3.2 for sixty
    one = float_force_n(1, 20, 600, 640)
    assert one == pytest.approx(0.054, abs=0.0005)
    assert 60 * one == pytest.approx(3.2, abs=0.05)


def test_twenty_strips_grow_by_their_tolerance_and_by_their_film():
    # source: hand calculation: 20 x 0.03 = 0.6 mm; 20 x 2 x 0.1 = 4 mm
    assert stack_growth_mm(20, 0, 0.03) == pytest.approx(0.6)
    assert stack_growth_mm(20, 0.1) == pytest.approx(4.0)


@given(st.floats(0.3, 5), st.floats(0.5, 50), st.floats(0.5, 20), st.floats(0.01, 1))
def test_the_largest_span_bows_by_just_the_limit(thickness_mm, dh_mm, modulus_gpa, limit_mm):
    span_mm = largest_span_mm(thickness_mm, dh_mm, modulus_gpa, limit_mm)
    assert bow_mm(thickness_mm, span_mm, dh_mm, modulus_gpa) == pytest.approx(limit_mm, rel=1e-9)


@given(st.floats(0.1, 100))
def test_a_weight_of_the_given_mass_is_twice_the_force(force_n):
    assert hold_down_g(force_n) / 1000 * GRAVITY == pytest.approx(2 * force_n)


@pytest.mark.parametrize(
    ("call", "fault", "words"),
    [
        (lambda: bow_mm(0, 60, 10, 10), OutOfRange, "thickness is 0 mm"),
        (lambda: bow_mm(1, 60, -1, 10), OutOfRange, "head is -1 mm"),
        (lambda: bow_mm(1, 60, 10, 10, "loose"), UnknownName, 'called "loose"; known are: fixed, simple'),
        (lambda: largest_span_mm(1, 0, 10, 0.1), OutOfRange, "head is 0 mm"),
        (lambda: float_force_n(1, 20, 600, 0), OutOfRange, "wood density is 0"),
        (lambda: capillary_head_mm(0), OutOfRange, "gap is 0 mm"),
        (lambda: stack_growth_mm(0, 0.1), OutOfRange, "strips is 0"),
    ],
)
def test_strips_that_cannot_be_are_refused(call, fault, words):
    with pytest.raises(fault, match=words):
        call()
