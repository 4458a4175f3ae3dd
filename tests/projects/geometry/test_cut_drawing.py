import re

import pytest

from projects.geometry.cut_drawing import LABELS, MARGIN, WIDTHS, bar_cuts_svg, block_cuts_svg
from projects.geometry.cuts import plan_cuts, plan_from_stock
from projects.geometry.panel import lay_out
from projects.geometry.patterns.registry import EXAMPLES, PATTERNS
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
from projects.geometry.stock import Spot, Stock
from tests.workshop.drawing.parsed import boxes_of, parsed, parts_of, texts_of


def plan_of(name, **stack):
    made = Stack(**stack)
    return plan_cuts(lay_out(PATTERNS[name](*EXAMPLES[name]), 600, 420, made), made, Saw())


def strips_in(root):
    return [box for part in parts_of(root, "k-lam") for box in boxes_of(part.get("d"))]


def slots_in(root):
    """The corners of each cut, as drawn."""
    (part,) = parts_of(root, "o-ink")
    return [
        [tuple(map(float, corner.split())) for corner in slot.split("L")]
        for slot in re.findall(r"M([^z]*)z", part.get("d"))
    ]


@pytest.mark.parametrize("media", WIDTHS)
@pytest.mark.parametrize("name", PATTERNS)
def test_every_block_is_drawn_with_each_of_its_strips(name, media):
    for block in plan_of(name).blocks:
        assert len(strips_in(parsed(block_cuts_svg(block, Saw(), media)))) == block.strips


@pytest.mark.parametrize("media", WIDTHS)
@pytest.mark.parametrize("name", PATTERNS)
def test_every_bar_is_drawn_with_each_of_its_cuts(name, media):
    for bar in plan_of(name).bars[:3]:
        assert len(slots_in(parsed(bar_cuts_svg(bar, Saw(), media)))) == len(bar.pieces) + 1


def test_a_cut_lies_to_scale_where_the_plan_has_it():
    bar = plan_of("squares").bars[0]
    scale = (WIDTHS["wide"] - 2 * MARGIN) / bar.length_mm
    for (near, *_), (at_mm, _) in zip(
        slots_in(parsed(bar_cuts_svg(bar, Saw()))), bar.cuts(Saw()), strict=True
    ):
        assert near == pytest.approx((at_mm * scale, 0), abs=0.01)


def test_strips_of_a_bar_lie_where_its_phase_puts_them():
    bar = plan_of("hexagons").bars[1]
    scale = (WIDTHS["wide"] - 2 * MARGIN) / bar.length_mm
    lines = [y / scale + high / scale / 2 for _, y, _, high in strips_in(parsed(bar_cuts_svg(bar, Saw())))]
    whole = [line for line in lines if 1.1 < line < bar.width_mm - 1.1]
    assert [(line - bar.phase_mm + 2) % 4 for line in whole] == pytest.approx([2] * len(whole), abs=0.05)


def test_rips_stand_a_cut_behind_each_bar():
    block = plan_of("squares").blocks[0]
    scale = (WIDTHS["wide"] - 2 * MARGIN - LABELS) / block.length_mm
    root = parsed(block_cuts_svg(block, Saw()))
    kerfs = [box for part in parts_of(root, "k-paper")[1:] for box in boxes_of(part.get("d"))]
    wanted = [(3 + bar.offset_mm + bar.width_mm) * scale for bar in block.bars]
    assert [y for _, y, _, _ in kerfs] == pytest.approx(wanted[: len(kerfs)], abs=0.01)


def test_a_shorter_bar_beside_a_longer_one_is_drawn_shorter():
    bars = plan_of("squares").bars
    longest, last = bars[0], bars[-1]
    drawn = parsed(bar_cuts_svg(last, Saw(), "wide", longest.length_mm))
    wide = (WIDTHS["wide"] - 2 * MARGIN) * last.length_mm / longest.length_mm
    assert strips_in(drawn)[0][2] == pytest.approx(wide, abs=0.01)


