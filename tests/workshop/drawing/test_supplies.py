import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import parsed, parts_of, texts_of
from workshop.drawing.supplies import CORE, FULL, paper_svg, roll_svg, tin_svg


def radius_of(left):
    """The outer radius of a roll's tape."""
    return float(parts_of(parsed(roll_svg(left)), "k-glow")[0].get("r"))


def test_a_roll_gets_thinner_as_its_tape_is_used():
    radii = [radius_of(left) for left in (0.1, 0.25, 0.5, 1.0)]
    assert radii == sorted(radii)
    assert radii[0] > CORE
    assert radii[-1] == FULL


def test_of_a_roll_that_is_gone_its_core_is_left_in_dashes():
    (core,) = [part for part in parsed(roll_svg(0.0)).iter() if part.tag.endswith("circle")]
    assert core.get("stroke-dasharray")


@pytest.mark.parametrize(("left", "share"), [(0.0, 0.0), (0.5, 0.5), (1.0, 1.0)])
def test_a_tin_is_filled_to_what_is_left(left, share):
    root = parsed(tin_svg(left, "lot-1"))
    level, body = (float(parts_of(root, name)[0].get("height")) for name in ("k-glow", "k-lit"))
    assert level / (body + 0.8) == pytest.approx(share)


def test_two_tins_on_a_page_share_no_id():
    ids = [
        {part.get("id") for part in parsed(tin_svg(0.5, prefix)).iter() if part.get("id")}
        for prefix in ("lot-1", "lot-2")
    ]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_a_pile_of_paper_says_its_grade_with_its_system():
    assert [words for words, *_ in texts_of(parsed(paper_svg(1.0, "CAMI 400")))] == ["CAMI 400"]


@pytest.mark.parametrize("grade", ["P5000", "CAMI 1000"])
def test_the_longest_grade_stays_on_the_paper(grade):
    root = parsed(paper_svg(1.0, grade))
    ((_, left, right),) = texts_of(root)
    assert left >= 0
    assert right <= float(root.get("viewBox").split()[2])


@pytest.mark.parametrize(("left", "sheets"), [(1.0, 5), (0.5, 2), (0.01, 1)])
def test_the_pile_gets_lower_as_sheets_are_used(left, sheets):
    assert len(parts_of(parsed(paper_svg(left, "P240")), "k-strip")) == sheets


@given(st.floats(0, 1))
def test_supplies_are_well_formed_however_much_is_left(left):
    for svg in (roll_svg(left), tin_svg(left, "lot"), paper_svg(left, "P240")):
        assert parsed(svg).tag.endswith("svg")


@pytest.mark.parametrize("left", [-0.01, 1.01, float("nan")])
def test_what_is_left_is_a_share(left):
    for draw in (roll_svg, lambda share: tin_svg(share, "lot"), lambda share: paper_svg(share, "P240")):
        with pytest.raises(ValueError, match="from nothing to whole"):
            draw(left)
