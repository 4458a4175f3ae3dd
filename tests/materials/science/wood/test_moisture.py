import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.wood.moisture import (
    LEAST_DEW_MARGIN_K,
    content_percent,
    dew_margin_k,
    dew_point_c,
    dry_basis_percent,
    equilibrium_percent,
)
from tests.data.rows import rows

airs_c = st.floats(0, 55)
humidities = st.floats(5, 95)


def celsius(row):
    return row["inputs"]["T_C"] if "T_C" in row["inputs"] else (row["inputs"]["T_F"] - 32) / 1.8


@pytest.mark.parametrize("row", rows("moisture", quantity="EMC"))
def test_wood_comes_to_the_published_moisture(row):
    found = equilibrium_percent(celsius(row), row["inputs"]["RH_pct"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("moisture", quantity="dew point"))
def test_the_dew_point_agrees_with_another_pair_of_published_constants(row):
    found = dew_point_c(row["inputs"]["T_C"], row["inputs"]["RH_pct"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("moisture", quantity="MC from masses"))
def test_moisture_follows_from_two_weighings(row):
    found = content_percent(row["inputs"]["m_wet_g"], row["inputs"]["m_dry_g"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("moisture", quantity="wet-basis to dry-basis"))
def test_a_wet_basis_becomes_the_dry_basis(row):
    assert dry_basis_percent(row["inputs"]["wet_basis_pct"]) == pytest.approx(
        row["expected"], abs=row["tolerance"]
    )


@pytest.mark.parametrize("row", rows("clock", quantity="minimum margin above dew point"))
def test_the_least_dew_margin_is_the_published_one(row):
    assert row["expected"]["C"] == LEAST_DEW_MARGIN_K


@pytest.mark.parametrize(("humidity_percent", "moisture"), [(65, 12.00), (50, 9.27)])
def test_the_two_rooms_that_wrong_copies_of_the_equation_miss(humidity_percent, moisture):
    # source: Wood Handbook eq. 4-5 in °C; copies with °F constants, swapped inputs or a lost term fail here
    assert equilibrium_percent(20, humidity_percent) == pytest.approx(moisture, abs=0.005)


@pytest.mark.parametrize(
    ("temp_c", "humidity_percent", "moisture"),
    [
        (21.1, 45, 8.5),
        (21.1, 50, 9.2),
        (21.1, 75, 14.4),
        (21.1, 80, 16.0),
        (-1.1, 75, 14.9),
        (15.6, 50, 9.4),
        (32.2, 60, 10.5),
    ],
)
def test_wood_comes_to_the_moisture_of_further_cells_of_the_table(temp_c, humidity_percent, moisture):
    # source: Wood Handbook FPL-GTR-282 (2021), Table 4-2; printed to one decimal
    assert equilibrium_percent(temp_c, humidity_percent) == pytest.approx(moisture, abs=0.06)


def test_the_dew_point_of_a_common_room_is_the_published_one():
    # source: a resin maker's guide works it for 20 °C and 50 %: 9.27 °C
    assert dew_point_c(20, 50) == pytest.approx(9.27, abs=0.01)


def test_the_margin_counts_from_the_surface_and_not_from_the_air():
    assert dew_margin_k(12, 20, 50) == pytest.approx(12 - 9.27, abs=0.01)


@given(airs_c, humidities, humidities)
def test_damper_air_never_makes_drier_wood(temp_c, one, other):
    dry, damp = sorted((one, other))
    assert equilibrium_percent(temp_c, dry) <= equilibrium_percent(temp_c, damp)


@given(airs_c, st.floats(1, 100))
def test_the_dew_point_is_never_above_the_air(temp_c, humidity_percent):
    assert dew_point_c(temp_c, humidity_percent) <= temp_c + 1e-9


@given(airs_c)
def test_in_saturated_air_the_dew_point_is_the_air(temp_c):
    assert dew_point_c(temp_c, 100) == pytest.approx(temp_c, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: equilibrium_percent(60, 50), "temperature is 60 °C"),
        (lambda: equilibrium_percent(20, 100), "humidity is 100 %"),
        (lambda: equilibrium_percent(65, 20), "temperature is 65 °C"),
        (lambda: dew_point_c(20, 0), "humidity is 0 %"),
        (lambda: dew_point_c(-1, 50), "temperature is -1 °C"),
        (lambda: content_percent(900, 1000), "wet is 900 g"),
        (lambda: dry_basis_percent(100), "wet basis is 100 %"),
    ],
)
def test_air_and_wood_outside_the_published_span_are_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
