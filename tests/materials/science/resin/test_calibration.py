import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange, UnknownName
from materials.science.resin.calibration import (
    Datasheet,
    NotReproducible,
    PotLife,
    calibrate,
    cautious_after_cup,
    cool_after_cup,
    fit_cup,
    pot_life_min,
    predict_cup,
)
from materials.science.resin.exotherm import Layup, predict_pour
from materials.science.resin.fit import Fit
from materials.science.resin.kinetics import Kinetics
from tests.materials.science.resin.resins import fitted, percent, resin

CUP = {"mass_g": 100, "temp_c": 25}


@pytest.mark.parametrize(
    ("minutes", "k_ref"), [(5, 2.003e-3), (40, 2.932e-4), (360, 5.771e-5), (720, 2.969e-5)]
)
def test_a_pot_life_gives_the_rate_of_the_reference_run(minutes, k_ref):
    # source: the reference run at fine steps (1e-5)
    assert resin(minutes).k_ref_per_s == pytest.approx(k_ref, rel=0.01)


def test_from_five_minutes_to_twelve_hours_a_longer_pot_life_is_a_smaller_rate():
    lives = np.geomspace(5, 720, 25)
    own = [calibrate(Datasheet(PotLife(float(minutes), **CUP))) for minutes in lives]
    rates = [one.kinetics.k_ref_per_s for one in own]
    assert rates == sorted(rates, reverse=True)
    assert len(set(rates)) == 25
    assert max(one.residual_percent for one in own) < 0.5


@settings(max_examples=10, deadline=None)
@given(st.floats(5, 720), st.floats(50, 500), st.floats(18, 30))
def test_the_fitted_resin_has_the_sheets_pot_life(minutes, mass_g, temp_c):
    own = calibrate(Datasheet(PotLife(minutes, mass_g, temp_c)))
    assert pot_life_min(own.kinetics, mass_g, temp_c) == pytest.approx(minutes, rel=0.005)


def test_the_fit_takes_six_to_ten_simulations():
    assert all(6 <= fitted(minutes).simulations <= 10 for minutes in (5, 40, 360, 720))


@pytest.mark.parametrize(
    ("band", "c", "heat", "h_top"),
    [
        ("cool", 0.2, 160e3, 11),
        ("nominal", 0.1, 300e3, 11),
        ("cautious", 0.05, 330e3, 9),
        ("worst", 0.03, 345e3, 8),
    ],
)
def test_a_band_is_the_same_pot_life_with_other_guesses(band, c, heat, h_top):
    own = fitted(40, band)
    assert (own.band, own.kinetics.c, own.kinetics.heat_j_per_kg) == (band, c, heat)
    assert own.kinetics.h_top_w_per_m2_k == h_top
    criterion = "gel" if band == "worst" else "viscosity"
    assert pot_life_min(own.kinetics, 100, 25, criterion) == pytest.approx(40, rel=0.005)


@pytest.mark.parametrize("minutes", [40, 90, 240, 360, 480])
def test_the_bands_lie_in_their_order(minutes):
    peaks = [
        predict_pour(resin(minutes, band), Layup(40, 1, 1)).peak_c
        for band in ("cool", "nominal", "cautious", "worst")
    ]
    assert peaks == sorted(peaks)


def test_a_band_rests_on_the_pot_life_alone():
    sheet = Datasheet(
        PotLife(40, **CUP), second_pot_life=PotLife(20, 100, 35), max_depth_mm=10, cup_peak_c=150
    )
    own = calibrate(sheet, "cautious")
    assert own.depth_kinetics is None
    assert own.kinetics.k_ref_per_s == resin(40, "cautious").k_ref_per_s


def test_a_depth_makes_the_second_fit_of_the_reference_run():
    own = fitted(40, max_depth_mm=10)
    assert own.depth_kinetics.c == percent(0.315, 0.001)
    assert own.depth_kinetics.k_ref_per_s == percent(1.32e-4, 1e-6)
    assert own.kinetics == resin(40)


def test_a_great_depth_takes_heat_off_as_in_the_reference_run():
    own = fitted(360, max_depth_mm=50).depth_kinetics
    assert own.c == pytest.approx(1)
    assert own.heat_j_per_kg / 1000 == percent(232)
    assert own.k_ref_per_s == percent(1.01e-5, 1e-7)
    assert pot_life_min(own, 100, 25, "gel") / 60 == percent(24)


