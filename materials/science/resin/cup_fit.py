"""A thermometer in a real cup, turned into rate, heat and shape of its resin."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares

from materials.science.errors import OutOfRange, checked
from materials.science.resin.bodies import cup_cylinder
from materials.science.resin.cups import cup_path
from materials.science.resin.kinetics import ZERO_C_K, Kinetics
from materials.science.resin.reaction import Vector
from materials.science.resin.solver import USUAL, Peaked

LEAST_RISE_K = 10.0
SHARES = (0.1, 0.25, 0.5, 0.75, 0.95)
HALF = 1 + SHARES.index(0.5)
LONGEST_MIN = 10_000
# the search can end in a wrong valley: if it ends worse than this, it starts anew from another shape
GOOD_PERCENT = 3.0
OTHER_SHAPES = (0.4, 0.03)
MOST_TRIALS = 40
LOW = (math.log(1e-8), math.log(100e3), math.log(0.01))
HIGH = (math.log(1e-1), math.log(500e3), math.log(2.0))


@dataclass(frozen=True)
class CupFit:
    """A resin fitted to a cup, and how far the readings are off it, as a share of their rise.

    >>> CupFit(Kinetics(1e-4), 1.0, 30).residual_percent
    1.0
    """

    kinetics: Kinetics
    residual_percent: float
    simulations: int


def fitted_to_cup(
    kinetics: Kinetics, mass_g: float, temp_c: float, times_min: Sequence[float], temps_c: Sequence[float]
) -> CupFit:
    """Rate, heat and shape by least squares over the readings.

    Parameters: kinetics to begin with; mass_g; temp_c; times_min, rising; temps_c.
    Returns: a CupFit.
    Raises: OutOfRange, if the readings do not warm by 10 K or their times do not rise.
    Valid for: a thermometer in the middle of the cup, which is taken for its hottest point.
    Source: least squares within bounds (trust region reflective), over the rise and times to shares of it.

    >>> fitted_to_cup(Kinetics(1e-4), 100, 25, [0, 1, 2], [25, 25, 26])
    Traceback (most recent call last):
    ...
    materials.science.errors.OutOfRange: rise is 1 K, which is too low: it must be from 10 to 400 K
    """
    times, temps = checked_readings(times_min, temps_c, temp_c)
    wanted = features(times, temps, temp_c)
    until_min = max(float(times[-1]), 1.0)
    count = 0

    def readings_of(trial: Kinetics) -> Vector:
        # the model is read at the same moments, so that a peak between two readings is missed by both
        return np.interp(times, *cup_curve(trial, mass_g, temp_c, until_min))

    def off(x: Vector) -> Vector:
        nonlocal count
        count += 1
        return features(times, readings_of(at(kinetics, x)), temp_c) - wanted

    best = CupFit(kinetics, math.inf, 0)
    for c in (kinetics.c, *OTHER_SHAPES):
        start = scaled_start(replace(kinetics, c=c), mass_g, temp_c, wanted)
        found = least_squares(off, start, bounds=(LOW, HIGH), diff_step=1e-2, max_nfev=MOST_TRIALS, xtol=1e-4)
        fitted = at(kinetics, found.x)
        misses = readings_of(fitted) - temps
        residual = 100 * math.sqrt(float(np.mean(misses**2))) / (float(temps.max()) - temp_c)
        best = min(best, CupFit(fitted, residual, 0), key=lambda fit: fit.residual_percent)
        if best.residual_percent < GOOD_PERCENT:
            break
    return replace(best, simulations=count)


def features(times_min: Vector, temps_c: Vector, temp_c: float) -> Vector:
    """What makes up the shape of a cup's curve: logarithms of its rise and of the times to shares of it.

    A hot front is so steep that a least-squares fit of the temperatures themselves loses its way; times to
    shares of the rise change smoothly with the resin.

    Parameters: times_min and temps_c of the curve; temp_c at the start.
    Returns: the logarithm of the rise, then those of the times.

    >>> features(np.array([0.0, 10.0]), np.array([20.0, 30.0]), 20).round(2).tolist()[:3]
    [2.3, 0.0, 0.92]
    """
    rise = max(float(temps_c.max()) - temp_c, 1e-3)
    moments = [first_above(times_min, temps_c, temp_c + share * rise) for share in SHARES]
    return np.log([rise, *moments])


def at(kinetics: Kinetics, x: Vector) -> Kinetics:
    """The resin at one point of the search: logarithms of rate, heat and c.

    Parameters: kinetics; x.

    >>> round(at(Kinetics(1e-4), np.log([1e-3, 3e5, 0.2])).c, 3)
    0.2
    """
    rate, heat, c = np.exp(x).tolist()
    return replace(kinetics, k_ref_per_s=rate, heat_j_per_kg=heat, c=c)


def cup_curve(kinetics: Kinetics, mass_g: float, temp_c: float, until_min: float) -> tuple[Vector, Vector]:
    """The hottest point of a cup until it has peaked.

    Parameters: kinetics; mass_g; temp_c; until_min, the latest.
    Returns: minutes, and °C at each.
    Valid for, source: as predict_cup.

    >>> float(cup_curve(Kinetics(1e-4), 100, 25, 1)[0][-1])
    1.0
    """
    cup = cup_cylinder(kinetics, mass_g)
    path = cup_path(kinetics, cup, temp_c, until_min * 60, Peaked(temp_c + ZERO_C_K), USUAL)
    return np.array(path.times_s) / 60, path.all_temps_k.max(axis=1) - ZERO_C_K


def scaled_start(kinetics: Kinetics, mass_g: float, temp_c: float, wanted: Vector) -> Vector:
    """Where the search begins: a heat from the rise, and the rate from the time to half of it.

    Parameters: kinetics; mass_g; temp_c; wanted, the features of the readings.
    Returns: logarithms of rate, heat and c.

    >>> wanted = features(*cup_curve(Kinetics(1e-3), 100, 25, 60), 25)
    >>> bool(abs(scaled_start(Kinetics(2e-3), 100, 25, wanted)[0] - math.log(1e-3)) < 0.3)
    True
    """
    heat = min(max(kinetics.specific_heat_j_per_kg_k * math.exp(wanted[0]), 150e3), 400e3)
    trial = replace(kinetics, heat_j_per_kg=heat)
    for _ in range(8):
        found = features(*cup_curve(trial, mass_g, temp_c, LONGEST_MIN), temp_c)
        ahead = float(found[HALF] - wanted[HALF])
        trial = replace(trial, k_ref_per_s=min(max(trial.k_ref_per_s * math.exp(ahead), 2e-8), 5e-2))
        if abs(ahead) < 0.05:
            break
    return np.log([trial.k_ref_per_s, heat, kinetics.c])


def first_above(times: Vector, temps: Vector, level: float) -> float:
    """When a curve first reaches a level, straight between its points; its last time if it never does.

    Parameters: times; temps; level.

    >>> first_above(np.array([0.0, 10.0]), np.array([20.0, 30.0]), 25)
    5.0
    """
    above = np.flatnonzero(temps >= level)
    if not len(above):
        return float(times[-1])
    i = int(above[0])
    if i == 0:
        return max(float(times[0]), 1e-3)
    share = (level - temps[i - 1]) / (temps[i] - temps[i - 1])
    return float(times[i - 1] + share * (times[i] - times[i - 1]))


def checked_readings(
    times_min: Sequence[float], temps_c: Sequence[float], temp_c: float
) -> tuple[Vector, Vector]:
    """The readings as arrays, if something can be learnt from them.

    Parameters: times_min, from mixing on; temps_c; temp_c at the start.
    Raises: OutOfRange.

    >>> checked_readings([0, 10, 20], [25, 60, 90], 25)[0].tolist()
    [0.0, 10.0, 20.0]
    """
    if len(times_min) != len(temps_c):
        raise OutOfRange("readings", len(temps_c), len(times_min), len(times_min), "")
    last = -1e-9
    for time_min, reading_c in zip(times_min, temps_c, strict=True):
        checked("times_min", time_min, last, 50_000, "min")
        checked("temps_c", reading_c, -20, 450, "°C")
        last = time_min
    checked("rise", max(temps_c) - temp_c, LEAST_RISE_K, 400, "K")
    return np.array(times_min, dtype=float), np.array(temps_c, dtype=float)
