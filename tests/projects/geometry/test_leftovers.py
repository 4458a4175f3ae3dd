import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from projects.geometry.cuts import plan_cuts
from projects.geometry.leftovers import leftovers
from projects.geometry.patterns.base import cot
from projects.geometry.runs import Flaw, clear_stretches, cut_around
from projects.geometry.saw import Saw
from projects.geometry.stack import Stack
from tests.projects.geometry.laid import NAMES, example, panel_of

flaws = st.lists(
    st.tuples(st.floats(0, 560), st.floats(0, 60)).map(lambda pair: Flaw(pair[0], sum(pair))), max_size=4
)


@given(st.sampled_from(NAMES), flaws)
def test_no_piece_and_no_cut_touches_a_flaw_the_end_or_the_stub(name, marked):
    shape, saw = example(name).shapes[0], Saw()
    bad = [shapely.box(flaw.from_mm, -1, flaw.to_mm, shape.bar_mm + 1) for flaw in marked]
    bad += [shapely.box(0, -1, saw.trim_mm, shape.bar_mm + 1), shapely.box(560, -1, 600, shape.bar_mm + 1)]
    for run in cut_around(shape, 600, saw, marked):
        slots = shape.slots_mm(run.pieces, saw.kerf_mm, run.first_mm)
        (at, angle), (last, last_angle) = slots[0], slots[-1]
        wide = saw.kerf_mm / math.sin(math.radians(last_angle))
        corners = [(at, 0), (last + wide, 0)]
        corners += [
            (last + wide + shape.bar_mm * cot(last_angle), shape.bar_mm),
            (at + shape.bar_mm * cot(angle), shape.bar_mm),
        ]
        used = shapely.Polygon(corners)
        assert all(used.intersection(part).area < 1e-6 for part in bad)


@pytest.mark.parametrize("name", NAMES)
def test_a_bar_without_flaws_gives_what_the_plan_counts_on(name):
    plan = plan_cuts(panel_of(name), Stack(), Saw())
    for job in plan.jobs:
        (run,) = cut_around(job.shape, 600, Saw(), [])
        assert (run.pieces, run.first_mm) == (job.per_bar, 3)


@given(flaws)
def test_clear_stretches_and_flaws_make_the_whole_bar(marked):
    clear = shapely.unary_union([shapely.box(a, 0, b, 1) for a, b in clear_stretches(600, Saw(), marked)])
    bad = shapely.unary_union([shapely.box(flaw.from_mm, 0, flaw.to_mm, 1) for flaw in marked])
    usable = shapely.box(3, 0, 560, 1)
    assert clear.area == pytest.approx(usable.difference(bad).area, abs=1e-6)


def test_a_flaw_that_ends_before_it_begins_is_refused():
    with pytest.raises(OutOfRange, match="flaw end is 10 mm, which is too low"):
        clear_stretches(600, Saw(), [Flaw(20, 10)])


def test_what_is_left_of_bars_is_what_their_block_is_longer():
    plan = plan_cuts(panel_of("squares", 600, 420, origin=(30, 30)), Stack(), Saw())
    found = leftovers(plan, least_mm=100)
    # 20 bars for 296 pieces: the last one holds 11, four pieces and their cuts fewer than the others
    (last,) = found
    # two of each kind of piece are 4 × 30 mm, and four cuts of 2·√2 mm; the stub of 40 mm comes on top,
    # and the bar's last wedge is as long as the others'
    assert last.length_mm == pytest.approx(40 + 4 * 30 + 4 * 2 * math.sqrt(2))
    assert (last.strip_mm, last.gap_mm, last.depth_mm, last.width_mm) == pytest.approx((2, 2, 10, 30))
    assert 0 <= last.first_line_mm < 4


def test_nothing_is_kept_that_is_shorter_than_asked():
    plan = plan_cuts(panel_of("star6"), Stack(), Saw())
    assert all(left.length_mm >= 60 for left in leftovers(plan, least_mm=60))
    assert len(leftovers(plan, least_mm=0)) == len(plan.bars)
