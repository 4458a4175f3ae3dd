import re

import pytest

from projects.geometry.cut_drawing import LABELS, MARGIN, WIDTHS, bar_cuts_svg, block_cuts_svg
from projects.geometry.cuts import plan_cuts
from projects.geometry.panel import lay_out
from projects.geometry.patterns.registry import EXAMPLES, PATTERNS
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
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
