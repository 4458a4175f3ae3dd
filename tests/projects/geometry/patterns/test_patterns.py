import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.panel import lay_out
from projects.geometry.patterns.base import Pattern, Place, rectangle
from projects.geometry.patterns.registry import EXAMPLES, PATTERNS
from projects.geometry.stack import Stack
from tests.projects.geometry.laid import NAMES, example

ROOT_2, ROOT_3 = math.sqrt(2), math.sqrt(3)
# the area of a repeat in closed form, from the sizes
AREAS = {
    "zigzag": lambda c, b, deg: 2 * c * b / math.sin(math.radians(deg)),
    "peaks": lambda a, high: a * high,
    "hexagons": lambda s: s**2 * 3 * ROOT_3 / 2,
    "hexrings": lambda s, m: (m * s) ** 2 * 3 * ROOT_3 / 2,
    "cubes": lambda s: s**2 * 3 * ROOT_3 / 2,
    "basket": lambda s: 2 * s**2,
    "squares": lambda s: s**2,
    "herringbone": lambda b, m: 2 * m * b**2,
    "star6": lambda s: s**2 * 9 * ROOT_3 / 2,
    "star8": lambda s: s**2 * (6 + 4 * ROOT_2),
}
# the length of bar per area in closed form, from the sizes and the kerf k, in m per m2
BARS = {
    "zigzag": lambda k, c, b, deg: [(c + k) / (c * b)],
    "peaks": lambda k, a, high: [
        2 * (_slope(a, high) / 2 + k / 2 * (2 * _slope(a, high) / a + _slope(a, high) / high)) / (a * high),
        (a / 2 + k * _slope(a, high) / high) / (a * high),
    ],
    "hexagons": lambda k, s: [6 * (s / 2 + 2 * k / ROOT_3) / AREAS["hexagons"](s)],
    "hexrings": lambda k, s, m: [
        6 * ((2 * j - 1) * s / 2 + 2 * k / ROOT_3) / AREAS["hexrings"](s, m) for j in range(1, m + 1)
    ],
    "cubes": lambda k, s: [3 * (s + 2 * k / ROOT_3) / AREAS["cubes"](s)],
    "basket": lambda k, s: [(s + k) / s**2],
    "squares": lambda k, s: [4 * (s / 2 + k * ROOT_2) / s**2],
    "herringbone": lambda k, b, m: [(m * b + k) / (m * b**2)],
    "star6": lambda k, s: [
        6 * (s + 2 * k / ROOT_3) / AREAS["star6"](s),
        6 * (ROOT_3 * s / 2 + 2 * k) / AREAS["star6"](s),
    ],
    "star8": lambda k, s: [
        8 * (s + k * ROOT_2) / AREAS["star8"](s),
        4 * (s + k) / AREAS["star8"](s),
        4 * (s / ROOT_2 + k * ROOT_2) / AREAS["star8"](s),
    ],
}
COUNTS = {
    "zigzag": {"P": 2},
    "peaks": {"R": 2, "S": 1},
    "hexagons": {"T": 6},
    "hexrings": {"T1": 6, "T2": 6, "T3": 6},
    "cubes": {"R": 3},
    "basket": {"Q": 2},
    "squares": {"T": 4},
    "herringbone": {"R": 2},
    "star6": {"R": 6, "T": 6},
    "star8": {"R": 8, "Q": 4, "T": 4},
}
RINGS = {
    "hexagons": (6, 40, 2),
    "hexrings": (6, 60, 2),
    "cubes": (3, 30, 1),
    "squares": (4, 60 / ROOT_2, 2),
    "star6": (6, 30, 1),
    "star8": (8, 30, 1),
}


def _slope(a, high):
    return math.hypot(a / 2, high)


def test_there_are_the_ten_patterns_agreed_each_with_sizes_to_begin_with():
    assert set(PATTERNS) == set(EXAMPLES) == set(AREAS) == set(COUNTS)
    assert len(PATTERNS) == 10


