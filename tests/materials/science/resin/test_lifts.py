import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.resin.exotherm import Layup, predict_pour
from materials.science.resin.kinetics import Kinetics
from materials.science.resin.lifts import fewest_lifts, largest_lift_mm, plan_lifts
from tests.materials.science.resin.resins import degrees, percent, resin

NEAT, STACK = Layup(40), Layup(40, 1, 1)


def limit_mm(minutes, layup, limit_c=60, band="nominal"):
    return largest_lift_mm(resin(minutes, band), limit_c, layup).depth_mm


@pytest.mark.parametrize(
    ("minutes", "strip_mm", "printed"),
    [
        (40, 1, (22.9, 17.2, 12.9)),
        (40, 0, (10.0, 7.6, 5.8)),
        (360, 1, (66, 50, 38)),
        (360, 0, (32.7, 24.8, 18.7)),
    ],
)
def test_the_largest_lift_is_that_of_the_reference_run_at_three_temperatures(minutes, strip_mm, printed):
    for shop_c, depth_mm in zip((20, 25, 30), printed, strict=True):
        layup = Layup(40, strip_mm, strip_mm, shop_c=shop_c)
        assert limit_mm(minutes, layup) == percent(depth_mm, 1 if depth_mm in (66, 50, 38) else 0.1)


@pytest.mark.parametrize(
    ("minutes", "limit_c", "depth_mm", "digit"),
    [(40, 50, 14.5, 0.1), (40, 80, 22.6, 0.1), (360, 50, 44, 1), (360, 80, 63, 1)],
)
def test_another_limit_gives_the_reference_runs_depth(minutes, limit_c, depth_mm, digit):
    assert limit_mm(minutes, STACK, limit_c) == percent(depth_mm, digit)


@pytest.mark.parametrize(
    ("minutes", "depth_mm", "digit"),
    [(30, 6.5, 0.1), (40, 7.6, 0.1), (90, 11.6, 0.1), (240, 19, 1), (360, 25, 1), (480, 30, 1), (720, 40, 1)],
)
def test_neat_resin_may_be_as_deep_as_in_the_reference_run(minutes, depth_mm, digit):
    assert limit_mm(minutes, NEAT) == percent(depth_mm, digit)


@pytest.mark.parametrize(
    ("minutes", "strip_mm", "printed"),
    [
        (40, 1, (17.2, 12.2, 9.7)),
        (40, 0, (7.6, 5.4, 4.3)),
        (240, 1, (39.8, 29.4, 24.0)),
        (360, 1, (50.3, 36.9, 28.4)),
        (480, 1, (60.2, 44.1, 31.8)),
    ],
)
def test_each_band_has_the_reference_runs_largest_lift(minutes, strip_mm, printed):
    for band, depth_mm in zip(("nominal", "cautious", "worst"), printed, strict=True):
        assert limit_mm(minutes, Layup(40, strip_mm, strip_mm), band=band) == percent(depth_mm, 0.1)


@pytest.mark.parametrize(("strip_mm", "low", "high"), [(0.6, 1.4, 1.5), (1.5, 2.0, 2.3)])
def test_a_stack_may_be_deeper_by_about_its_share_of_wood(strip_mm, low, high):
    layup = Layup(40, strip_mm, 1.5)
    assert low <= limit_mm(40, layup) / limit_mm(40, NEAT) <= high


@pytest.mark.parametrize(("minutes", "layup"), [(40, STACK), (360, STACK), (90, NEAT)])
def test_a_pour_of_the_largest_lift_just_stays_below_the_limit(minutes, layup):
    depth_mm = limit_mm(minutes, layup)
    peak_c = predict_pour(resin(minutes), Layup(depth_mm, layup.strip_mm, layup.gap_mm)).peak_c
    assert 57 < peak_c <= 60


def test_a_very_slow_resin_may_be_as_deep_as_one_likes():
    found = largest_lift_mm(Kinetics(3e-7), 60, STACK)
    assert (found.status, found.depth_mm) == ("any_depth", 400)


