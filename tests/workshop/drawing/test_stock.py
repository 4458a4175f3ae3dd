import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import boxes_of, parsed, parts_of
from workshop.drawing.stock import FLOOR, TONES, boards_svg, bundle_svg, leftover_svg, tone_of

WOODS = sorted(set(TONES.values()))


def layers_of(svg, wood="walnut"):
    """All rectangles of a stack, lowest first."""
    boxes = [box for part in parts_of(parsed(svg), f"k-{wood}") for box in boxes_of(part.get("d"))]
    return sorted(boxes, key=lambda box: -box[1])


@pytest.mark.parametrize(
    ("name", "tone"),
    [("black walnut", "walnut"), ("Bog Oak", "bogoak"), ("white oak", "oak"), ("SUGAR MAPLE", "maple"),
     ("black cherry", "pear"), ("hackberry", "oak"), ("", "oak")],
)  # fmt: skip
def test_a_wood_is_drawn_in_the_tone_its_name_comes_nearest_to(name, tone):
    assert tone_of(name) == tone


@pytest.mark.parametrize(("strips", "layers"), [(0, 0), (1, 1), (5, 1), (6, 2), (96, 20), (10_000, 24)])
def test_a_layer_stands_for_five_strips_up_to_two_dozen(strips, layers):
    assert len(layers_of(bundle_svg(strips, "walnut", 2.0))) == layers


def test_thicker_strips_make_thicker_layers():
    thin, thick = (layers_of(bundle_svg(20, "walnut", mm))[0][3] for mm in (0.6, 3.0))
    assert thin < thick


def test_a_stack_stands_on_its_board_and_its_layers_do_not_touch():
    layers = layers_of(bundle_svg(60, "walnut", 2.0))
    assert layers[0][1] + layers[0][3] <= FLOOR
    assert all(upper[1] + upper[3] < lower[1] for lower, upper in zip(layers, layers[1:], strict=False))


@given(st.integers(0, 100_000), st.sampled_from(WOODS), st.floats(0.01, 500))
def test_any_bundle_is_a_well_formed_drawing_within_its_frame(strips, wood, thickness_mm):
    layers = layers_of(bundle_svg(strips, wood, thickness_mm), wood)
    assert all(y >= 0 and y + high <= FLOOR + 0.01 for _, y, _, high in layers)


@pytest.mark.parametrize(("pieces", "drawn"), [(0, 0), (3, 3), (40, 6)])
def test_boards_are_drawn_one_by_one_as_far_as_they_can_be_told_apart(pieces, drawn):
    assert len(layers_of(boards_svg(pieces, "walnut"))) == drawn


def stripes_of(**more):
    sizes = {"strip_mm": 2, "gap_mm": 2, "wood": "walnut", "length_mm": 412, **more}
    return boxes_of(parts_of(parsed(leftover_svg(**sizes)), "k-walnut")[0].get("d"))


def test_strip_and_gap_keep_their_proportion():
    whole = stripes_of(strip_mm=1, gap_mm=2)[2:6]
    widths = [box[2] for box in whole]
    pitches = [b[0] - a[0] for a, b in zip(whole, whole[1:], strict=False)]
    assert widths == pytest.approx([pitches[0] / 3] * 4, abs=0.02)


def test_the_first_line_lies_as_far_in_as_was_measured():
    scale = stripes_of()[3][2] / 2  # px of a strip of 2 mm
    starts = [x for x, *_ in stripes_of(phase_mm=0.6)]
    assert any(x == pytest.approx(0.6 * scale, abs=0.02) for x in starts)


def test_a_longer_bar_is_drawn_longer_up_to_what_a_board_has_room_for():
    views = [parsed(leftover_svg(2, 2, "oak", length_mm=mm)).get("viewBox") for mm in (10, 240, 412, 5000)]
    widths = [float(re.findall(r"[\d.]+", view)[2]) for view in views]
    assert widths == sorted(widths)
    assert widths[-1] == 150


@given(
    st.floats(0.01, 100), st.floats(0, 100), st.floats(1, 10_000), st.floats(0, 200), st.sampled_from(WOODS)
)
def test_no_stripe_leaves_its_bar(strip_mm, gap_mm, length_mm, phase_mm, wood):
    svg = leftover_svg(strip_mm, gap_mm, wood, length_mm=length_mm, phase_mm=phase_mm)
    root = parsed(svg)
    width = float(re.findall(r"[\d.]+", root.get("viewBox"))[2])
    for part in parts_of(root, f"k-{wood}"):
        assert all(x >= 0 and x + wide <= width + 0.02 for x, _, wide, _ in boxes_of(part.get("d")))


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        (lambda: bundle_svg(-1, "oak", 2), "no fewer strips than none"),
        (lambda: bundle_svg(5, "oak", 0), "each has a thickness"),
        (lambda: boards_svg(-1, "oak"), "no fewer boards than none"),
        (lambda: leftover_svg(0, 2, "oak"), "has strips and a length"),
        (lambda: leftover_svg(2, -1, "oak"), "has strips and a length"),
        (lambda: leftover_svg(2, 2, "oak", length_mm=0), "has strips and a length"),
        (lambda: leftover_svg(2, 2, "oak", phase_mm=-1), "its first line lies in it"),
    ],
)
def test_stock_that_cannot_be_is_refused(draw, words):
    with pytest.raises(ValueError, match=words):
        draw()
