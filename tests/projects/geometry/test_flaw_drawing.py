import pytest

from projects.geometry.cut_drawing import MARGIN, WIDTHS
from projects.geometry.flaw_drawing import flaws_svg
from projects.geometry.stack import Stack
from projects.geometry.stock import Spot, Stock
from tests.workshop.drawing.parsed import boxes_of, parsed, parts_of, texts_of

MARKED = (Spot(100, 130, 50, 100), Spot(0, 600, 12, 14), Spot(594, 700, 180, 300), Spot(700, 800, 0, 5))


def drawn(*spots, media="wide", new=None):
    return parsed(flaws_svg(Stock("A", Stack(), 600, 198, spots=spots), media, new))


@pytest.mark.parametrize("media", WIDTHS)
def test_the_first_path_is_the_block_alone_so_that_a_tap_can_be_measured(media):
    root = drawn(*MARKED, media=media)
    first = next(part for part in root.iter() if part.tag.endswith("path"))
    scale = (WIDTHS[media] - 2 * MARGIN) / 600
    assert boxes_of(first.get("d")) == [pytest.approx((0, 0, 600 * scale, 198 * scale), abs=0.02)]


@pytest.mark.parametrize("media", WIDTHS)
def test_each_flaw_in_the_block_carries_its_number_within_the_drawing(media):
    root = drawn(*MARKED, media=media)
    assert [text for text, *_ in texts_of(root)] == ["1", "2", "3"]
    _, _, wide, high = map(float, root.get("viewBox").split())
    for disc in (part for part in root.iter() if part.tag.endswith("circle")):
        x, y, r = (float(disc.get(name)) for name in ("cx", "cy", "r"))
        assert x - r >= 0
        assert x + r <= wide
        assert y - r >= -1
        assert y + r <= high + 1


def test_every_strip_is_drawn_and_the_flaws_are_said():
    root = drawn(*MARKED[:2])
    assert sum(len(boxes_of(part.get("d"))) for part in parts_of(root, "k-lam")) == 50
    assert "with 2 flaws" in root.get("aria-label")
    assert "with no flaws" in drawn().get("aria-label")


def test_a_flaw_about_to_be_marked_is_dashed_and_one_beside_the_block_is_not_drawn():
    assert any(part.get("stroke-dasharray") for part in drawn(new=Spot(10, 30, 10, 30)).iter())
    assert not any(part.get("stroke-dasharray") for part in drawn(new=Spot(700, 730, 10, 30)).iter())
