import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.saw import (
    Saw,
    five_cut_error_deg,
    gauge_deg,
    interior_deg,
    mitre_deg,
    pieces_from,
    side_mm,
)
from projects.geometry.seams import ring_gap
from tests.data.rows import rows


def test_the_defaults_are_those_agreed_for_a_saw():
    assert Saw() == Saw(2, 3, 40, 2, 0.05, 0.1, 0.1)


@pytest.mark.parametrize("row", rows("saw", quantity="pieces from a length"))
def test_as_many_pieces_come_from_a_length_as_worked(row):
    given_ = row["inputs"]
    assert pieces_from(given_["L_mm"], given_["p_mm"], given_["kerf_mm"]) == row["expected"]


@given(st.floats(1, 3000), st.floats(1, 300), st.floats(0, 4))
def test_the_pieces_from_a_length_fit_it_and_one_more_would_not(length_mm, piece_mm, kerf_mm):
    count = pieces_from(length_mm, piece_mm, kerf_mm)
    assert count * piece_mm + max(0, count - 1) * kerf_mm <= length_mm + 1e-6
    assert (count + 1) * piece_mm + count * kerf_mm > length_mm - 1e-6


@pytest.mark.parametrize("row", rows("saw", quantity="mitre per end"))
def test_a_frame_has_the_mitre_and_inner_angle_worked(row):
    pieces, expected = row["inputs"]["n"], row["expected"]
    assert mitre_deg(pieces) == pytest.approx(expected["mitre_deg"], abs=row["tolerance"])
    assert interior_deg(pieces) == pytest.approx(expected["interior_deg"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("saw", quantity="ring closing error"))
def test_a_ring_is_left_open_as_worked(row):
    values, expected = row["inputs"], row["expected"]
    angle, gap = ring_gap(values["n"], values["R_mm"], values["delta_deg"])
    assert angle == pytest.approx(expected["closing_deg"], abs=row["tolerance"])
    # the row counts the arc; the chord across the gap is shorter by a part in a few thousand
    assert gap == pytest.approx(expected["gap_mm"], rel=1e-3)


@pytest.mark.parametrize("row", rows("saw", quantity="five-cut test"))
def test_a_square_cut_errs_as_the_fifth_strip_shows(row):
    values = row["inputs"]
    found = five_cut_error_deg(values["A_mm"], values["B_mm"], values["L_mm"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("saw", quantity="polygon: across-flats"))
def test_a_side_follows_from_the_distance_to_the_middle(row):
    values = row["inputs"]
    assert side_mm(values["n"], values["apothem_mm"]) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize(("angle", "gauge"), [(90, 0), (60, 30), (120, 30), (45, 45), (135, 45)])
def test_the_gauge_is_counted_from_a_square_cut(angle, gauge):
    assert gauge_deg(angle) == gauge


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"kerf_mm": -1}, "kerf is -1 mm"),
        ({"kerf_mm": 30}, "kerf is 30 mm, which is too high"),
        ({"trim_mm": -1}, "trim is -1 mm"),
        ({"hold_mm": float("nan")}, "hold is not a number"),
        ({"test_cuts": 1.5}, "which is not a whole number"),
        ({"spare_fraction": 2}, "spare fraction is 2"),
        ({"angle_error_deg": 20}, "angle error is 20 °"),
        ({"length_error_mm": -0.1}, "length error is -0.1 mm"),
    ],
)
def test_a_saw_that_is_none_is_refused(changed, words):
    with pytest.raises(OutOfRange, match=words):
        Saw(**changed)
