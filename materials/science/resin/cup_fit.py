"""A thermometer in a real cup, turned into rate, heat and shape of its resin."""

import math
from collections.abc import Callable, Sequence
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
GOOD_PERCENT = 2.5
OTHER_SHAPES = (0.4, 0.03)
MOST_TRIALS, MOST_POLISHES = 40, 12
# as shares of the logarithms: each is about a hundredth of rate, heat and shape themselves
SMALL_STEPS = (1e-3, 8e-4, 4e-3)
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
    Source: least squares within bounds (trust region reflective), over the rise and times to shares of it,
    then over the readings themselves.

    >>> fitted_to_cup(Kinetics(1e-4), 100, 25, [0, 1, 2], [25, 25, 26])
    Traceback (most recent call last):
    ...
    materials.science.errors.OutOfRange: rise is 1 K, which is too low: it must be from 10 to 400 K
    """
    times, temps = checked_readings(times_min, temps_c, temp_c)
    log = _Log(kinetics, mass_g, temp_c, times, temps)
    found, misses = kinetics, math.inf
    for c in (kinetics.c, *OTHER_SHAPES):
        trial = log.near(replace(kinetics, c=c))
        own = log.misses_percent(trial)
        found, misses = (trial, own) if own < misses else (found, misses)
        if misses < GOOD_PERCENT:
            break
    found = log.polished(found)
    return CupFit(found, log.misses_percent(found), log.simulations)


class _Log:
    """The readings of one cup, and what the model makes of them."""

    def __init__(
        self, kinetics: Kinetics, mass_g: float, temp_c: float, times_min: Vector, temps_c: Vector
    ) -> None:
        self.kinetics, self.mass_g, self.temp_c = kinetics, mass_g, temp_c
        self.times_min, self.temps_c = times_min, temps_c
        self.rise_k = float(temps_c.max()) - temp_c
        self.wanted = features(times_min, temps_c, temp_c)
        self.simulations = 0

    def model_c(self, trial: Kinetics) -> Vector:
        """The model at the readings' own moments, so that a peak between two of them is missed by both."""
        self.simulations += 1
        until_min = max(float(self.times_min[-1]), 1.0)
        return np.interp(self.times_min, *cup_curve(trial, self.mass_g, self.temp_c, until_min))

    def misses_percent(self, trial: Kinetics) -> float:
        """The root mean square of what the model misses the readings by, as a share of their rise."""
        misses = self.model_c(trial) - self.temps_c
        return 100 * math.sqrt(float(np.mean(misses**2))) / self.rise_k

    def near(self, start: Kinetics) -> Kinetics:
        """The fit to the shape of the curve."""

        def off(x: Vector) -> Vector:
            own = self.model_c(at(self.kinetics, x))
            return features(self.times_min, own, self.temp_c) - self.wanted

        return self._least(off, scaled_start(start, self.mass_g, self.temp_c, self.wanted), MOST_TRIALS)

    def polished(self, start: Kinetics) -> Kinetics:
        """The fit to the readings themselves, from near by."""

        def off(x: Vector) -> Vector:
            return (self.model_c(at(self.kinetics, x)) - self.temps_c) / self.rise_k

        x = np.log([start.k_ref_per_s, start.heat_j_per_kg, start.c])
        return self._least(off, x, MOST_POLISHES)

    def _least(self, off: Callable[[Vector], Vector], start: Vector, trials: int) -> Kinetics:
        found = least_squares(
            off, start, bounds=(LOW, HIGH), diff_step=SMALL_STEPS, xtol=1e-4, max_nfev=trials
        )
        return at(self.kinetics, found.x)


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
