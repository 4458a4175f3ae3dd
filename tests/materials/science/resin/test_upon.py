"""A pour on pours that lie in the mould: what they carry over."""

from dataclasses import fields

import pytest

from materials.science.errors import OutOfRange
from materials.science.resin.exotherm import Layup, predict_pour
from materials.science.resin.lifts import plan_lifts, plan_lifts_on
from materials.science.resin.upon import Below, carried, predict_pour_on
from tests.materials.science.resin.resins import resin

HALF = Layup(20, 1, 1)


def peak_c(below, minutes=40, layup=HALF):
    return predict_pour_on(resin(minutes), layup, below).peak_c


@pytest.mark.parametrize("minutes", [40, 360])
def test_on_an_empty_mould_it_is_the_pour_itself(minutes):
    found, alone = (
        predict_pour_on(resin(minutes), Layup(40, 1, 1), ()),
        predict_pour(resin(minutes), Layup(40, 1, 1)),
    )
    for field in fields(found):
        assert getattr(found, field.name) == getattr(alone, field.name), field.name


@pytest.mark.parametrize("minutes", [40, 360])
def test_two_halves_poured_at_once_are_one_pour(minutes):
    whole = predict_pour(resin(minutes), Layup(40, 1, 1))
    both = predict_pour_on(resin(minutes), HALF, [Below(20, 0)])
    assert both.peak_c == pytest.approx(whole.peak_c, abs=0.1)
    assert both.peak_min == pytest.approx(whole.peak_min, rel=0.01)
    assert both.peak_height_mm == pytest.approx(whole.peak_height_mm, abs=1.3)  # a cell
    assert both.demould_h == pytest.approx(whole.demould_h, rel=0.01)
    assert both.depth_mm == 20


def test_three_pours_at_once_are_one_pour_too():
    whole = predict_pour(resin(40), Layup(30, 1, 1)).peak_c
    assert peak_c([Below(10, 0), Below(10, 0)], layup=Layup(10, 1, 1)) == pytest.approx(whole, abs=0.1)


def test_a_lift_as_planned_is_a_pour_on_the_one_before():
    plan = plan_lifts(resin(40), Layup(40, 1, 1), 2)
    first, second = plan.lifts
    assert peak_c([Below(20, first.wait_h)]) == pytest.approx(second.peak_c, abs=0.2)
    lies = carried(resin(40), HALF, [Below(20, first.wait_h)])
    assert lies.surface_conversion == pytest.approx(first.surface_conversion, abs=0.002)
    (rest,) = plan_lifts_on(resin(40), HALF, 1, [Below(20, first.wait_h)]).lifts
    assert rest.peak_c == pytest.approx(second.peak_c, abs=0.2)
    assert rest.wait_h == pytest.approx(second.wait_h, rel=0.01)


def test_the_sooner_it_follows_on_a_slow_resin_the_hotter_it_gets():
    found = [peak_c([Below(20, hours)], 360) for hours in (0, 2, 4, 8, 16)]
    assert found == sorted(found, reverse=True)
    assert found[0] > found[-1] + 10


def test_on_a_fast_resin_that_is_just_heating_up_it_is_hotter_than_both_at_once():
    at_once, into_the_heat, cooled = (peak_c([Below(20, hours)]) for hours in (0, 1, 8))
    assert into_the_heat > at_once + 15
    assert cooled < at_once - 40


@pytest.mark.parametrize("minutes", [40, 360])
def test_on_a_cold_hard_pour_it_is_hardly_hotter_than_alone(minutes):
    assert peak_c([Below(20, 100)], minutes) < peak_c((), minutes) + 1


def test_while_the_heat_of_both_is_made_and_lost_the_sum_stays():
    assert predict_pour_on(resin(360), HALF, [Below(20, 4)]).energy_residual < 1e-9


def test_a_pour_on_a_gelled_one_begins_liquid():
    found = predict_pour_on(resin(40), HALF, [Below(20, 4)])
    assert found.conversion_max[0] > 0.577
    assert 20 < found.gel_first_min < 80


def test_a_warmer_shop_since_then_leaves_a_pour_harder():
    cold, warm = (carried(resin(360), HALF, [Below(20, 10, shop_c)]) for shop_c in (18, 28))
    assert warm.surface_conversion > cold.surface_conversion + 0.05


def test_a_pour_can_not_lie_on_one_of_later():
    with pytest.raises(OutOfRange, match="^ago is"):
        carried(resin(40), HALF, [Below(20, 2), Below(20, 3)])


@pytest.mark.parametrize(("depth_mm", "ago_h"), [(0, 2), (-5, 2), (20, -1), (20, float("nan")), (600, 2)])
def test_an_impossible_pour_below_is_refused(depth_mm, ago_h):
    with pytest.raises(OutOfRange):
        Below(depth_mm, ago_h)
