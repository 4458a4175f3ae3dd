import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box, unary_union

from projects.geometry.section import WIDTHS, section_svg
from projects.geometry.stack import Block, Stack
from tests.workshop.drawing.parsed import NUMBER, boxes_of, parsed, parts_of, texts_of

blocks = st.builds(
    Block,
    st.builds(
        Stack,
        strip_mm=st.floats(0.05, 60),
        gap_mm=st.just(0) | st.floats(0.05, 60),
        depth_mm=st.floats(0.5, 400),
        flatten_mm=st.just(0) | st.floats(0.1, 10),
    ),
    strips=st.integers(1, 2000),
    length_mm=st.just(600),
    rim_mm=st.floats(0, 40),
    over_mm=st.floats(0, 15),
)
media = st.sampled_from(sorted(WIDTHS))
SHEET = Block(Stack(2, 2, 14, flatten_mm=2), 56, 420)


units = st.sampled_from(["mm", "in"])


def section(block, medium="middle", unit="mm"):
    return parsed(section_svg(block, medium, unit))


def boxes(root, ink):
    return [
        found
        for part in parts_of(root, ink)
        if part.get("d", "").endswith("z")
        for found in boxes_of(part.get("d"))
    ]


def said(root):
    return [line for line, _, _ in texts_of(root)]


# --- to scale ---


@pytest.mark.parametrize("medium", ["wide", "middle", "paper"])
@pytest.mark.parametrize(
    "block", [SHEET, Block(Stack(), 50, 600), Block(Stack(5, 3, 20), 3, 300, rim_mm=6, over_mm=2)]
)
def test_wood_and_resin_have_the_areas_of_the_real_section_at_one_scale(block, medium):
    root = section(block, medium)
    _, wide_mm, fill_mm = block.mould_inside_mm
    (inside,) = boxes(root, "k-resin")
    scale = inside[2] / wide_mm
    wood = unary_union([box(x, y, x + wide, y + high) for x, y, wide, high in boxes(root, "k-lam")])
    filled = box(inside[0], inside[1], inside[0] + inside[2], inside[1] + inside[3])
    wood_mm2 = block.strips * block.stack.strip_mm * block.poured_depth_mm
    assert filled.area / scale**2 == pytest.approx(wide_mm * fill_mm, rel=0.002)
    assert wood.area / scale**2 == pytest.approx(wood_mm2, rel=0.01)
    assert filled.difference(wood).area / scale**2 == pytest.approx(wide_mm * fill_mm - wood_mm2, rel=0.01)


def test_every_strip_of_a_block_that_fits_is_drawn_at_its_pitch():
    root = section(SHEET, "paper")
    starts = [x for x, _, _, _ in boxes(root, "k-lam")]
    (inside,) = boxes(root, "k-resin")
    assert len(starts) == 56
    pitches = [b - a for a, b in zip(starts, starts[1:], strict=False)]
    assert pitches == [pytest.approx(4 * inside[2] / 230, abs=0.02)] * 55


def test_strips_stand_on_the_floor_and_end_below_the_fill_line_by_what_is_over_them():
    root = section(SHEET, "wide")
    (inside,) = boxes(root, "k-resin")
    _, top, _, high = boxes(root, "k-lam")[0]
    assert top + high == pytest.approx(inside[1] + inside[3], abs=0.02)
    assert (top - inside[1]) / inside[3] == pytest.approx(1 / 19, abs=0.001)


# --- what it says ---


def test_a_sheet_says_the_figures_of_its_block():
    assert said(section(SHEET, "paper")) == [
        *("fill line, 1 over the strips", "flattened away, 2 each face"),
        *("18", "poured", "14", "finished"),
        "222 mm, 56 strips, pitch 4",
    ]


def test_a_wide_screen_adds_the_inside_of_the_mould():
    assert "230 mm inside the mould, rim 4 all round" in said(section(SHEET, "wide"))


def test_a_narrow_screen_says_less_and_not_smaller():
    assert said(section(SHEET, "narrow")) == [
        "fill line, 1 over the strips",
        "18",
        "poured",
        "222 mm, 56 strips",
    ]


