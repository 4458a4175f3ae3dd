import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.reference.load import finishes
from materials.science.surface.finishes import area_of_panel_m2, coverage_from_us_m2_l, volume_ml, wet_film_um
from tests.data.rows import rows


@pytest.mark.parametrize("row", rows("finishes", quantity="volume for panel"))
def test_a_panel_takes_as_much_as_worked_out(row):
    own = row["inputs"]
    area_m2 = area_of_panel_m2(own["w_mm"], own["h_mm"], own["t_mm"])
    found = volume_ml(area_m2, own["coverage_m2_L"], own["coats"]) * (1 + own["loss"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("finishes", quantity="theoretical wet film"))
def test_a_wet_coat_is_as_thick_as_worked_out(row):
    assert wet_film_um(row["inputs"]["coverage_m2_L"]) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("finishes", quantity="waterborne"))
def test_square_feet_a_gallon_become_square_metres_a_litre(row):
    found = [coverage_from_us_m2_l(value) for value in row["inputs"]["ft2_per_gal"]]
    assert found == pytest.approx([row["expected"]["low"], row["expected"]["high"]], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("finishes", quantity="Danish oil"))
def test_danish_oil_goes_as_far_as_printed(row):
    oil = next(finish for finish in finishes() if finish.name == "Danish oil")
    assert oil.usual_m2_per_l == pytest.approx(row["expected"], abs=row["tolerance"])
    assert oil.penetrates


def test_a_quoted_six_hundred_square_feet_is_true_of_the_imperial_gallon_only():
    # source: 600 ft² a gallon is quoted for Danish oil's 12.5 m²/l; with the US gallon it would be 14.7
    assert coverage_from_us_m2_l(600) == pytest.approx(14.7, abs=0.05)
    assert coverage_from_us_m2_l(600) * 3.785411784 / 4.54609 == pytest.approx(12.3, abs=0.05)


@given(st.floats(0.01, 10), st.floats(1, 50), st.floats(0, 1))
def test_oil_is_taken_by_the_wood_alone(area_m2, coverage, share):
    whole = volume_ml(area_m2, coverage, 2)
    assert volume_ml(area_m2, coverage, 2, share) == pytest.approx(share * whole)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: volume_ml(0, 12, 1), "area is 0 m²"),
        (lambda: volume_ml(1, 0, 1), "coverage is 0 m²/l"),
        (lambda: volume_ml(1, 12, 0), "coats is 0"),
        (lambda: volume_ml(1, 12, 1, 1.1), "wood fraction is 1.1"),
        (lambda: area_of_panel_m2(0, 1, 1), "width is 0 mm"),
    ],
)
def test_a_panel_or_bottle_that_cannot_be_is_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
