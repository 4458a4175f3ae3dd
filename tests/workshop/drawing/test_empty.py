import pytest

from tests.workshop.drawing.parsed import parsed, parts_of
from workshop.drawing.empty import OUTLINES, empty_svg


@pytest.mark.parametrize("kind", sorted(OUTLINES))
def test_what_is_missing_is_dashed_on_its_board(kind):
    root = parsed(empty_svg(kind))
    (outline,) = parts_of(root, "l-edge")
    (board,) = parts_of(root, "k-wood")
    assert outline.get("stroke-dasharray") == "3 4"
    assert (board.get("x"), board.get("width")) == ("0", "180")


def test_an_unknown_kind_lists_the_known_ones():
    with pytest.raises(ValueError, match='for "boat"; known are: block, .*sheet'):
        empty_svg("boat")
