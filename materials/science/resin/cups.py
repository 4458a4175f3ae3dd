"""A cup of mixed resin: how long it can be poured, and how hot it gets."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, get_args

from materials.science.errors import UnknownName, checked
from materials.science.resin.kinetics import (
    START_CONVERSION,
    THICKENED,
    WARMED_K,
    ZERO_C_K,
    Criterion,
    Kinetics,
    arrhenius,
    conversion_at_growth,
    reaction_time,
)

if TYPE_CHECKING:
    from materials.science.resin.network import Network
    from materials.science.resin.reaction import Vector
    from materials.science.resin.solver import Path, Tolerance, Watch

    # whether a state meets the criterion; whether a march is done, given the hottest moment so far
    Reached = Callable[[Vector, Vector], bool]

# a cup that warms itself is never slower than this many times its time at one temperature
LONGEST = 3.0
CUP_HORIZON_H = 72.0


@dataclass(frozen=True)
class CupPrediction:
    """What a cup will do, by the model: its hottest point through time.

    >>> CupPrediction((0.0, 1.0), (25.0, 25.1), 25.1, 1.0).peak_c
    25.1
    """

    times_min: tuple[float, ...]
    hottest_c: tuple[float, ...]
    peak_c: float
    peak_min: float


def pot_life_min(
    kinetics: Kinetics, mass_g: float, temp_c: float, criterion: Criterion = "viscosity"
) -> float:
    """How long a cup can be poured.

    Parameters: kinetics; mass_g, the mixed cup in g; temp_c, of resin and shop in °C; criterion, what ends
    it: "viscosity" (twice as thick at the worst place), "gel", or "temperature" (25 K warmer).
    Returns: minutes; infinite if the cup never warms by 25 K.
    Raises: OutOfRange, UnknownName.
    Valid for: a cup of 0.6 times its diameter in height, resin and shop at one temperature.
    Source: the cup as a sphere with its volume over surface; not validated against this resin.

    >>> round(pot_life_min(Kinetics(k_ref_per_s=3e-3), 100, 25), 1)
    3.3
    """
    checked_cup(mass_g, temp_c)
    return cup_time_s(kinetics, mass_g, temp_c, checked_criterion(criterion)) / 60


def predict_cup(kinetics: Kinetics, mass_g: float, temp_c: float) -> CupPrediction:
    """How hot a cup gets that is left standing.

    Parameters: kinetics; mass_g; temp_c, of resin and shop in °C.
    Returns: a CupPrediction until it has peaked.
    Raises: OutOfRange.
    Valid for: as pot_life_min; a figure above 150 °C means "runaway".
    Source: heat conduction with the heat of cure in a cylinder (two dimensions).

    >>> cup = predict_cup(Kinetics(k_ref_per_s=3e-4), 100, 25)
    >>> 200 < cup.peak_c < 260
    True
    """
    from materials.science.resin.bodies import cup_cylinder
    from materials.science.resin.solver import USUAL, Peaked

    checked_cup(mass_g, temp_c)
    peaked = Peaked(temp_c + ZERO_C_K)
    cup = cup_cylinder(kinetics, mass_g)
    path = cup_path(kinetics, cup, temp_c, CUP_HORIZON_H * 3600, peaked, USUAL)
    peak_s, peak_k, _ = path.hottest()
    return CupPrediction(
        times_min=tuple(time_s / 60 for time_s in path.times_s),
        hottest_c=tuple((path.all_temps_k.max(axis=1) - ZERO_C_K).tolist()),
        peak_c=peak_k - ZERO_C_K,
        peak_min=peak_s / 60,
    )


def cup_path(
    kinetics: Kinetics,
    network: "Network",
    temp_c: float,
    until_s: float,
    stop: "Watch",
    tolerance: "Tolerance | None" = None,
) -> "Path":
    """The march of a cup until it is done.

    Parameters: kinetics; network of the cup; temp_c; until_s; stop, what watches for the end; tolerance
    (None: the finer one that a pot life needs).
    Returns: a Path.

    >>> from materials.science.resin.bodies import cup_sphere
    >>> resin = Kinetics(k_ref_per_s=3e-4)
    >>> cup_path(resin, cup_sphere(resin, 100), 25, 600, lambda *_: False).times_s[-1]
    600.0
    """
    from materials.science.resin.bodies import start_of
    from materials.science.resin.reaction import Reaction
    from materials.science.resin.solver import FINE, March

    temp_k = temp_c + ZERO_C_K
    start = start_of(network, temp_k, START_CONVERSION)
    return March(Reaction(kinetics), network, *start, temp_k, tolerance or FINE).until(until_s, stop)


def cup_time_s(
    kinetics: Kinetics,
    mass_g: float,
    temp_c: float,
    criterion: Criterion,
    tolerance: "Tolerance | None" = None,
) -> float:
    """When a cup meets the criterion, in s; infinite if it never does.

    Parameters: kinetics; mass_g; temp_c; criterion; tolerance of the steps.
    Returns: seconds.
    Valid for, source: as pot_life_min.

    >>> round(cup_time_s(Kinetics(k_ref_per_s=3e-3), 100, 25, "gel") / 60, 1)
    3.3
    """
    from materials.science.resin.bodies import cup_sphere
    from materials.science.resin.solver import Peaked

    reached = criterion_of(kinetics, temp_c, criterion)
    network = cup_sphere(kinetics, mass_g)

    peaked = Peaked(temp_c + ZERO_C_K)

    def stop(time_s: float, temps: "Vector", conversions: "Vector") -> bool:
        # a cup past its peak warms no further, but it still thickens
        over = criterion == "temperature" and peaked(time_s, temps, conversions)
        return over or reached(temps, conversions)

    until_s = LONGEST * isothermal_s(kinetics, temp_c, criterion)
    path = cup_path(kinetics, network, temp_c, until_s, stop, tolerance)
    found = path.when(reached)
    return math.inf if found is None else found


def isothermal_s(kinetics: Kinetics, temp_c: float, criterion: Criterion) -> float:
    """The time to the criterion if the cup kept its temperature.

    Parameters: kinetics; temp_c; criterion ("temperature" counts to the gel).
    Returns: seconds.

    >>> round(isothermal_s(Kinetics(k_ref_per_s=1e-4), 25, "gel"))
    35307
    """
    end = kinetics.gel_conversion
    if criterion == "viscosity":
        end = conversion_at_growth(kinetics, THICKENED)
    constant = kinetics.k_ref_per_s * arrhenius(kinetics.activation_j_per_mol, temp_c + ZERO_C_K)
    return reaction_time(kinetics, end) / constant


def criterion_of(kinetics: Kinetics, temp_c: float, criterion: Criterion) -> "Reached":
    """The question whether a cup's worst place has met the criterion.

    Parameters: kinetics; temp_c at the start; criterion.
    Returns: a function of temperatures (kelvin) and conversions.

    >>> import numpy as np
    >>> criterion_of(Kinetics(1e-4), 25, "gel")(np.array([298.0]), np.array([0.6]))
    True
    """
    from materials.science.resin.reaction import fluidity_per_pa_s

    start_k = temp_c + ZERO_C_K
    if criterion == "gel":
        return lambda _, cured: bool(cured.max() >= kinetics.gel_conversion)
    if criterion == "temperature":
        return lambda temps, _: bool(temps.max() >= start_k + WARMED_K)
    warmth = 1 / arrhenius(kinetics.viscosity_activation_j_per_mol, start_k)
    least = 1 / (THICKENED * kinetics.viscosity_pa_s * warmth)
    return lambda temps, cured: bool(fluidity_per_pa_s(kinetics, cured, temps).min() <= least)


def checked_criterion(criterion: Criterion) -> Criterion:
    """The criterion, if it is one of the known.

    Parameters: criterion.
    Raises: UnknownName.

    >>> checked_criterion("gel")
    'gel'
    """
    if criterion not in get_args(Criterion):
        raise UnknownName("end of pot life", criterion, get_args(Criterion))
    return criterion


def checked_cup(mass_g: float, temp_c: float) -> None:
    """Refuses a cup that nobody mixes.

    Parameters: mass_g; temp_c.
    Raises: OutOfRange.

    >>> checked_cup(100, 25)
    """
    checked("mass_g", mass_g, 1, 50_000, "g")
    checked("temp_c", temp_c, -10, 60, "°C")
