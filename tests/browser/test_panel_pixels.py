"""A browser's picture of a panel against the stripe rule, point by point.

Resin or wood at a point follows from which piece it lies in and from that piece's line rule alone; points
near an edge of a strip, of a piece or of the frame are left out, where a pixel is a mixture.
"""

import io

import numpy as np
import pytest
import shapely
from PIL import Image

from projects.geometry.drawing import panel_svg
from tests.projects.geometry.laid import panel_of, polygons

POINTS, SCALE, MARGIN = 20_000, 3, 8
WOOD, RESIN = "#000000", "#ffffff"


def picture_of(page, panel, stripes):
    """The drawing as the browser paints it, its wood black and its resin white, without outlines."""
    svg = panel_svg(panel, stripes=stripes)
    wide, high = panel.width_mm + 2 * MARGIN, panel.height_mm + 2 * MARGIN
    page.set_viewport_size({"width": int(wide), "height": int(high)})
    style = f".k-lam {{ fill: {WOOD} }} .k-resin {{ fill: {RESIN} }} .l-ink, .o-edge {{ stroke: none }}"
    page.set_content(f"<style>body {{ margin: 0 }} svg {{ display: block }} {style}</style>{svg}")
    return np.array(Image.open(io.BytesIO(page.screenshot())).convert("L"))


@pytest.fixture
def sharp_page(browser):
    """A page of several pixels to the millimetre."""
    context = browser.new_context(device_scale_factor=SCALE)
    yield context.new_page()
    context.close()


def expected_wood(panel, points):
    """Which points lie on wood, and which are far enough from every edge to be asked."""
    pieces = np.array(polygons(panel))
    spots = shapely.points(points)
    which, piece = shapely.STRtree(pieces).query(spots, predicate="within")
    inside = shapely.distance(shapely.boundary(pieces[piece]), spots[which]) > 0.7
    which, piece = which[inside], piece[inside]
    across = (points[which] * panel.stripe_normal[piece]).sum(axis=1) - panel.stripe_offset_mm[piece]
    off = np.abs((across + 2) % 4 - 2)  # from the nearest centre line, at a pitch of 4
    clear = np.abs(off - 1) > 0.35
    return which[clear], off[clear] < 1


@pytest.mark.parametrize("stripes", ["pattern", "shapes"])
@pytest.mark.parametrize("name", ["zigzag", "hexagons", "cubes", "star8", "peaks"])
def test_the_browser_paints_wood_where_the_lines_say(sharp_page, name, stripes):
    panel = panel_of(name, 300, 200, 17)
    image = picture_of(sharp_page, panel, stripes)
    points = np.random.default_rng(3).uniform((0, 0), (300, 200), (POINTS, 2))
    which, wood = expected_wood(panel, points)
    x = ((points[which, 0] + MARGIN) * SCALE).astype(int)
    y = ((200 - points[which, 1] + MARGIN) * SCALE).astype(int)
    assert len(which) > POINTS / 3
    assert ((image[y, x] < 128) == wood).mean() > 0.999


def test_the_check_of_pixels_sees_stripes_in_the_wrong_place(sharp_page):
    panel, moved = panel_of("zigzag", 300, 200), panel_of("zigzag", 300, 200, origin=(150, 102))
    image = picture_of(sharp_page, moved, "pattern")
    points = np.random.default_rng(3).uniform((0, 0), (300, 200), (POINTS, 2))
    which, wood = expected_wood(panel, points)
    x = ((points[which, 0] + MARGIN) * SCALE).astype(int)
    y = ((200 - points[which, 1] + MARGIN) * SCALE).astype(int)
    assert ((image[y, x] < 128) == wood).mean() < 0.9