@pytest.mark.parametrize("name", NAMES)
def test_a_repeat_has_the_area_of_its_closed_form(name):
    assert example(name).cell_area_mm2 == pytest.approx(AREAS[name](*EXAMPLES[name]), rel=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_the_pieces_of_a_repeat_fill_it(name):
    pattern = example(name)
    pieces = zip(pattern.shapes, pattern.counts().values(), strict=True)
    assert sum(count * shape.area_mm2 for shape, count in pieces) == pytest.approx(
        pattern.cell_area_mm2, rel=1e-12
    )


@pytest.mark.parametrize("name", NAMES)
def test_a_repeat_has_the_pieces_agreed(name):
    assert example(name).counts() == COUNTS[name]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kerf_mm", [0, 1.2, 3.175])
def test_the_length_of_bar_per_area_is_its_closed_form(name, kerf_mm):
    found = list(example(name).bar_per_area(kerf_mm).values())
    assert found == pytest.approx([1000 * part for part in BARS[name](kerf_mm, *EXAMPLES[name])], rel=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_a_pattern_has_the_ring_agreed_or_none(name):
    ring = example(name).ring
    assert (ring if ring is None else tuple(ring)) == (pytest.approx(RINGS[name]) if name in RINGS else None)


@pytest.mark.parametrize("name", sorted(RINGS))
def test_the_pieces_of_a_ring_meet_in_its_middle_and_reach_its_radius(name):
    pattern = example(name)
    panel = lay_out(pattern, 4 * pattern.ring.radius_mm, 4 * pattern.ring.radius_mm, Stack())
    middle = shapely.Point(panel.width_mm / 2, panel.height_mm / 2)
    pieces = [piece for piece in map(shapely.Polygon, panel.visible_mm) if piece.distance(middle) < 1e-6]
    reach = max(middle.distance(shapely.Point(corner)) for p in pieces for corner in p.exterior.coords)
    assert len(pieces) == pattern.ring.pieces
    # rings round a core reach on, and long diagonals of rhombi lie beyond the ring's own radius
    assert reach >= pattern.ring.radius_mm / (3 if name == "hexrings" else 1) - 1e-6


@given(st.floats(1, 300), st.floats(1, 12))
def test_a_herringbone_fills_the_plane_at_any_ratio(width_mm, ratio):
    pattern = PATTERNS["herringbone"](width_mm, ratio)
    panel = lay_out(pattern, 3 * width_mm, 2 * width_mm, Stack())
    assert panel.visible_area_mm2.sum() == pytest.approx(6 * width_mm**2, rel=1e-9)


def test_a_pattern_takes_its_sizes_by_name():
    assert PATTERNS["zigzag"](column_mm=30, bar_mm=60, angle_deg=45) == PATTERNS["zigzag"](30, 60, 45)
    assert PATTERNS["hexrings"](side_mm=20, rings=3).counts() == COUNTS["hexrings"]


@pytest.mark.parametrize(
    ("name", "sizes", "words"),
    [
        ("basket", (0,), "side is 0 mm, which is too low"),
        ("basket", (math.nan,), "side is not a number"),
        ("squares", (-5,), "side is -5 mm"),
        ("cubes", (10_000,), "side is 10000 mm, which is too high"),
        ("zigzag", (30, 60, 5), "angle is 5 °, which is too low"),
        ("zigzag", (30, 0, 45), "bar is 0 mm"),
        ("peaks", (60, 0), "height is 0 mm"),
        ("hexrings", (20, 2.5), "rings is 2.5 rings, which is not a whole number"),
        ("hexrings", (20, 0), "rings is 0 rings"),
        ("herringbone", (20, 0.5), "ratio is 0.5, which is too low"),
        ("star8", (math.inf,), "side is not a number"),
    ],
)
def test_sizes_that_cannot_be_sawn_are_refused(name, sizes, words):
    with pytest.raises(OutOfRange, match=words):
        PATTERNS[name](*sizes)


def test_an_eleventh_pattern_is_a_few_lines():
    def bricks(length_mm, bar_mm):
        cell = (Place(0, 0, False, (0, 0)),)
        lattice = ((length_mm, 0), (length_mm / 2, bar_mm))
        return Pattern("bricks", (rectangle("B", length_mm, bar_mm),), cell, lattice)

    panel = lay_out(bricks(60, 20), 300, 200, Stack(), turn_deg=12)
    assert panel.visible_area_mm2.sum() == pytest.approx(60_000, rel=1e-9)
