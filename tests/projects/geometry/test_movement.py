import pytest

from materials.science.errors import OutOfRange
from projects.geometry.movement import movement_mm
from projects.geometry.stack import Stack


# a strip of walnut cut radially, 1.5 mm, 0.0019 a percent, 4 percent wetter: 0.0114 mm
# (Wood Handbook GTR-190, table 13-5, for the coefficient)
def test_a_strip_swells_as_worked():
    assert movement_mm(1.5, 1, 0.0019, 4) == pytest.approx(0.0114, abs=0.0001)


def test_a_panel_moves_with_its_share_of_wood_only():
    # 600 mm, half of it wood: 600 × 0.5 × 0.0019 × -3 = -1.71 mm
    stack = Stack()
    assert movement_mm(600, 1 - stack.resin_fraction, 0.0019, -3) == pytest.approx(-1.71)


def test_no_wood_or_no_change_moves_nothing():
    assert movement_mm(600, 0, 0.0019, 5) == movement_mm(600, 1, 0.0019, 0) == 0


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ((0, 0.5, 0.002, 1), "size is 0 mm"),
        ((600, 1.5, 0.002, 1), "wood fraction is 1.5"),
        ((600, 0.5, 0.1, 1), "coefficient"),
    ],
)
def test_what_cannot_be_a_panel_is_refused(wrong, words):
    with pytest.raises(OutOfRange, match=words):
        movement_mm(*wrong)
