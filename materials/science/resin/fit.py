"""The rate of a resin from its pot life, and the second data that a sheet may have."""

import math
from collections.abc import Callable
from dataclasses import replace

from materials.science.resin.cups import cup_time_s, isothermal_s, predict_cup
from materials.science.resin.datasheet import Datasheet, NotReproducible, PotLife
from materials.science.resin.exotherm import slab_peak_c
from materials.science.resin.kinetics import Kinetics
from materials.science.resin.layup import Layup

WORST_RESIDUAL_PERCENT = 0.5
NEAT_LIMIT_C = 60.0
FIT_CELLS = 20
LEAST_TELLING_PEAK_K = 40.0
HEAT_KJ = (120.0, 450.0)
# what to look at where figures do not fit together
LOOK_AT_BOTH = "Look again on the sheet which mass and which temperature each of them is for."
LOOK_AT_PEAK = "Look again on the sheet whether the peak is that of the pot life's cup."


class Fit:
    """Fits the rate to a pot life, and counts the simulations it took.

    Parameters: pot_life.

    >>> fit = Fit(PotLife(40, 100, 25))
    >>> round(fit.to_pot_life(Kinetics(1e-4)).k_ref_per_s * 1e4, 2), fit.simulations < 12
    (2.93, True)
    """

    def __init__(self, pot_life: PotLife) -> None:
        self.pot_life, self.simulations = pot_life, 0

    def off(self, kinetics: Kinetics) -> float:
        """The logarithm of the model's pot life over the sheet's."""
        self.simulations += 1
        own = self.pot_life
        found = cup_time_s(kinetics, own.mass_g, own.temp_c, own.criterion) / (own.minutes * 60)
        return math.log(min(found, 1e3))

    def residual_percent(self, kinetics: Kinetics) -> float:
        """How far the model's pot life is off the sheet's, in percent."""
        return 100 * abs(math.expm1(self.off(kinetics)))

    def to_pot_life(self, kinetics: Kinetics) -> Kinetics:
        """The same resin with the rate that gives the pot life."""
        own = self.pot_life
        # a cup that warms itself can only be faster than at one temperature
        at_one_temp_s = isothermal_s(kinetics, own.temp_c, own.criterion)
        fastest = math.log(1.3 * kinetics.k_ref_per_s * at_one_temp_s / (own.minutes * 60))
        found = root(
            lambda x: self.off(replace(kinetics, k_ref_per_s=math.exp(x))), fastest - math.log(40), fastest
        )
        fitted = replace(kinetics, k_ref_per_s=math.exp(found))
        residual = self.residual_percent(fitted)
        if residual > WORST_RESIDUAL_PERCENT:
            raise NotReproducible(own, residual)
        return fitted


def root(function: Callable[[float], float], low: float, high: float, near: float = 2e-4) -> float:
    """Where a function crosses zero; the nearer end where it does not.

    Parameters: function; low and high; near, how exactly.
    Returns: its argument.
    Source: Brent 1973.

    >>> round(root(lambda x: x - 0.3, 0, 1), 3), root(lambda x: x + 1, 0, 1)
    (0.3, 0)
    """
    from scipy.optimize import brentq

    at_low, at_high = function(low), function(high)
    if at_low * at_high > 0:
        return low if abs(at_low) < abs(at_high) else high
    known = {low: at_low, high: at_high}
    return float(brentq(lambda x: known[x] if x in known else function(x), low, high, xtol=near, rtol=1e-12))


def with_second_pot_life(fit: Fit, datasheet: Datasheet, kinetics: Kinetics, flags: list[str]) -> Kinetics:
    """The activation energy that also gives the second pot life; flags where none does.

    Parameters: fit, to the first; datasheet; kinetics, fitted to the first; flags, to be added to.
    Returns: kinetics, with another activation energy if there was a second pot life.

    >>> sheet = Datasheet(PotLife(40, 100, 25))
    >>> with_second_pot_life(Fit(sheet.pot_life), sheet, Kinetics(3e-4), []).activation_j_per_mol
    55000.0
    """
    second = datasheet.second_pot_life
    if second is None:
        return kinetics
    if abs(second.temp_c - datasheet.pot_life.temp_c) < 4:
        flags.append("The second pot life is at nearly the same temperature and was not used.")
        return kinetics
    other = Fit(second)

    def fitted(kilojoule: float) -> Kinetics:
        return fit.to_pot_life(replace(kinetics, activation_j_per_mol=1000 * kilojoule))

    low, high = 30.0, 90.0
    found = fitted(root(lambda x: other.off(fitted(x)), low, high, near=0.02))
    fit.simulations += other.simulations
    if other.residual_percent(found) > 2:
        flags.append(f"The two pot lives do not fit together: the second one was not used. {LOOK_AT_BOTH}")
        return kinetics
    return found


