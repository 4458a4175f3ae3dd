import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import NUMBER, parsed, parts_of
from workshop.drawing.bottle import FLOOR, bottle_svg


def liquid_of(root):
    (liquid,) = [part for ink in ("k-resin", "k-glow", "k-dark") for part in parts_of(root, ink)]
    return liquid


@pytest.mark.parametrize(
    ("part", "darkened", "ink"),
    [("A", False, "k-resin"), ("B", False, "k-glow"), ("B", True, "k-dark"), ("A", True, "k-dark")],
)
def test_a_is_amber_b_is_pale_and_an_aged_part_is_brown(part, darkened, ink):
    assert parts_of(parsed(bottle_svg(part, 0.5, "lot", darkened=darkened)), ink)


def test_the_liquid_stands_as_high_as_the_share_on_hand():
    full = float(liquid_of(parsed(bottle_svg("A", 1, "lot"))).get("height"))
    some = liquid_of(parsed(bottle_svg("A", 0.25, "lot")))
    assert float(some.get("height")) == pytest.approx(full / 4, abs=0.01)
    assert float(some.get("y")) + float(some.get("height")) == FLOOR


@given(st.floats(1, 1e5), st.floats(1, 1e5))
def test_a_larger_pack_is_never_drawn_smaller(one_g, other_g):
    small, large = (
        float(parsed(bottle_svg("A", 0.5, "lot", pack_g=pack_g)).get("width"))
        for pack_g in sorted((one_g, other_g))
    )
    assert small <= large


def test_two_bottles_on_a_page_share_no_id():
    one, other = parsed(bottle_svg("A", 0.5, "lot-1")), parsed(bottle_svg("A", 0.5, "lot-2"))
    ids = [{part.get("id") for part in root.iter() if part.get("id")} for root in (one, other)]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_the_liquid_is_cut_to_the_bottle_of_its_own_drawing():
    root = parsed(bottle_svg("A", 0.5, "lot-1"))
    assert {part.get("clip-path") for part in root.iter()} - {None} == {"url(#lot-1-clip)"}


@given(st.sampled_from(["A", "B"]), st.floats(0, 1), st.floats(0.1, 1e6), st.booleans())
def test_any_bottle_is_a_well_formed_drawing_of_its_own_measure(part, filled, pack_g, darkened):
    root = parsed(bottle_svg(part, filled, "lot", pack_g=pack_g, darkened=darkened))
    _, _, width, height = (float(value) for value in NUMBER.findall(root.get("viewBox")))
    assert float(root.get("width")) / float(root.get("height")) == pytest.approx(width / height, rel=0.02)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"filled": 1.01}, "from nothing to whole"),
        ({"filled": float("nan")}, "from nothing to whole"),
        ({"pack_g": 0}, "has a mass"),
        ({"prefix": "7"}, "begin an id"),
    ],
)
def test_a_bottle_that_cannot_be_is_refused(changed, words):
    with pytest.raises(ValueError, match=words):
        bottle_svg(**{"part": "A", "filled": 0.5, "prefix": "lot", **changed})