def test_a_shop_at_the_limit_allows_no_pour():
    found = largest_lift_mm(resin(40), 25, Layup(40, shop_c=30))
    assert (found.status, found.depth_mm) == ("none", 0)


@settings(max_examples=8, deadline=None)
@given(st.floats(45, 80), st.floats(2, 15))
def test_a_higher_limit_never_allows_less(limit_c, more):
    assert limit_mm(90, STACK, limit_c + more) >= limit_mm(90, STACK, limit_c) * 0.99


SHALLOW = {1: (113, 5.9), 2: (75, 8.1), 3: (51.5, 10.3), 4: (44, 12.5), 5: (41, 14.5)}
DEEP = {1: (44, 23), 2: (33, 41), 3: (None, 58), 4: (None, 75)}


@pytest.mark.parametrize("count", SHALLOW)
def test_a_fast_resin_in_lifts_peaks_and_ends_as_in_the_reference_run(count):
    peak_c, total_h = SHALLOW[count]
    plan = plan_lifts(resin(40), STACK, count)
    assert max(lift.peak_c for lift in plan.lifts) == degrees(peak_c, 0.1 if peak_c == 51.5 else 1)
    # the reference run's cells in a lift are not stated: its totals are met within 1.5 %
    assert plan.total_h == percent(total_h, 0.1, share=0.015)


@pytest.mark.parametrize("count", DEEP)
def test_a_slow_resin_in_lifts_takes_as_long_as_in_the_reference_run(count):
    peak_c, total_h = DEEP[count]
    plan = plan_lifts(resin(360), STACK, count)
    assert plan.total_h == percent(total_h, 1, share=0.02)
    if peak_c is not None:
        assert max(lift.peak_c for lift in plan.lifts) == degrees(peak_c)


def test_three_lifts_of_a_fast_resin_wait_so_long_that_their_bond_closes():
    plan = plan_lifts(resin(40), STACK, 3)
    assert [lift.wait_h for lift in plan.lifts[:2]] == [percent(3.2, 0.1), percent(3.7, 0.1)]
    assert [lift.surface_conversion for lift in plan.lifts[:2]] == pytest.approx([0.81, 0.86], abs=0.006)
    assert not any(lift.bond_open for lift in plan.lifts[:2])


def test_four_lifts_of_a_fast_resin_are_just_in_time():
    found = [lift.surface_conversion for lift in plan_lifts(resin(40), STACK, 4).lifts[:2]]
    assert found == pytest.approx([0.70, 0.80], abs=0.011)


def test_five_lifts_of_a_fast_resin_bond_by_themselves():
    plan = plan_lifts(resin(40), STACK, 5)
    found = [lift.surface_conversion for lift in plan.lifts[:-1]]
    assert min(found) == pytest.approx(0.58, abs=0.011)
    assert max(found) == pytest.approx(0.75, abs=0.015)
    assert all(lift.bond_open for lift in plan.lifts[:-1])


def test_one_lift_is_the_pour_itself():
    plan, found = plan_lifts(resin(40), STACK, 1), predict_pour(resin(40), STACK)
    assert plan.lifts[0].peak_c == pytest.approx(found.peak_c, abs=0.01)
    assert plan.total_h == pytest.approx(found.demould_h, rel=1e-3)


def test_a_later_lift_can_heat_the_block_more_than_the_first():
    first, second = plan_lifts(resin(40), STACK, 2).lifts
    assert second.peak_c > first.peak_c + 3


def test_the_fewest_lifts_of_which_each_stays_cool_are_found():
    plan = fewest_lifts(resin(40), STACK)
    assert len(plan.lifts) == 3
    assert plan.passes
    assert len(fewest_lifts(resin(480), STACK).lifts) == 1


def test_in_a_cold_shop_the_next_lift_never_comes():
    plan = plan_lifts(resin(360), Layup(40, 1, 1, shop_c=3), 2)
    assert plan.total_h is None
    assert not plan.passes


@pytest.mark.parametrize("lifts", [0, -1, 21, 2.5])
def test_lifts_are_counted_in_whole_numbers(lifts):
    with pytest.raises(OutOfRange, match="^lifts is"):
        plan_lifts(resin(40), STACK, lifts)
