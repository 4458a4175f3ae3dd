from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import NUMBER, parsed, parts_of, texts_of
from workshop.drawing.depth_share import HIGHEST_MM, DepthShare, depth_share_svg
from workshop.drawing.frame import TOP, WIDTHS

DEPTHS = DepthShare(
    expected=[(20, 90), (50, 30), (100, 15)], safe=[(20, 60), (50, 20), (100, 10)], sheet_mm=12
)


def said_in(depths, media="wide", say=None):
    return [said for said, _, _ in texts_of(parsed(depth_share_svg(depths, media, "d", say)))]


@pytest.mark.parametrize("media", list(WIDTHS))
def test_the_picture_is_as_wide_as_its_place_and_says_its_result(media):
    root = parsed(depth_share_svg(DEPTHS, media, "d"))
    assert float(NUMBER.findall(root.get("viewBox"))[2]) == WIDTHS[media]
    assert root.get("aria-label") == (
        "At 50 % resin one pour may be 30 mm deep as expected, 20 mm on the safe side, 24 mm by the sheet."
    )


def test_each_line_is_named_at_half_resin():
    assert {"30 mm expected", "20 mm on the safe side", "24 mm by the sheet"} <= set(said_in(DEPTHS))


def test_without_a_sheets_depth_there_is_no_line_of_it_and_nothing_is_called_fit_to_pour():
    root = parsed(depth_share_svg(replace(DEPTHS, sheet_mm=None), "wide", "d"))
    assert not parts_of(root, "l-stop")
    assert not parts_of(root, "k-glow")
    assert "sheet" not in root.get("aria-label")


def test_what_is_fit_to_pour_lies_below_the_safe_side_and_the_sheet():
    (area,) = parts_of(parsed(depth_share_svg(DEPTHS, "wide", "d")), "k-glow")
    numbers = [float(n) for n in NUMBER.findall(area.get("d"))]
    floor = max(numbers[1::2])
    at_the_right = numbers[2 * 80 + 1]  # the 81st point: all resin, where the safe side's 10 mm is less
    height = floor - TOP
    assert (floor - at_the_right) / height * 60 == pytest.approx(10, abs=0.1)


def test_no_picture_is_higher_than_a_block_is_deep():
    deep = DepthShare([(20, 244), (50, 78), (100, 40)], [(20, 176), (50, 58), (100, 29)], 80)
    levels = [float(text) for text in said_in(deep) if text.replace(".", "").isdigit()]
    assert max(levels) == HIGHEST_MM
    assert "160 mm by the sheet" not in said_in(deep)  # its line leaves the picture before half resin


def test_a_depth_is_written_as_the_shop_reads_it():
    said = said_in(DEPTHS, say=lambda depth_mm: f"{depth_mm / 25.4:.2f} in")
    assert "1.18 in expected" in said


@given(
    expected=st.floats(0.5, 400),
    share=st.floats(0.3, 1),
    sheet_mm=st.floats(0.5, 300) | st.none(),
    media=st.sampled_from(list(WIDTHS)),
)
def test_any_resin_gives_a_well_formed_picture_whose_words_lie_within(expected, share, sheet_mm, media):
    line = [(20, 5 * expected), (50, 2 * expected), (100, expected)]
    depths = DepthShare(line, [(percent, share * mm) for percent, mm in line], sheet_mm)
    root = parsed(depth_share_svg(depths, media, "d"))
    assert all(left >= 0 and right <= WIDTHS[media] + 1 for _, left, right in texts_of(root))
