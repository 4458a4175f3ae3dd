import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.wood.species import density_kg_m3, modulus_across_gpa
from materials.science.wood.thermal import (
    conductivity_w_per_m_k,
    dry_specific_heat_kj_per_kg_k,
    specific_heat_kj_per_kg_k,
)
from tests.data.rows import rows


@pytest.mark.parametrize("row", rows("wood", quantity="k = G(B+Cx)+A"))
def test_wood_conducts_heat_as_published(row):
    found = conductivity_w_per_m_k(row["inputs"]["G"], row["inputs"]["x_pct"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("wood", quantity="k constants"))
def test_the_constants_of_conductivity_are_the_printed_ones(row):
    own = row["expected"]
    assert conductivity_w_per_m_k(1, 10) == pytest.approx(own["A"] + own["B"] + 10 * own["C"], abs=1e-12)


@pytest.mark.parametrize("row", rows("wood", quantity="heat capacity of moist wood"))
def test_moist_wood_holds_as_much_heat_as_in_the_documented_example(row):
    # copies of the relation that lose the minus signs or the exponents of the last term fail here
    own = row["inputs"]
    found = specific_heat_kj_per_kg_k(own["x_pct"], own["T_K"] - 273.15)
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("wood", quantity="heat capacity of dry wood"))
def test_dry_wood_holds_as_much_heat_as_published(row):
    found = dry_specific_heat_kj_per_kg_k(row["inputs"]["T_K"] - 273.15)
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("wood", quantity="density from SG"))
def test_density_counts_the_water(row):
    found = density_kg_m3(row["inputs"]["G_12"], row["inputs"]["M"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


def test_dry_wood_is_moist_wood_without_water():
    assert specific_heat_kj_per_kg_k(0, 25) == dry_specific_heat_kj_per_kg_k(25)


@given(st.floats(0.3, 1), st.floats(0, 24))
def test_damper_wood_conducts_better(gravity, moisture):
    assert conductivity_w_per_m_k(gravity, moisture + 1) > conductivity_w_per_m_k(gravity, moisture)


def test_a_strip_across_the_grain_is_eight_to_fifteen_times_less_stiff():
    # source: Wood Handbook, elastic ratios of sugar maple and bur oak
    assert 8 <= 12.6 / modulus_across_gpa(12.6) <= 16


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: conductivity_w_per_m_k(0.2, 12), "specific gravity is 0.2"),
        (lambda: conductivity_w_per_m_k(0.5, 26), "moisture is 26 %"),
        (lambda: specific_heat_kj_per_kg_k(12, 0), "temperature is 0 °C"),
        (lambda: specific_heat_kj_per_kg_k(31, 20), "moisture is 31 %"),
        (lambda: density_kg_m3(0.05, 12), "specific gravity is 0.05"),
    ],
)
def test_wood_outside_the_published_span_is_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
