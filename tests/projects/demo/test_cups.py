"""The demo's cup readings: computed, and so they are said to be."""

from dataclasses import replace

import numpy as np

from materials.fit import advice
from materials.fit.readings import readings_in
from materials.models import Resin
from materials.science.resin.cups import predict_cup
from projects.demo.story import cups
from projects.demo.story.shelf import RESINS

NOISE_K = 0.25 + 0.05  # the noise, and the rounding of a reading to tenths


def test_the_readings_are_the_models_own_with_a_little_noise():
    fitted = advice.by_sheet(advice.sheet_of(Resin(**RESINS["deep"]))).kinetics["nominal"]
    near = replace(
        fitted,
        k_ref_per_s=fitted.k_ref_per_s * cups.FASTER,
        heat_j_per_kg=fitted.heat_j_per_kg * cups.HOTTER,
    )
    cup = predict_cup(near, cups.CUP["mass_g"], cups.CUP["temp_c"])
    minutes, temps_c = zip(*cups.READINGS, strict=True)
    off = np.array(temps_c) - np.interp(minutes, cup.times_min, cup.hottest_c)
    assert 0 < np.abs(off).max() <= NOISE_K


def test_the_readings_go_on_until_the_cup_has_cooled_by_ten_degrees():
    for readings in (cups.READINGS, cups.SPOILT_READINGS):
        assert readings_in("\n".join(f"{minute}; {temp_c}" for minute, temp_c in readings)) == [
            (float(minute), temp_c) for minute, temp_c in readings
        ]
    assert max(temp_c for _, temp_c in cups.READINGS) - cups.READINGS[-1][1] > 10
