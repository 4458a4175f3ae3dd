import re

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.drawing import panel_svg
from projects.geometry.panel import lay_out
from projects.geometry.patterns.base import Pattern, Place, Shape
from projects.geometry.patterns.registry import PATTERNS
from projects.geometry.sight import brightness
from projects.geometry.stack import Stack
from projects.geometry.strip_shapes import strip_shapes
from tests.projects.geometry.laid import GRID, NAMES, panel_of, polygons
from tests.workshop.drawing.parsed import parsed, parts_of

POINT = re.compile(r"-?[\d.]+ -?[\d.]+")
SIZES_FOR_TWO_THOUSAND = {"cubes": (18,), "hexagons": (22,), "star8": (19.8,), "zigzag": (15, 15, 45)}


def outlines(path):
    """The polygons of a path of straight lines."""
    rings = [
        [tuple(map(float, point.split())) for point in POINT.findall(part)] for part in path.split("z")[:-1]
    ]
    return [shapely.Polygon(ring) for ring in rings]


def naive_strips(panel):
    """Every strip of every piece built alone by shapely: a long box, turned, moved, cut to the piece."""
    found = []
    for index, piece in enumerate(polygons(panel)):
        stack, turn = panel.stacks[panel.shape[index]], panel.stripe_deg[index]
        angle = np.radians(turn)
        across = np.array([-np.sin(angle), np.cos(angle)])
        # where a centre line of the bar lies in the panel, from the piece's own corner and phase
        shape = panel.shapes[panel.shape[index]]
        alpha, down = np.radians(shape.stripe_deg), -1 if panel.face_down[index] else 1
        rot = np.radians(panel.turn_deg[index])
        foot = shape.phase * np.array([-np.sin(alpha), np.cos(alpha) * down])
        centre = panel.shift_mm[index] + np.array(
            [np.cos(rot) * foot[0] - np.sin(rot) * foot[1], np.sin(rot) * foot[0] + np.cos(rot) * foot[1]]
        )
        reach = (np.array(piece.exterior.coords) - centre) @ across
        for step in range(int(reach.min() // stack.pitch_mm) - 1, int(reach.max() // stack.pitch_mm) + 2):
            strip = shapely.box(-999, -stack.strip_mm / 2, 999, stack.strip_mm / 2)
            strip = shapely.affinity.rotate(strip, turn, origin=(0, 0))
            strip = shapely.affinity.translate(strip, *(centre + step * stack.pitch_mm * across))
            part = piece.intersection(strip)
            if part.area > 1e-9:
                found.append((index, part))
    return found


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("turn_deg", [0, 17])
def test_the_strips_are_those_that_shapely_builds_one_by_one(name, turn_deg):
    panel = panel_of(name, 200, 140, turn_deg)
    shapes, piece = strip_shapes(panel)
    expected = naive_strips(panel)
    ours = sorted(
        (index, round(shapely.Polygon(points).area, 6)) for index, points in zip(piece, shapes, strict=True)
    )
    theirs = sorted((index, round(part.area, 6)) for index, part in expected)
    big = [(index, area) for index, area in ours if area > 1e-5]
    assert [index for index, _ in big] == [index for index, area in theirs if area > 1e-5]
    assert [area for _, area in big] == pytest.approx([area for _, area in theirs if area > 1e-5], abs=2e-6)
    assert sum(area for _, area in ours) == pytest.approx(sum(part.area for _, part in expected), rel=1e-7)


@settings(max_examples=20)
@given(st.floats(0, 179), st.floats(0, 6), st.booleans())
def test_bias_stripes_are_those_that_shapely_builds_too(stripe_deg, phase_mm, face_down):
    shape = Shape("B", 40, 60, 70, 70, stripe_deg=stripe_deg, phase_mm=phase_mm)
    pattern = Pattern("bias", (shape,), (Place(0, 25, face_down, (0, 0)),), ((300, 0), (0, 300)))
    panel = lay_out(pattern, 200, 200, Stack(), origin=(90, 90))
    shapes, _ = strip_shapes(panel)
    ours = shapely.unary_union([shapely.Polygon(points) for points in shapes], grid_size=GRID)
    theirs = shapely.unary_union([part for _, part in naive_strips(panel)], grid_size=GRID)
    assert ours.symmetric_difference(theirs).area < 1e-3


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("stripes", ["pattern", "shapes"])
def test_a_panel_is_a_well_formed_drawing_that_says_itself(name, stripes):
    panel = panel_of(name, overhang_mm=4)
    root = parsed(panel_svg(panel, numbers=True, arrows=True, stripes=stripes))
    said = root.get("aria-label")
    assert said.startswith(f"A panel of {name}, 600 × 400 mm, {len(panel.number)} pieces, ")


def test_on_screen_every_piece_is_one_use_of_its_shape():
    panel = panel_of("star8")
    root = parsed(panel_svg(panel))
    uses = [part for part in root.iter() if part.tag.endswith("use")]
    ids = {part.get("id") for part in root.iter() if part.get("id")}
    assert len(uses) == len(panel.number)
    assert {part.get("href").removeprefix("#") for part in uses} <= ids


def test_on_paper_there_is_no_pattern_fill_and_every_strip_is_drawn():
    panel = panel_of("squares", 300, 180)
    root = parsed(panel_svg(panel, stripes="shapes"))
    assert not [part for part in root.iter() if part.tag.endswith("pattern")]
    (path,) = parts_of(root, "k-lam")
    drawn = sum(polygon.area for polygon in outlines(path.get("d")))
    assert drawn == pytest.approx(sum(part.area for _, part in naive_strips(panel)), rel=1e-3)


def test_other_stripes_are_refused():
    with pytest.raises(KeyError, match="dots"):
        panel_svg(panel_of("basket"), stripes="dots")


@pytest.mark.parametrize("name", sorted(SIZES_FOR_TWO_THOUSAND))
def test_two_thousand_pieces_stay_under_two_hundred_kilobytes(name):
    panel = lay_out(PATTERNS[name](*SIZES_FOR_TWO_THOUSAND[name]), 900, 600, Stack())
    assert len(panel.number) >= 1800
    assert len(panel_svg(panel).encode()) < 200_000
    assert len(panel_svg(panel, arrows=True).encode()) < 200_000


@pytest.mark.parametrize("name", NAMES)
def test_there_is_one_arrow_for_each_way_a_shape_lies(name):
    panel = panel_of(name)
    root = parsed(panel_svg(panel, arrows=True))
    ways = set(zip(panel.shape.tolist(), panel.turn_deg.tolist(), panel.face_down.tolist(), strict=True))
    (arrows,) = parts_of(root, "arrow")
    assert arrows.get("d").count("M") == 2 * len(ways)


def test_an_arrow_points_along_the_bar():
    panel = panel_of("basket", 400, 240)
    (arrows,) = parts_of(parsed(panel_svg(panel, arrows=True)), "arrow")
    shafts = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)M", arrows.get("d"))
    turns = {round(np.degrees(np.arctan2(float(d) - float(b), float(c) - float(a)))) for a, b, c, d in shafts}
    assert turns == {0, 90}


def test_every_piece_carries_its_number_and_an_f_if_it_lies_face_down():
    panel = panel_of("zigzag")
    root = parsed(panel_svg(panel, numbers=True))
    said = ["".join(part.itertext()) for part in root.iter() if part.tag.endswith("text")]
    expected = [f"{n}F" if down else str(n) for n, down in zip(panel.number, panel.face_down, strict=True)]
    assert said == expected


def test_a_number_stands_in_its_piece():
    panel = panel_of("squares")
    root = parsed(panel_svg(panel, numbers=True))
    x, y, scale = 8, 8, float(re.search(r"matrix\(([\d.]+)", panel_svg(panel, numbers=True)).group(1))
    for part, piece in zip(
        (part for part in root.iter() if part.tag.endswith("text")), polygons(panel), strict=True
    ):
        spot = ((float(part.get("x")) - x) / scale, 400 - (float(part.get("y")) - 4 - y) / scale)
        assert piece.buffer(0.2).contains(shapely.Point(spot))


def test_lit_from_behind_brighter_pieces_glow_more():
    panel = panel_of("basket", 400, 240)
    lit = brightness(panel, (200, 120, 300), 1.5, 0)
    root = parsed(panel_svg(panel, brightness=lit))
    glows = [float(part.get("fill-opacity")) for part in parts_of(root, "k-glow")]
    assert max(glows) > 0.8
    assert len(set(glows)) > 3
    assert root.get("aria-label").endswith("lit from behind.")


def test_in_the_dark_nothing_glows():
    panel = panel_of("basket", 400, 240)
    root = parsed(panel_svg(panel, brightness=np.zeros(len(panel.number))))
    assert not parts_of(root, "k-glow")


def test_brightness_must_be_one_fraction_for_each_piece():
    panel = panel_of("basket", 400, 240)
    with pytest.raises(ValueError, match="3 values of brightness for 60 pieces"):
        panel_svg(panel, brightness=np.zeros(3))
    with pytest.raises(OutOfRange, match="brightness is 2"):
        panel_svg(panel, brightness=np.full(60, 2.0))


def test_two_drawings_on_one_page_share_no_id_unless_they_are_the_same():
    one, other = (parsed(panel_svg(panel_of(name))) for name in ("basket", "squares"))
    ids = [{part.get("id") for part in root.iter() if part.get("id")} for root in (one, other)]
    assert not ids[0] & ids[1]


def test_the_ids_do_not_change_from_one_drawing_to_the_next():
    assert panel_svg(panel_of("star8")) == panel_svg(panel_of("star8"))
