"""How quick a panel is, as ratios within one run: a busy machine slows both sides alike.

Not collected with the suite; run it by its name: `python -m pytest tests/benchmarks/bench_panel.py -s`.
"""

import time

import numpy as np
import pytest
import shapely

from projects.geometry.cuts import plan_cuts
from projects.geometry.drawing import panel_svg
from projects.geometry.panel import lay_out
from projects.geometry.patterns.registry import PATTERNS
from projects.geometry.saw import Saw
from projects.geometry.seams import find_seams
from projects.geometry.stack import Stack
from projects.geometry.strip_shapes import strip_shapes

# about two thousand pieces on 900 × 600 mm
LARGE = {"cubes": (18,), "hexagons": (22,), "star8": (19.8,), "zigzag": (15, 15, 45)}
ROUNDS = 15


def laid(name):
    return lay_out(PATTERNS[name](*LARGE[name]), 900, 600, Stack())


def naive(panel):
    """Every strip of every piece built with shapely: a box, turned, moved and cut to the piece."""
    found = 0.0
    for index, points in enumerate(panel.visible_mm):
        piece = shapely.Polygon(points)
        normal, offset = panel.stripe_normal[index], panel.stripe_offset_mm[index]
        reach = points @ normal - offset
        for step in range(int(np.floor(reach.min() / 4)), int(np.ceil(reach.max() / 4)) + 1):
            strip = shapely.box(-60, -1, 60, 1)
            strip = shapely.affinity.rotate(strip, panel.stripe_deg[index], origin=(0, 0))
            # along its own line it is moved to the piece, so that sixty either way reach across
            foot = normal * (offset + step * 4)
            along = np.array([-normal[1], normal[0]])
            foot = foot + along * ((panel.middle_mm[index] - foot) @ along)
            found += piece.intersection(shapely.affinity.translate(strip, *foot)).area
    return found


def best_s(works, rounds=ROUNDS):
    """The shortest processor time of each work over several rounds, in s; all get what the first gave."""
    best = [float("inf")] * len(works)
    for _ in range(rounds):
        panel = None
        for place, work in enumerate(works):
            before = time.process_time()
            given = work(panel)
            best[place] = min(best[place], time.process_time() - before)
            panel = given if place == 0 else panel
    return best


@pytest.mark.parametrize("name", sorted(LARGE))
def test_layout_seams_and_drawing_are_forty_times_as_quick_as_stripes_one_by_one(name):
    panel = laid(name)
    ours = sum(best_s([lambda _: laid(name), find_seams, panel_svg]))
    (theirs,) = best_s([lambda _: naive(panel)], rounds=1)
    assert naive(panel) == pytest.approx(np.abs(_areas(panel)).sum(), rel=1e-9)
    print(f"{name}: {len(panel.number)} pieces, {1000 * ours:.1f} ms, {theirs / ours:.0f} times as quick")  # noqa: T201
    assert theirs / ours >= 40


@pytest.mark.parametrize("name", sorted(LARGE))
def test_layout_seams_and_plan_cost_at_most_two_and_a_half_drawings(name):
    works = [lambda _: laid(name), find_seams, lambda panel: plan_cuts(panel, Stack(), Saw()), panel_svg]
    layout, seams, plan, drawing = (1000 * seconds for seconds in best_s(works, rounds=40))
    ratio = (layout + seams + plan) / drawing
    said = f"layout {layout:.2f}, seams {seams:.2f}, plan {plan:.2f}, drawing {drawing:.2f} ms"
    print(f"{name}: {said}: {ratio:.2f} drawings")  # noqa: T201
    assert ratio <= 2.5


@pytest.mark.parametrize("name", sorted(LARGE))
def test_a_drawing_of_two_thousand_pieces_is_under_two_hundred_kilobytes(name):
    size = len(panel_svg(laid(name)).encode())
    print(f"{name}: {size / 1000:.1f} kB")  # noqa: T201
    assert size < 200_000


def test_all_strips_as_shapes_are_ten_times_as_quick_as_one_by_one():
    panel = laid("cubes")
    (theirs,), (ours,) = (
        best_s([lambda _: naive(panel)], rounds=1),
        best_s([lambda _: strip_shapes(panel)], rounds=5),
    )
    ratio = theirs / ours
    print(f"strips as shapes: {ratio:.0f} times as quick")  # noqa: T201
    assert ratio >= 10


def _areas(panel):
    shapes, _ = strip_shapes(panel)
    x, y = np.moveaxis(shapes, 2, 0)
    return (x * np.roll(y, -1, 1) - np.roll(x, -1, 1) * y).sum(axis=1) / 2
