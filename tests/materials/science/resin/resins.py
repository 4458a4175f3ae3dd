"""Resins that the tests share, and how closely a figure of the reference run must be met.

The reference run is another program for the same equations (written before this one, other grid and steps);
its figures are quoted to the digits that it printed.
"""

import math
from dataclasses import replace
from functools import cache

import pytest

from materials.science.resin.calibration import BANDS, Datasheet, PotLife, calibrate
from materials.science.resin.cups import cup_time_s
from materials.science.resin.exotherm import Layup, predict_pour
from materials.science.resin.fit import Fit
from materials.science.resin.solver import USUAL


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


class CoarseFit(Fit):
    """A fit at the usual steps of a pour instead of the finer ones of a pot life."""

    def off(self, kinetics):
        own = self.pot_life
        found_s = cup_time_s(kinetics, own.mass_g, own.temp_c, own.criterion, USUAL)
        return math.log(found_s / (own.minutes * 60))


@cache
def coarsely_fitted(minutes, band="nominal"):
    """The kinetics fitted at coarser steps."""
    criterion = BANDS[band].criterion or "viscosity"
    return CoarseFit(PotLife(minutes, 100, 25, criterion)).to_pot_life(resin(minutes, band))


@cache
def pour(minutes, depth_mm, strip_mm=0, gap_mm=0, band="nominal", horizon_h=120, **layup):
    """The prediction of a pour of such a resin."""
    return predict_pour(resin(minutes, band), Layup(depth_mm, strip_mm, gap_mm, **layup), horizon_h)


def degrees(printed, digit=1.0):
    """A peak printed to a digit: within 0.3 K beyond its rounding."""
    return pytest.approx(printed, abs=0.3 + digit / 2)


def percent(printed, digit=1.0, share=0.01):
    """A time or depth printed to a digit: within 1 % beyond its rounding."""
    return pytest.approx(printed, abs=share * abs(printed) + digit / 2)


def hot_front(printed):
    """The peak of a hot front, whose figure hangs on the grid: within 3 K."""
    return pytest.approx(printed, abs=3.5)
