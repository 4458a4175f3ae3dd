import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, box

from tests.workshop.drawing.parsed import NUMBER, boxes_of, parsed, texts_of
from workshop.drawing.svg import (
    PAPER,
    band,
    element,
    escape,
    figure,
    fill,
    hatch,
    line,
    named,
    number,
    picture,
    rectangles,
    strong,
    words,
)

places = st.floats(-5000, 5000)


@given(places)
def test_a_coordinate_is_written_within_a_hundredth(value):
    assert float(number(value)) == pytest.approx(value, abs=0.00501)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_coordinate_that_is_no_number_is_refused(value):
    with pytest.raises(ValueError, match="is no place in a drawing"):
        element("rect", x=value)


@pytest.mark.parametrize(("value", "written"), [(-0.001, "0"), (0, "0"), (1e6, "1000000"), (2.5, "2.5")])
def test_a_coordinate_is_written_short(value, written):
    assert number(value) == written


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (18, "18"),
        (0.25, "0.25"),
        (198.26, "198.3"),
        (-2, "−2"),
        (-0.001, "0"),
        (9999, "9999"),
        (12345.67, "12\u2009345.7"),
    ],
)
def test_a_figure_is_written_as_it_is_read(value, written):
    assert figure(value) == written


@given(st.text())
def test_any_text_leaves_a_drawing_well_formed(said):
    parsed(picture((9, 9), words(0, 0, escape(said), strong(said)), sentence=f"Says {said}."))


def test_text_is_read_back_as_it_was_written():
    root = parsed(picture((9, 9), words(0, 0, escape("<6 mm & 'so'>")), sentence="x"))
    assert texts_of(root)[0][0] == "<6 mm & 'so'>"


@pytest.mark.parametrize("name", ["style", "onclick", "onLoad", "STYLE"])
def test_what_the_content_policy_forbids_cannot_be_written(name):
    with pytest.raises(ValueError, match="the content policy forbids it"):
        element("rect", **{name: "fill:red"})


def test_a_drawing_with_a_sentence_is_an_image_that_says_it():
    root = parsed(picture((9, 9), sentence='50 strips, "thin"'))
    assert (root.get("role"), root.get("aria-label")) == ("img", '50 strips, "thin"')


def test_a_drawing_without_a_sentence_is_hidden_from_screen_readers():
    assert parsed(band(34)).get("aria-hidden") == "true"


@pytest.mark.parametrize("ink", sorted(PAPER))
def test_every_ink_carries_a_class_for_the_screen_and_a_colour_for_paper(ink):
    assert element("path", **fill(ink)) == f'<path class="k-{ink}" fill="{PAPER[ink]}"/>'
    assert f'class="l-{ink}" stroke="{PAPER[ink]}"' in element("path", **line(ink))


@given(st.lists(st.tuples(places, places, st.floats(0.01, 500), st.floats(0.01, 500)), max_size=20))
def test_rectangles_are_read_back_from_their_path(boxes):
    found = boxes_of(rectangles(boxes))
    assert found == [pytest.approx(one, abs=0.006) for one in boxes]


@given(places, places, st.floats(1, 800), st.floats(1, 200), st.floats(3, 20))
def test_every_hatch_line_lies_inside_its_rectangle_at_forty_five_degrees(x, y, width, height, step):
    inside = box(x, y, x + width, y + height).buffer(0.02)
    numbers = [float(value) for value in NUMBER.findall(hatch(x, y, width, height, step))]
    for x1, y1, x2, y2 in zip(*[iter(numbers)] * 4, strict=True):
        assert LineString([(x1, y1), (x2, y2)]).within(inside)
        assert x2 - x1 == pytest.approx(y1 - y2, abs=0.02)


def test_hatch_lines_are_as_far_apart_as_asked():
    numbers = [float(value) for value in NUMBER.findall(hatch(0, 0, 100, 100, step=7))]
    sums = [x + y for x, y in zip(numbers[::2], numbers[1::2], strict=True)][::2]
    assert all(
        b - a == pytest.approx(7 * math.sqrt(2), abs=0.03) for a, b in zip(sums, sums[1:], strict=False)
    )


@pytest.mark.parametrize("prefix", ["", "7up", "a b", 'a"'])
def test_a_prefix_that_cannot_begin_an_id_is_refused(prefix):
    with pytest.raises(ValueError, match="can't begin an id"):
        named(prefix, "clip")
