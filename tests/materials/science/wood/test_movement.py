import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.wood.movement import change_by_shrinkage_mm, change_mm
from tests.data.rows import rows

moistures = st.floats(6, 14)


@pytest.mark.parametrize("row", rows("wood", quantity="worked example Eq 13-2"))
def test_a_board_moves_as_in_the_handbooks_example(row):
    own = row["inputs"]
    found = change_mm(own["D_I_mm"], own["C_T"], own["M_I"], own["M_F"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("wood", quantity="final dimension"))
def test_the_examples_board_ends_as_wide_as_printed(row):
    own = row["inputs"]
    found = own["D_I_mm"] + change_mm(own["D_I_mm"], 0.00245, 8, 11)
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("wood", quantity="strip thickness swelling"))
def test_a_thin_strip_swells_by_hundredths(row):
    own = row["inputs"]
    found = change_mm(own["D_mm"], own["C_R"], 8, 8 + own["dM"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("wood", quantity="Eq 13-3"))
def test_beyond_the_coefficients_the_shrinkage_from_green_serves(row):
    own = row["inputs"]
    found = change_by_shrinkage_mm(own["D_I_mm"], own["S_T_pct"], own["M_I"], own["M_F"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@given(moistures, moistures)
def test_a_way_there_and_back_ends_where_it_began(one, other):
    there = change_by_shrinkage_mm(100, 9, one, other)
    assert there + change_by_shrinkage_mm(100 + there, 9, other, one) == pytest.approx(0, abs=1e-9)


@given(moistures, moistures)
def test_both_forms_agree_within_a_tenth_where_both_hold(one, other):
    # sugar maple, tangential: 9.9 % from green, 0.00353 per percent
    by_coefficient = change_mm(100, 0.00353, one, other)
    assert by_coefficient == pytest.approx(change_by_shrinkage_mm(100, 9.9, one, other), rel=0.1, abs=0.01)


@pytest.mark.parametrize(("start", "end"), [(5.9, 10), (10, 14.1), (20, 8)])
def test_beyond_six_to_fourteen_percent_the_other_form_is_named(start, end):
    with pytest.raises(OutOfRange, match="beyond that use change_by_shrinkage_mm"):
        change_mm(100, 0.002, start, end)


def test_wood_does_not_move_above_thirty_percent():
    with pytest.raises(OutOfRange, match="from is 31 %"):
        change_by_shrinkage_mm(100, 9, 31, 8)
