import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.resin.kinetics import (
    Kinetics,
    arrhenius,
    conversion_at_growth,
    glass_conversion,
    rate_per_s,
    reaction_time,
    viscosity_pa_s,
)
from materials.science.resin.reaction import Reaction, fluidity_per_pa_s
from tests.data.rows import rows

PLAIN = Kinetics(k_ref_per_s=1e-4)
conversions = st.floats(0.001, 0.99)
temps_c = st.floats(0, 200)


@pytest.mark.parametrize(
    ("conversion", "temp_c", "rate"),
    [
        (0, 25, 1.0000e-5),
        (0.3, 25, 1.96000e-5),
        (0.3, 60, 2.01627e-4),
        (0.9, 25, 3.7065e-7),
        (0.9, 80, 3.15962e-5),
    ],
)
def test_the_rate_is_that_of_the_reference_run(conversion, temp_c, rate):
    assert rate_per_s(PLAIN, conversion, temp_c) == pytest.approx(rate, rel=2e-5)


@pytest.mark.parametrize(("c", "time"), [(0.1, 3.53070), (0.03, 4.96670), (1, 1.01091)])
def test_the_time_to_gel_at_one_temperature_is_that_of_the_reference_run(c, time):
    assert reaction_time(Kinetics(1e-4, c=c), 0.577) == pytest.approx(time, abs=6e-6)


def test_the_time_to_gel_is_the_integral_by_a_library():
    from scipy.integrate import quad

    own, _ = quad(lambda a: 1 / ((0.1 + a) * (1 - a) ** 2), 1e-4, 0.577)
    assert reaction_time(PLAIN, 0.577) == pytest.approx(own, rel=1e-8)


@pytest.mark.parametrize(("growth", "conversion"), [(2, 0.193779), (4, 0.308874), (10, 0.404745)])
def test_it_thickens_at_the_conversions_of_the_reference_run(growth, conversion):
    assert conversion_at_growth(PLAIN, growth) == pytest.approx(conversion, abs=6e-7)


@pytest.mark.parametrize(
    ("conversion", "temp_c", "viscosity"), [(0.3, 25, 1.87337), (0.5, 40, 9.70046), (0, 15, 1.07985)]
)
def test_it_is_as_thick_as_in_the_reference_run(conversion, temp_c, viscosity):
    assert viscosity_pa_s(PLAIN, conversion, temp_c) == pytest.approx(viscosity, abs=6e-6)


@pytest.mark.parametrize(("temp_c", "conversion"), [(15, 0.823), (25, 0.882), (40, 0.957)])
def test_it_turns_to_glass_at_the_conversions_of_the_reference_run(temp_c, conversion):
    assert glass_conversion(PLAIN, temp_c + 273.15) == pytest.approx(conversion, abs=5.1e-4)


@pytest.mark.parametrize("row", rows("cure", quantity="Arrhenius rate factor"))
def test_ten_degrees_speed_it_up_as_arrhenius_says(row):
    energy = 1000 * row["inputs"]["Ea_kJ_mol"]
    assert arrhenius(energy, 303.15) / arrhenius(energy, 293.15) == pytest.approx(
        row["expected"], abs=row["tolerance"]
    )


@pytest.mark.parametrize("row", rows("cure", quantity="activation energy equivalent"))
def test_twice_as_fast_for_ten_degrees_is_the_published_activation_energy(row):
    energy = 1000 * row["expected"]
    assert arrhenius(energy, 303.15) / arrhenius(energy, 293.15) == pytest.approx(2, abs=0.002)


@pytest.mark.parametrize("row", rows("cure", quantity="adiabatic rise"))
def test_the_heat_warms_it_by_heat_over_capacity(row):
    own = row["inputs"]
    kinetics = Kinetics(
        1e-4, heat_j_per_kg=1000 * own["H_J_g"], specific_heat_j_per_kg_k=1000 * own["cp_J_gK"]
    )
    assert kinetics.adiabatic_rise_k == pytest.approx(row["expected"], abs=row["tolerance"])


def test_it_gels_where_flory_and_stockmayer_say():
    assert PLAIN.gel_conversion == pytest.approx(1 / math.sqrt((2 - 1) * (4 - 1)), abs=5e-4)


@given(conversions, temps_c)
def test_many_cells_at_once_give_the_rate_of_one(conversion, temp_c):
    found = Reaction(PLAIN).rate(np.array([conversion]), np.array([temp_c + 273.15]))
    assert float(found[0]) == pytest.approx(rate_per_s(PLAIN, conversion, temp_c), rel=1e-10)


@given(st.floats(0, 0.55), temps_c)
def test_many_cells_at_once_give_the_viscosity_of_one(conversion, temp_c):
    found = fluidity_per_pa_s(PLAIN, np.array([conversion]), np.array([temp_c + 273.15]))
    assert 1 / float(found[0]) == pytest.approx(viscosity_pa_s(PLAIN, conversion, temp_c), rel=1e-9)


@given(st.floats(0.01, 0.97), st.floats(5, 150), st.sampled_from([(1.0, 2.0), (0.7, 1.5), (1.3, 2.5)]))
def test_the_slopes_are_those_of_small_steps(conversion, temp_c, powers):
    reaction = Reaction(Kinetics(1e-4, m=powers[0], n=powers[1]))
    a, temp = np.array([conversion]), np.array([temp_c + 273.15])
    rate, by_conversion, by_temp = reaction.slopes(a, temp)
    step = 1e-6
    small = (reaction.rate(a + step, temp) - reaction.rate(a - step, temp)) / (2 * step)
    warm = (reaction.rate(a, temp + 1e-3) - reaction.rate(a, temp - 1e-3)) / 2e-3
    assert by_conversion == pytest.approx(small, rel=1e-4, abs=1e-6 * float(rate[0]))
    assert by_temp == pytest.approx(warm, rel=1e-4)


@given(conversions, st.floats(0, 190))
def test_warmer_is_never_slower(conversion, temp_c):
    assert rate_per_s(PLAIN, conversion, temp_c + 5) >= rate_per_s(PLAIN, conversion, temp_c)


@given(st.floats(0, 0.5), st.floats(0, 100))
def test_it_thickens_as_it_cures_and_thins_as_it_warms(conversion, temp_c):
    own = viscosity_pa_s(PLAIN, conversion, temp_c)
    assert (
        viscosity_pa_s(PLAIN, conversion + 0.05, temp_c) > own > viscosity_pa_s(PLAIN, conversion, temp_c + 5)
    )


def test_from_the_gel_on_it_does_not_flow():
    assert viscosity_pa_s(PLAIN, 0.577, 25) == math.inf


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: Kinetics(0), "k ref is 0 1/s"),
        (lambda: Kinetics(1e-4, c=-0.1), "c is -0.1"),
        (lambda: Kinetics(1e-4, heat_j_per_kg=300), "heat is 300 J/kg"),
        (lambda: Kinetics(float("nan")), "k ref is not a number"),
        (lambda: rate_per_s(PLAIN, 1.1, 25), "conversion is 1.1"),
        (lambda: rate_per_s(PLAIN, 0.5, 900), "temperature is 900 °C"),
        (lambda: viscosity_pa_s(PLAIN, -0.1, 25), "conversion is -0.1"),
        (lambda: conversion_at_growth(PLAIN, 0.5), "growth is 0.5"),
        (lambda: reaction_time(PLAIN, 1), "conversion is 1"),
    ],
)
def test_a_resin_that_cannot_be_is_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