def test_the_second_pass_of_a_piece_with_two_gauges_is_dashed():
    two = next(bar for bar in plan_of("peaks").bars if bar.job.shape.handling == "turn")
    (dashed,) = [
        part for part in parsed(bar_cuts_svg(two, Saw())).iter() if part.get("stroke-dasharray") == "4 3"
    ]
    second = [angle for _, angle in two.cuts(Saw()) if angle != two.job.cut_order_deg[0]]
    assert dashed.get("d").count("M") == len(second) > 0


@pytest.mark.parametrize("media", WIDTHS)
def test_counts_of_pieces_do_not_touch(media):
    bar = max(plan_of("basket").bars, key=lambda bar: len(bar.pieces))
    root = parsed(bar_cuts_svg(bar, Saw(), media))
    places = [float(part.get("x")) for part in root.iter() if part.tag.endswith("text")]
    assert min(right - left for left, right in zip(places, places[1:], strict=False)) > 13


def test_the_sentence_of_a_block_counts_bars_of_each_width():
    plan = plan_of("peaks")
    said = parsed(block_cuts_svg(plan.blocks[0], Saw())).get("aria-label")
    assert sum(int(count) for count in re.findall(r"(\d+) of [\d.]+ mm", said)) == len(plan.blocks[0].bars)


def test_bars_are_named_beside_the_block():
    block = plan_of("squares").blocks[0]
    names = [text for text, _, _ in texts_of(parsed(block_cuts_svg(block, Saw())))]
    assert names == [f"bar {bar.number}" for bar in block.bars]


# blocks as they lie there


def real_plan(*spots, first_line_mm=None, cast=True):
    stock = Stock("A", Stack(), 600, 198, edge_mm=3, first_line_mm=first_line_mm, spots=spots, cast=cast)
    panel = lay_out(PATTERNS["basket"](40), 600, 420, Stack())
    return plan_from_stock(panel, Stack(), Saw(), [stock])


def test_a_flaw_is_crossed_out_where_it_lies_in_its_block():
    block = real_plan(Spot(100, 130, 50, 62)).blocks[0]
    root = parsed(block_cuts_svg(block, Saw()))
    scale = (WIDTHS["wide"] - 2 * MARGIN - LABELS) / 600
    crossed = next(part.get("d") for part in parts_of(root, "l-stop") if "l" in part.get("d"))
    outline = crossed[: crossed.index("z") + 1]
    assert boxes_of(outline) == [pytest.approx((100 * scale, 50 * scale, 30 * scale, 12 * scale), abs=0.02)]
    assert "1 flaw" in root.get("aria-label")


def test_a_block_ripped_around_a_leaned_strip_shows_what_is_passed_by():
    plain, around = real_plan().blocks[0], real_plan(Spot(0, 600, 12, 14)).blocks[0]
    assert (len(plain.bars), len(around.bars)) == (4, 4)
    # beyond the leaned strip the first bar needs a rip of its own
    assert [rips_in(block) for block in (plain, around)] == [4, 5]


def rips_in(block):
    parts = parts_of(parsed(block_cuts_svg(block, Saw())), "k-paper")
    return len(boxes_of(next(part for part in parts if part.get("fill-opacity") is None).get("d")))


def test_pieces_are_counted_on_both_sides_of_a_flaw_and_the_flaw_is_drawn_in_its_bar():
    plan = real_plan(Spot(200, 220, 0, 198))
    bar = plan.bars[0]
    root = parsed(bar_cuts_svg(bar, Saw(), spots=(Spot(200, 220, -3, 195),)))
    assert len(slots_in(root)) == len(bar.pieces) + 2
    assert [text for text, *_ in texts_of(root)] == [str(n + 1) for n in range(len(bar.pieces))]


def test_a_leftover_is_drawn_with_its_lines_where_they_lie():
    block = real_plan(first_line_mm=0.5, cast=False).blocks[0]
    root = parsed(block_cuts_svg(block, Saw()))
    assert root.get("aria-label").startswith("Leftover from above")
    scale = (WIDTHS["wide"] - 2 * MARGIN - LABELS) / 600
    first, second, *_ = strips_in(root)
    assert (first[1], first[3]) == pytest.approx((0, 1.5 * scale), abs=0.02)
    assert second[1] == pytest.approx(3.5 * scale, abs=0.02)
