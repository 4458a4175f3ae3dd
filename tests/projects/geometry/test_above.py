import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.above import SIZES, above_svg
from tests.workshop.drawing.parsed import parsed

SVG = "{http://www.w3.org/2000/svg}"


def said(svg):
    return [text.text for text in parsed(svg).iter(f"{SVG}text")]


@given(
    st.floats(20, 5000), st.floats(-2000, 2000), st.floats(300, 6000), st.floats(1, 90), st.floats(0, 20_000)
)
def test_every_view_is_a_drawing_with_all_its_parts_inside(width, x, z, cutoff, glow):
    for media in SIZES:
        root = parsed(above_svg(width, (x, z), cutoff, glow, media))
        wide, high = SIZES[media]
        eye = root.find(f"{SVG}circle")
        assert 0 <= float(eye.get("cx")) <= wide
        assert 0 <= float(eye.get("cy")) <= high


@pytest.mark.parametrize("media", SIZES)
def test_the_axis_is_said_at_round_distances(media):
    assert said(above_svg(600, (0, 1900), 17.7, 940, media))[:5] == ["0", "1 m", "2 m", "3 m", "4 m"]


def test_the_axis_of_a_shop_of_inches_is_in_feet():
    assert "all of it from 3.08 ft" in said(above_svg(600, (0, 1900), 17.7, 940, "wide", feet=True))


def test_the_eye_stands_as_far_back_as_it_is():
    root = parsed(above_svg(600, (0, 2000), 17.7, 940, "wide"))
    # 4 m are the drawing's 560 units without the panel's 14
    assert float(root.find(f"{SVG}circle").get("cx")) == pytest.approx(14 + 546 / 2)


def test_a_glow_beyond_the_drawing_is_not_marked_on_its_axis():
    assert not [text for text in said(above_svg(600, (0, 300), 3, 90_000)) if text.startswith("all of it")]


def test_the_sentence_says_where_one_stands_in_the_middle():
    svg = above_svg(600, (0, 1900), 17.7, 940)
    assert "you stand in front of the middle and 1.9 m back" in parsed(svg).get("aria-label")


@pytest.mark.parametrize(("eye", "cutoff"), [((0, 0), 17), ((0, 500), 91)])
def test_an_eye_or_a_cone_that_cannot_be_is_refused(eye, cutoff):
    with pytest.raises(OutOfRange, match="eye z is 0 mm|cutoff is 91"):
        above_svg(600, eye, cutoff, 940)