def test_a_screen_reader_hears_the_figures_in_one_sentence():
    assert section(SHEET).get("aria-label") == (
        "Section through the block in its mould: 56 strips, 222 mm wide, 18 mm poured, 14 mm finished, "
        "filled 1 mm over the strips."
    )


def test_without_flattening_there_are_no_lines_and_no_words_about_it():
    root = section(Block(Stack(flatten_mm=0), 50, 600))
    assert not [part for part in root.iter() if part.get("stroke-dasharray")]
    assert not [line for line in said(root) if "flattened" in line or "finished" in line]


def test_resin_level_with_the_strips_is_said_so():
    assert "fill line, level with the strips" in said(section(Block(Stack(), 50, 600, over_mm=0)))


def test_a_single_strip_is_said_in_the_singular():
    assert "2 mm, one strip, pitch 4" in said(section(Block(Stack(), 1, 600)))


# --- breaks ---


def test_strips_too_many_to_be_told_apart_are_broken_off_in_the_middle_and_counted():
    root = section(Block(Stack(), 400, 600), "narrow")
    drawn = len(boxes(root, "k-lam"))
    assert f"the middle {400 - drawn} strips are not drawn" in said(root)
    assert f"the middle {400 - drawn} strips not drawn." in root.get("aria-label")


def test_a_depth_too_great_for_its_strips_is_broken_and_said_so():
    root = section(Block(Stack(0.6, 0.4, 100), 10, 600))
    assert "the middle of the depth is not drawn" in said(root)


def test_what_fits_is_never_broken():
    assert not [line for line in said(section(SHEET)) if "not drawn" in line]


@given(blocks, media)
def test_strips_and_gaps_that_are_drawn_can_be_told_apart_or_are_hairlines(block, medium):
    found = boxes(section(block, medium), "k-lam")
    assert all(wide >= 0.74 for _, _, wide, _ in found)
    assert len(found) <= block.strips


@given(blocks, media)
def test_drawn_and_missing_strips_add_up(block, medium):
    root = section(block, medium)
    rows = [line for line in said(root) if line.endswith("strips are not drawn")]
    missing = int(NUMBER.findall(rows[0])[0]) if rows else 0
    assert len(boxes(root, "k-lam")) + missing == block.strips


# --- any block ---


@given(blocks, media)
def test_any_section_is_well_formed_and_stays_within_its_frame(block, medium):
    root = section(block, medium)
    _, _, width, height = (float(value) for value in NUMBER.findall(root.get("viewBox")))
    assert width == WIDTHS[medium]
    for x, y, wide, high in boxes(root, "k-lam") + boxes(root, "k-resin") + boxes(root, "outline"):
        assert -0.02 <= x <= x + wide <= width + 0.02
        assert -0.02 <= y <= y + high <= height + 0.02


@given(blocks, media, units)
def test_no_line_of_words_leaves_the_frame_or_lies_on_another(block, medium, unit):
    root = section(block, medium, unit)
    rows = {}
    for part, (line, left, right) in zip(
        [p for p in root.iter() if p.tag.endswith("text")], texts_of(root), strict=True
    ):
        assert left >= -0.5, line
        assert right <= WIDTHS[medium] + 0.5, line
        rows.setdefault(part.get("y"), []).append((left, right))
    for spans in rows.values():
        spans.sort()
        assert all(one[1] <= other[0] for one, other in zip(spans, spans[1:], strict=False))


def test_paper_gets_shapes_and_lines_and_no_tiles():
    drawn = section_svg(SHEET, "paper")
    assert "<pattern" not in drawn
    assert 'class="draw section sheet-draw"' in drawn


def test_a_shop_of_inches_reads_inches():
    drawn = section_svg(SHEET, "wide", "in")
    # 222 mm, 18 mm and 14 mm over 25.4
    assert "56 strips, 8.74 in wide, 0.709 in poured, 0.551 in finished" in drawn
    texts = said(parsed(drawn))
    assert "8.74 in, 56 strips, pitch 0.157" in " ".join(texts)
    assert not [line for line in texts if "mm" in line]


def test_a_medium_that_is_not_known_is_refused():
    with pytest.raises(KeyError, match="poster"):
        section_svg(SHEET, "poster")