@pytest.mark.parametrize(("minutes", "depth_mm"), [(40, 10), (360, 50)])
def test_a_depth_fit_stays_just_below_sixty_degrees(minutes, depth_mm):
    own = fitted(minutes, max_depth_mm=depth_mm).depth_kinetics
    assert 59 <= predict_pour(own, Layup(depth_mm)).peak_c <= 60


def test_a_sheet_stricter_than_the_model_keeps_the_plain_fit():
    own = fitted(40, max_depth_mm=3)
    assert own.depth_kinetics == own.kinetics
    assert own.flags == ()


def test_a_depth_that_does_not_fit_the_pot_life_is_said_in_words():
    own = fitted(240, max_depth_mm=50)
    assert own.depth_kinetics == own.kinetics
    words = "A pot life of 240 min and a depth of 50 mm do not fit together in this model"
    (flag,) = own.flags
    assert flag.startswith(f"{words}: the depth was not used.")


def test_a_depth_that_does_not_fit_names_the_figures_to_look_at():
    (flag,) = fitted(240, max_depth_mm=50).flags
    assert "Look again on the sheet whether the pot life is that of 100 g at 25 °C" in flag
    assert flag.endswith("the depth is that of neat resin, not of resin filled with wood.")


@pytest.mark.parametrize("kilojoule", [45.0, 62.0])
def test_a_second_pot_life_gives_back_the_activation_energy(kilojoule):
    own = Kinetics(3e-4, activation_j_per_mol=1000 * kilojoule)
    first, second = (PotLife(pot_life_min(own, 100, temp_c), 100, temp_c) for temp_c in (25, 15))
    found = calibrate(Datasheet(first, second_pot_life=second))
    assert found.kinetics.activation_j_per_mol == pytest.approx(own.activation_j_per_mol, rel=0.005)
    assert pot_life_min(found.kinetics, 100, 15) == pytest.approx(second.minutes, rel=0.01)


@pytest.mark.parametrize(
    ("second", "words"),
    [
        (PotLife(42, 100, 24), "nearly the same temperature"),
        (PotLife(45, 100, 15), "do not fit together"),
        (PotLife(45, 100, 15), "which mass and which temperature each of them is for"),
    ],
)
def test_a_second_pot_life_that_tells_nothing_is_said_in_words(second, words):
    own = calibrate(Datasheet(PotLife(40, **CUP), second_pot_life=second))
    assert words in own.flags[0]
    assert own.kinetics.activation_j_per_mol == 55_000


def test_a_cups_peak_gives_back_the_heat():
    own = Fit(PotLife(40, **CUP)).to_pot_life(Kinetics(3e-4, heat_j_per_kg=240_000))
    peak_c = predict_cup(own, 100, 25).peak_c
    found = calibrate(Datasheet(PotLife(40, **CUP), cup_peak_c=peak_c))
    assert found.kinetics.heat_j_per_kg == pytest.approx(240_000, rel=0.01)


@pytest.mark.parametrize(
    ("minutes", "peak_c", "words"),
    [
        (360, 40, "says too little about the heat"),
        (40, 30, "No heat between"),
        (40, 30, "whether the peak is that of the pot life's cup"),
    ],
)
def test_a_peak_that_tells_nothing_is_said_in_words(minutes, peak_c, words):
    own = calibrate(Datasheet(PotLife(minutes, **CUP), cup_peak_c=peak_c))
    assert words in own.flags[0]
    assert own.kinetics.heat_j_per_kg == 300_000


@pytest.mark.parametrize("minutes", [150, 220])
def test_a_fast_rise_of_temperature_can_be_fitted(minutes):
    own = calibrate(Datasheet(PotLife(minutes, **CUP, criterion="temperature")))
    assert pot_life_min(own.kinetics, 100, 25, "temperature") == pytest.approx(minutes, rel=0.005)


@pytest.mark.parametrize("minutes", [240, 360])
def test_a_slow_rise_of_temperature_has_no_rate(minutes):
    # at c 0.1 the time jumps somewhere between 220 and 240 min: slower cups never warm by 25 K
    with pytest.raises(NotReproducible, match=f"no rate gives a pot life of {minutes} min for 100 g"):
        calibrate(Datasheet(PotLife(minutes, **CUP, criterion="temperature")))


def test_a_steeper_start_moves_the_jump_to_slower_cups():
    # the reference run says "5 h at c 0.02"; here 360 min still has a rate and 400 min has none
    steep = Kinetics(1e-4, c=0.02)
    assert Fit(PotLife(360, **CUP, criterion="temperature")).to_pot_life(steep).k_ref_per_s > 0
    with pytest.raises(NotReproducible, match="no rate gives a pot life of 400 min"):
        Fit(PotLife(400, **CUP, criterion="temperature")).to_pot_life(steep)


