"""Resins that the tests share: fitted once, by pot life and by what differs from the defaults."""

from dataclasses import replace
from functools import cache

from materials.science.resin.calibration import Datasheet, PotLife, calibrate
from materials.science.resin.exotherm import Layup, predict_pour
from materials.science.resin.fit import Fit


@cache
def fitted(minutes, band="nominal", mass_g=100, temp_c=25, **sheet):
    """The calibration of a resin with this pot life."""
    return calibrate(Datasheet(PotLife(minutes, mass_g, temp_c), **sheet), band)


def resin(minutes, band="nominal"):
    """The kinetics of a resin with this pot life."""
    return fitted(minutes, band).kinetics


@cache
def changed(minutes, **defaults):
    """The kinetics with other defaults, fitted to the pot life anew."""
    return Fit(PotLife(minutes, 100, 25)).to_pot_life(replace(resin(minutes), **defaults))


@cache
def pour(minutes, depth_mm, strip_mm=0, gap_mm=0, band="nominal", horizon_h=120, **layup):
    """The prediction of a pour of such a resin."""
    return predict_pour(resin(minutes, band), Layup(depth_mm, strip_mm, gap_mm, **layup), horizon_h)
