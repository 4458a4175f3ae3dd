import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.bow import comb_spacing_mm, head_pressure_pa, plate_bow_mm, strip_bow_mm
from tests.data.rows import rows


@pytest.mark.parametrize("row", rows("strip", quantity="pressure from head"))
def test_a_head_presses_as_worked(row):
    values = row["inputs"]
    assert head_pressure_pa(values["rho"], values["dh_mm"]) == pytest.approx(
        row["expected"], abs=row["tolerance"]
    )


@pytest.mark.parametrize("row", rows("strip", quantity="mid-span deflection"))
def test_a_strip_bows_as_the_beam_tables_say(row):
    values, expected = row["inputs"], row["expected"]
    given_ = (values["p_Pa"], values["L_mm"], values["t_mm"], values["E_GPa"])
    assert strip_bow_mm(*given_) == pytest.approx(expected["SS_mm"], rel=0.01)
    assert strip_bow_mm(*given_, fixed=True) == pytest.approx(expected["fixed_mm"], rel=0.01)


@pytest.mark.parametrize(
    "row", [*rows("strip", quantity="max comb spacing"), *rows("strip", quantity="same, cross-grain")]
)
def test_combs_stand_as_far_apart_as_worked(row):
    values = row["inputs"]
    found = comb_spacing_mm(values["p_Pa"], 0.1, values["t_mm"], values["E_GPa"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize(("quantity", "clamped"), [("uniform-load plate", False), ("same, clamped", True)])
def test_a_plate_bows_as_worked(quantity, clamped):
    row = rows("strip", quantity=quantity)[0].values[0]
    values = row["inputs"]
    given_ = (values["p_Pa"], 1000 * values["a_m"], values["t_mm"], values["E_GPa"])
    assert plate_bow_mm(*given_, clamped=clamped) == pytest.approx(row["expected"], abs=row["tolerance"])


@given(st.floats(1, 1000), st.floats(0.001, 1), st.floats(0.3, 5), st.floats(0.5, 20))
def test_at_the_widest_spacing_strips_bow_just_as_far_as_they_may(pressure, bow, strip, stiffness):
    spacing = comb_spacing_mm(pressure, bow, strip, stiffness)
    if 0.1 <= spacing <= 10_000:
        assert strip_bow_mm(pressure, spacing, strip, stiffness) == pytest.approx(bow)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: head_pressure_pa(1.1, 10), "density"),
        (lambda: strip_bow_mm(100, 0, 1, 10), "span is 0 mm"),
        (lambda: comb_spacing_mm(0, 0.1, 1, 10), "pressure"),
        (lambda: plate_bow_mm(100, 500, 0, 70), "plate is 0 mm"),
    ],
)
def test_what_cannot_bow_is_refused(wrong, words):
    with pytest.raises(OutOfRange, match=words):
        wrong()