def readings(kinetics, every_min):
    cup = predict_cup(kinetics, 100, 25)
    times = np.arange(0, cup.times_min[-1] + 2 * every_min, every_min)
    return times.tolist(), np.interp(times, cup.times_min, cup.hottest_c).tolist()


@pytest.mark.slow  # about 8 s for the three
@pytest.mark.parametrize(
    ("known", "minutes", "every_min"),
    [
        (Kinetics(8e-4), 20, 0.5),
        (Kinetics(3e-4, c=0.3, heat_j_per_kg=220_000), 60, 1),
        (Kinetics(1e-4, c=0.05, heat_j_per_kg=380_000), 100, 2),
    ],
)
def test_a_thermometer_in_a_cup_gives_back_heat_and_pot_life(known, minutes, every_min):
    own = fit_cup(Datasheet(PotLife(minutes, **CUP)), 100, 25, *readings(known, every_min))
    assert own.rests_on_cup_test
    assert "Rests on a cup test." in own.flags
    assert own.residual_percent < 3
    assert own.kinetics.heat_j_per_kg == pytest.approx(known.heat_j_per_kg, rel=0.04)
    assert pot_life_min(own.kinetics, 100, 25) == pytest.approx(pot_life_min(known, 100, 25), rel=0.03)


@pytest.mark.slow  # about 3 s
def test_after_a_cup_test_the_safe_side_is_the_fit_with_more_heat():
    own = fit_cup(Datasheet(PotLife(20, **CUP)), 100, 25, *readings(Kinetics(8e-4), 1))
    safe = cautious_after_cup(own)
    assert safe.band == "cautious"
    assert safe.rests_on_cup_test
    assert safe.kinetics.heat_j_per_kg == own.kinetics.heat_j_per_kg + 30_000
    assert safe.kinetics.c == own.kinetics.c / 2
    assert pot_life_min(safe.kinetics, 100, 25) == pytest.approx(
        pot_life_min(own.kinetics, 100, 25), rel=0.01
    )
    assert predict_pour(safe.kinetics, Layup(10)).peak_c > predict_pour(own.kinetics, Layup(10)).peak_c


def test_after_a_cup_test_the_cool_end_mirrors_the_safe_side():
    own = calibrate(Datasheet(PotLife(20, **CUP)))
    cool = cool_after_cup(own)
    assert cool.band == "cool"
    assert cool.kinetics.heat_j_per_kg == own.kinetics.heat_j_per_kg - 30_000
    assert cool.kinetics.c == 2 * own.kinetics.c
    assert pot_life_min(cool.kinetics, 100, 25) == pytest.approx(
        pot_life_min(own.kinetics, 100, 25), rel=0.01
    )
    assert predict_pour(cool.kinetics, Layup(10)).peak_c < predict_pour(own.kinetics, Layup(10)).peak_c


SHEET = Datasheet(PotLife(40, 100, 25))


@pytest.mark.parametrize(
    ("call", "fault", "words"),
    [
        (lambda: PotLife(0, 100, 25), OutOfRange, "minutes is 0 min"),
        (lambda: PotLife(40, 100, 25, "feel"), UnknownName, 'called "feel"'),
        (lambda: Datasheet(PotLife(40, 100, 25), max_depth_mm=0), OutOfRange, "max depth is 0 mm"),
        (lambda: Datasheet(PotLife(40, 100, 25), cup_peak_c=20), OutOfRange, "cup peak is 20 °C"),
        (lambda: calibrate(SHEET, "hot"), UnknownName, 'no band is called "hot"; known are: cautious, cool'),
        (lambda: fit_cup(SHEET, 100, 25, [0, 1], [25, 30]), OutOfRange, "readings is 2"),
        (lambda: fit_cup(SHEET, 100, 25, [0, 1, 2, 3, 4, 5], [25] * 5 + [30]), OutOfRange, "rise is 5 K"),
        (lambda: fit_cup(SHEET, 100, 25, [0, 2, 1, 3, 4, 5], [25] * 5 + [60]), OutOfRange, "times is 1 min"),
        (lambda: fit_cup(SHEET, 100, 25, [0, 1, 2, 3, 4], [25] * 5 + [60]), OutOfRange, "readings is 6"),
        (lambda: fit_cup(SHEET, 100, 25, list(range(6)), [25] * 5 + [math.nan]), OutOfRange, "temps"),
    ],
)
def test_a_sheet_or_log_that_cannot_be_is_refused(call, fault, words):
    with pytest.raises(fault, match=words):
        call()
