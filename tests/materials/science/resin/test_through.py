"""Cups and pours through temperatures that change, against sums by hand and against the doors for one."""

import math

import pytest

from materials.science.errors import OutOfRange, UnknownName
from materials.science.resin.cups import pot_life_min
from materials.science.resin.exotherm import predict_pour
from materials.science.resin.kinetics import Kinetics
from materials.science.resin.layup import Layup
from materials.science.resin.through import cup_life_through, pour_through

SLOW, FAST = Kinetics(k_ref_per_s=1e-4), Kinetics(k_ref_per_s=3e-4)
# the pace at 35 °C over that at 25 °C: exp(55000 / 8.314463 * (1 / 298.15 - 1 / 308.15))
FASTER = math.exp(55_000 / 8.314462618 * (1 / 298.15 - 1 / 308.15))
GEL_MIN = 35_307 / 60  # of SLOW at 25 °C all the way: 3.5307 / 1e-4 s


def test_a_thin_film_gels_by_the_share_that_each_temperature_uses_up():
    # a film keeps to the air: an hour at 25 °C, what is left of 588.5 min at 2.054 times the pace
    by_hand = 60 + (GEL_MIN - 60) / FASTER
    found = pour_through(SLOW, Layup(0.1, mould_mm=0), [(0, 25), (60, 35)])
    assert found.gel_all_min == pytest.approx(by_hand, rel=0.01)
    assert round(FASTER, 3) == 2.054


def test_a_light_cup_gels_by_the_shares_and_by_the_minutes_it_takes_to_warm():
    still, warm = (cup_life_through(SLOW, 1, [(0, each)], "gel") for each in (25, 35))
    by_hand = 60 + (1 - 60 / still) * warm
    # one gram: 1.7 J/K over 6 cm² at some 10 W/m²K is a lag of about five minutes at the most
    assert by_hand < cup_life_through(SLOW, 1, [(0, 25), (60, 35)], "gel") < by_hand + 5


@pytest.mark.parametrize("criterion", ["viscosity", "gel", "temperature"])
def test_at_one_temperature_it_is_the_pot_life(criterion):
    assert cup_life_through(FAST, 100, [(0, 25)], criterion) == pytest.approx(
        pot_life_min(FAST, 100, 25, criterion)
    )


def test_at_one_temperature_it_is_the_pour():
    layup = Layup(40, 1, 1)
    found, whole = pour_through(FAST, layup, [(0, 25)]), predict_pour(FAST, layup)
    assert (found.gel_first_min, found.gel_all_min) == pytest.approx((whole.gel_first_min, whole.gel_all_min))
    assert found.handling_min == pytest.approx(60 * whole.handling_h)


def test_a_reading_of_the_same_temperature_changes_next_to_nothing():
    layup = Layup(40, 1, 1)
    once, twice = (pour_through(FAST, layup, temps) for temps in ([(0, 25)], [(0, 25), (20, 25), (300, 25)]))
    assert twice.gel_all_min == pytest.approx(once.gel_all_min, rel=0.005)
    assert twice.handling_min == pytest.approx(once.handling_min, rel=0.005)


def test_a_warmer_shop_thickens_a_cup_sooner_and_a_colder_one_later():
    lives = [cup_life_through(FAST, 100, [(0, 25), (10, then)]) for then in (35, 25, 15)]
    assert lives == sorted(lives)
    assert lives[0] < lives[1] < lives[2]


def test_a_film_is_said_to_take_twice_as_long_to_be_sanded():
    film, thick = (pour_through(FAST, Layup(depth), [(0, 25)]) for depth in (3, 3.01))
    assert film.handling_min == pytest.approx(2 * thick.handling_min, rel=0.02)


def test_what_is_not_reached_is_none():
    found = pour_through(Kinetics(k_ref_per_s=1e-6), Layup(3), [(0, 15)], horizon_h=5)
    assert (found.gel_first_min, found.next_min, found.handling_min) == (None, None, None)


@pytest.mark.parametrize("temps", [[], [(5, 25)], [(0, 25), (30, 20), (10, 22)]])
def test_temperatures_out_of_order_are_refused(temps):
    with pytest.raises(ValueError, match="begin with its start and come in order"):
        pour_through(FAST, Layup(3), temps)


def test_a_temperature_that_no_shop_has_is_refused():
    with pytest.raises(OutOfRange, match="must be from -10 to 60 °C"):
        cup_life_through(FAST, 100, [(0, 25), (5, 75)])


def test_an_unknown_end_of_pot_life_is_refused():
    with pytest.raises(UnknownName, match="end of pot life"):
        cup_life_through(FAST, 100, [(0, 25)], "thick")
