import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.resin.mixing import (
    mass_ratio,
    mixed_density_g_ml,
    part_b_for_actual_a_g,
    part_masses_g,
    part_volumes_ml,
    parts_by_mass_from_volume,
    ratio_error_percent,
    ratio_verdict,
    volume_ratio,
)
from tests.data.rows import rows

masses_g = st.floats(0.1, 50_000)
densities = st.floats(0.8, 1.4)
parts = st.tuples(st.floats(1, 500), st.floats(1, 500))


# --- published and derived rows ---


@pytest.mark.parametrize("row", rows("mixing", quantity="ratio by volume → by weight"))
def test_a_ratio_by_volume_becomes_the_printed_ratio_by_mass(row):
    given_ = row["inputs"]
    found = mass_ratio(given_["vol_ratio"], given_["rhoA_over_rhoB"], 1.0)
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("mixing", quantity="ratio by volume 2:1"))
def test_the_density_ratio_of_a_sheet_with_both_ratios_turns_one_into_the_other(row):
    parts_a, parts_b = (float(part) for part in row["inputs"]["wt"].split(":"))
    found = (parts_a / parts_b) / mass_ratio(row["inputs"]["vol_ratio"], 1.0, 1.0)
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])
    assert mass_ratio(row["inputs"]["vol_ratio"], found, 1.0) == pytest.approx(parts_a / parts_b)


@pytest.mark.parametrize("row", rows("mixing", quantity="volume ratio from weight ratio"))
def test_a_ratio_by_mass_becomes_the_derived_ratio_by_volume(row):
    given_ = row["inputs"]
    found = volume_ratio(given_["wt_A"] / given_["wt_B"], given_["rhoA"], given_["rhoB"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("mixing", quantity="mixed density"))
def test_the_mixed_density_is_that_of_added_volumes(row):
    given_ = row["inputs"]
    found = mixed_density_g_ml((given_["wt_A"], given_["wt_B"]), given_["rhoA"], given_["rhoB"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


# --- worked by hand: a cup of 454.5 g, 100 A to 45 B by mass, 1.12 and 0.98 g/ml ---
# A = 454.5 * 100/145 = 313.448 g, B = 454.5 * 45/145 = 141.052 g
# A = 313.448 / 1.12 = 279.864 ml, B = 141.052 / 0.98 = 143.930 ml


def test_a_cup_is_split_as_worked_by_hand():
    assert part_masses_g(454.5, (100, 45)) == pytest.approx((313.448, 141.052), abs=0.001)


def test_a_cup_has_the_volumes_worked_by_hand():
    assert part_volumes_ml(454.5, (100, 45), 1.12, 0.98) == pytest.approx((279.864, 143.930), abs=0.001)


def test_part_b_follows_the_part_a_that_was_weighed():
    # 1 g too much A: 314.448 * 45/100 = 141.502 g
    assert part_b_for_actual_a_g(314.448, (100, 45)) == pytest.approx(141.502, abs=0.001)


def test_too_much_b_is_a_positive_error():
    # 314.5 g A wants 141.525 g B; 142 g is 142/141.525 - 1 = +0.3356 %
    assert ratio_error_percent(314.5, 142, (100, 45)) == pytest.approx(0.3356, abs=0.0001)


def test_a_cup_without_b_is_a_hundred_percent_short():
    assert ratio_error_percent(100, 0, (2, 1)) == -100


# --- verdict ---


@pytest.mark.parametrize(
    ("error_percent", "verdict"),
    [
        (0, "clear"),
        (2, "clear"),
        (-2, "clear"),
        (2.01, "caution"),
        (-5, "caution"),
        (5, "caution"),
        (5.01, "stop"),
        (-100, "stop"),
    ],
)
def test_the_verdict_changes_beyond_two_and_beyond_five_percent(error_percent, verdict):
    assert ratio_verdict(error_percent) == verdict


def test_a_cup_exactly_at_the_tolerance_is_clear_in_spite_of_rounding():
    error_percent = ratio_error_percent(350, 160.65, (100, 45))  # 2.0000000000000018 %
    assert error_percent > 2
    assert ratio_verdict(error_percent) == "clear"


def test_the_sheets_own_tolerance_replaces_the_default():
    assert ratio_verdict(3, tolerance_percent=3) == "clear"


def test_a_tolerance_wider_than_the_stop_is_refused():
    with pytest.raises(OutOfRange, match="tolerance is 6 %"):
        ratio_verdict(1, tolerance_percent=6)


# --- properties ---


@given(masses_g, parts)
def test_the_parts_add_up_to_the_cup(mixed_mass_g, parts_by_mass):
    assert sum(part_masses_g(mixed_mass_g, parts_by_mass)) == pytest.approx(mixed_mass_g)


@given(masses_g, parts)
def test_a_cup_mixed_as_told_has_no_error(mixed_mass_g, parts_by_mass):
    a_g, b_g = part_masses_g(mixed_mass_g, parts_by_mass)
    assert ratio_error_percent(a_g, b_g, parts_by_mass) == pytest.approx(0, abs=1e-9)
    assert part_b_for_actual_a_g(a_g, parts_by_mass) == pytest.approx(b_g)


@given(st.floats(0.1, 20), densities, densities)
def test_a_ratio_goes_to_mass_and_back(ratio, density_a, density_b):
    assert volume_ratio(mass_ratio(ratio, density_a, density_b), density_a, density_b) == pytest.approx(ratio)


@given(parts, densities, densities)
def test_parts_by_volume_mixed_by_mass_have_the_volumes_of_the_sheet(parts_by_volume, density_a, density_b):
    parts_by_mass = parts_by_mass_from_volume(parts_by_volume, density_a, density_b)
    a_ml, b_ml = part_volumes_ml(100, parts_by_mass, density_a, density_b)
    assert a_ml / b_ml == pytest.approx(parts_by_volume[0] / parts_by_volume[1])


@given(parts, densities, densities)
def test_the_mixed_density_lies_between_those_of_the_parts(parts_by_mass, density_a, density_b):
    low, high = sorted((density_a, density_b))
    assert low - 1e-9 <= mixed_density_g_ml(parts_by_mass, density_a, density_b) <= high + 1e-9


@given(masses_g, parts, densities, densities)
def test_volumes_and_mixed_density_give_back_the_mass(mixed_mass_g, parts_by_mass, density_a, density_b):
    volume_ml = sum(part_volumes_ml(mixed_mass_g, parts_by_mass, density_a, density_b))
    density = mixed_density_g_ml(parts_by_mass, density_a, density_b)
    assert volume_ml * density == pytest.approx(mixed_mass_g)


# --- refused ---


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: part_masses_g(0, (100, 45)), "mixed mass is 0 g"),
        (lambda: part_masses_g(100, (100, 0)), "is 0 parts"),
        (lambda: part_b_for_actual_a_g(-1, (100, 45)), "part A is -1 g"),
        (lambda: ratio_error_percent(100, -1, (100, 45)), "part B is -1 g"),
        (lambda: mass_ratio(2, 112, 0.98), "density a is 112 g/ml"),
        (lambda: volume_ratio(2, 1.12, 0), "density b is 0 g/ml"),
        (lambda: mixed_density_g_ml((100, float("nan")), 1.1, 1), "not a number"),
    ],
)
def test_what_no_cup_can_have_is_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
