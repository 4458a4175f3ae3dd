"""The demo's drawn photos: the same for the same words, and each flaw to be seen."""

import numpy as np
import pytest
from PIL import Image

from projects.demo import canvas, flaws, photos
from projects.demo.story.mishaps import MISHAPS
from projects.demo.story.pieces import PIECES
from projects.geometry.patterns.registry import PATTERNS


def pixels(*words, **more):
    """A drawn photo as an array."""
    with Image.open(photos.taken(*words, **more)) as image:
        return np.asarray(image.convert("RGB"), dtype=float)


@pytest.mark.parametrize("kind", sorted(photos.DRAWN))
def test_a_photo_is_a_jpeg_no_larger_than_1200_pixels(kind):
    with Image.open(photos.taken(kind, 1)) as image:
        assert image.format == "JPEG"
        assert max(image.size) <= 1200


def test_the_same_words_give_the_same_photo():
    assert photos.taken("cup", 1).read() == photos.taken("cup", 1).read()


def test_another_seed_gives_another_photo():
    assert photos.taken("cup", 1).read() != photos.taken("cup", 2).read()


@pytest.mark.parametrize("flaw", [*flaws.IN_BLOCK, "bowed"])
def test_a_flaw_can_be_seen_in_a_block(flaw):
    """With the same dice the block with the flaw differs from the one without, and not by noise alone."""
    with_it, without = (
        photos.section(np.random.default_rng(3), "sugar maple", one, "squares") for one in (flaw, "")
    )
    different = np.abs(with_it - without).max(axis=-1) > 24
    assert different.sum() > 400


def test_scratches_can_be_seen_in_a_lit_panel():
    scratched, clean = (
        photos.panel(np.random.default_rng(3), "red alder", one, "basket") for one in ("scratches", "")
    )
    assert (np.abs(scratched - clean).max(axis=-1) > 24).sum() > 400


def test_a_lit_panel_is_brighter_than_its_dark_room():
    lit = pixels("panel", 1)
    assert lit[300:400, 400:600].mean() > 4 * lit[:20].mean()


def test_strips_are_as_wide_as_gaps_in_the_section():
    """Half of the block's upper edge is wood: walnut is dark, resin is not."""
    row = pixels("section", 1, "black walnut")[330, 100:920].mean(axis=-1)
    assert 0.35 < (row < 100).mean() < 0.65


@pytest.mark.parametrize("piece", PIECES, ids=lambda piece: piece.title)
def test_every_pattern_and_wood_of_the_story_can_be_drawn(piece):
    from projects.demo.story.shelf import WOODS

    assert piece.pattern in PATTERNS
    assert WOODS[piece.wood] in canvas.WOODS


def test_every_flaw_of_the_story_can_be_drawn():
    drawn = {*flaws.IN_BLOCK, "bowed", "leak", "scratches"}
    assert {mishap.flaw.removesuffix("_corner") for mishap in MISHAPS} <= drawn