def with_cup_peak(fit: Fit, datasheet: Datasheet, kinetics: Kinetics, flags: list[str]) -> Kinetics:
    """The heat that also gives the cup's peak; flags where the peak says too little.

    Parameters: as with_second_pot_life.
    Returns: kinetics, with another heat if there was a peak that tells.

    >>> sheet = Datasheet(PotLife(40, 100, 25))
    >>> with_cup_peak(Fit(sheet.pot_life), sheet, Kinetics(3e-4), []).heat_j_per_kg
    300000.0
    """
    wanted = datasheet.cup_peak_c
    if wanted is None:
        return kinetics
    own = datasheet.pot_life

    def fitted(kilojoule: float) -> Kinetics:
        return fit.to_pot_life(replace(kinetics, heat_j_per_kg=1000 * kilojoule))

    def peak_c(kilojoule: float) -> float:
        fit.simulations += 1
        return predict_cup(fitted(kilojoule), own.mass_g, own.temp_c).peak_c

    if peak_c(400) - peak_c(200) < LEAST_TELLING_PEAK_K:
        flags.append(
            "A cup this slow hardly warms: its peak says too little about the heat and was not used."
        )
        return kinetics
    low, high = HEAT_KJ
    found = root(lambda x: peak_c(x) - wanted, low, high, near=0.3)
    if found in HEAT_KJ:
        flags.append(f"No heat between 120 and 450 kJ/kg gives this peak: it was not used. {LOOK_AT_PEAK}")
        return kinetics
    return fitted(found)


def with_depth(fit: Fit, datasheet: Datasheet, kinetics: Kinetics, flags: list[str]) -> Kinetics | None:
    """A second fit in which the sheet's deepest neat pour just stays at 60 °C; None if it has none.

    Parameters: as with_second_pot_life.
    Returns: kinetics; the plain ones where they already stay below, or where nothing reaches it (flagged).

    >>> sheet = Datasheet(PotLife(40, 100, 25))
    >>> with_depth(Fit(sheet.pot_life), sheet, Kinetics(3e-4), []) is None
    True
    """
    if datasheet.max_depth_mm is None:
        return None
    layup = Layup(datasheet.max_depth_mm, shop_c=datasheet.depth_temp_c, cells=FIT_CELLS)

    def over(trial: Kinetics) -> float:
        fit.simulations += 1
        return slab_peak_c(trial, layup, NEAT_LIMIT_C + 40) - (NEAT_LIMIT_C - 0.3)

    def with_c(log_c: float) -> Kinetics:
        return fit.to_pot_life(replace(kinetics, c=math.exp(log_c)))

    if over(kinetics) <= 0:
        return kinetics
    most = with_c(0.0)
    if over(most) <= 0:
        return with_c(root(lambda x: over(with_c(x)), math.log(kinetics.c), 0.0, near=2e-3))

    def with_heat(kilojoule: float) -> Kinetics:
        return fit.to_pot_life(replace(most, heat_j_per_kg=1000 * kilojoule))

    least, plain = 200.0, kinetics.heat_j_per_kg / 1000
    if plain > least and over(with_heat(least)) <= 0:
        return with_heat(root(lambda x: over(with_heat(x)), least, plain, near=0.2))
    own = datasheet.pot_life
    flags.append(
        f"A pot life of {own.minutes:.4g} min and a depth of {datasheet.max_depth_mm:.4g} mm"
        " do not fit together in this model: the depth was not used. Look again on the sheet whether the pot"
        f" life is that of {own.mass_g:.4g} g at {own.temp_c:.4g} °C, not of more or warmer resin,"
        " and whether the depth is that of neat resin, not of resin filled with wood."
    )
    return kinetics
