"""From a data sheet to the cure model: the pot life gives the rate, other data what they can.

The pot life is the one figure that every sheet has. A band is the same resin with other guesses about what no
sheet states, fitted to the same pot life anew: "cool" for the slow end of waits, "nominal" as expected,
"cautious" as the safe side, "worst" for the end of an error bar.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

from materials.science.errors import UnknownName, checked
from materials.science.resin.cups import (
    CupPrediction,
    checked_criterion,
    checked_cup,
    cup_time_s,
    isothermal_s,
    pot_life_min,
    predict_cup,
)
from materials.science.resin.exotherm import slab_peak_c
from materials.science.resin.kinetics import Criterion, Kinetics
from materials.science.resin.layup import Layup

__all__ = [
    "Calibration",
    "CupPrediction",
    "Datasheet",
    "NotReproducible",
    "PotLife",
    "calibrate",
    "fit_cup",
    "pot_life_min",
    "predict_cup",
]

Band = Literal["cool", "nominal", "cautious", "worst"]
WORST_RESIDUAL_PERCENT = 0.5
NEAT_LIMIT_C = 60.0
FIT_CELLS = 20


class NotReproducible(ValueError):  # noqa: N818  (it is the name of a fact, not of an exception class)
    """No rate constant gives the sheet's pot life.

    Parameters: pot_life; residual_percent, how far the nearest is off.

    >>> str(NotReproducible(PotLife(300, 100, 25, "temperature"), 12.0))
    'no rate gives a pot life of 300 min for 100 g at 25 °C (by temperature): the nearest is 12 % off'
    """

    def __init__(self, pot_life: "PotLife", residual_percent: float) -> None:
        super().__init__(pot_life, residual_percent)
        self.pot_life, self.residual_percent = pot_life, residual_percent

    def __str__(self) -> str:
        own = self.pot_life
        cup = f"{own.minutes:.4g} min for {own.mass_g:.4g} g at {own.temp_c:.4g} °C (by {own.criterion})"
        return f"no rate gives a pot life of {cup}: the nearest is {self.residual_percent:.3g} % off"


@dataclass(frozen=True)
class PotLife:
    """A pot life as the sheet prints it.

    Parameters: minutes; mass_g, of the cup; temp_c; criterion, what the sheet means by it: "viscosity" (twice
    as thick; also where it says nothing), "gel" (a gel time), "temperature" (25 K warmer).
    Raises: OutOfRange, UnknownName.

    >>> PotLife(40, 100, 25).criterion
    'viscosity'
    """

    minutes: float
    mass_g: float
    temp_c: float
    criterion: Criterion = "viscosity"

    def __post_init__(self) -> None:
        checked("minutes", self.minutes, 1, 6000, "min")
        checked_cup(self.mass_g, self.temp_c)
        checked_criterion(self.criterion)


@dataclass(frozen=True)
class Datasheet:
    """What a resin's sheet says about its heat and time.

    Parameters: pot_life; second_pot_life, at another temperature; max_depth_mm, the deepest pour of neat
    resin, at depth_temp_c; cup_peak_c, how hot the pot life's cup gets; viscosity_pa_s, mixed, at 25 °C.
    Raises: OutOfRange.

    >>> Datasheet(PotLife(40, 100, 25), max_depth_mm=10).depth_temp_c
    25
    """

    pot_life: PotLife
    second_pot_life: PotLife | None = None
    max_depth_mm: float | None = None
    depth_temp_c: float = 25
    cup_peak_c: float | None = None
    viscosity_pa_s: float = 0.5

    def __post_init__(self) -> None:
        if self.max_depth_mm is not None:
            checked("max_depth_mm", self.max_depth_mm, 0.2, 400, "mm")
        if self.cup_peak_c is not None:
            checked("cup_peak_c", self.cup_peak_c, self.pot_life.temp_c, 350, "°C")
        checked("depth_temp_c", self.depth_temp_c, 5, 40, "°C")
        checked("viscosity_pa_s", self.viscosity_pa_s, 0.01, 100, "Pa s")


@dataclass(frozen=True)
class Calibration:
    """A fitted resin, how well it fits, and what must be said about it.

    `depth_kinetics` is the second fit, to the sheet's depth: true by construction, never a proof of safety.

    >>> fitted = calibrate(Datasheet(PotLife(40, 100, 25)))
    >>> fitted.residual_percent < 0.5, fitted.band, fitted.flags
    (True, 'nominal', ())
    """

    kinetics: Kinetics
    residual_percent: float
    flags: tuple[str, ...]
    simulations: int
    depth_kinetics: Kinetics | None
    datasheet: Datasheet
    band: Band
    rests_on_cup_test: bool = False


@dataclass(frozen=True)
class Guess:
    """What a band assumes beyond the sheet.

    >>> BANDS["cautious"].heat_j_per_kg
    330000.0
    """

    c: float
    heat_j_per_kg: float
    h_top_w_per_m2_k: float
    criterion: Criterion | None = None


# chosen, not measured: nominal's c, heat and h_top were picked to agree with the trade's shallow depths; the
# cautious band covers the published cups we have; the worst is too wide to be a gate
BANDS: dict[Band, Guess] = {
    "cool": Guess(0.2, 160_000.0, 11.0),
    "nominal": Guess(0.10, 300_000.0, 11.0),
    "cautious": Guess(0.05, 330_000.0, 9.0),
    "worst": Guess(0.03, 345_000.0, 8.0, "gel"),
}


def calibrate(datasheet: Datasheet, band: Band = "nominal") -> Calibration:
    """Fits the cure model to a data sheet.

    Parameters: datasheet; band, "cool", "nominal", "cautious" or "worst". Only the nominal band uses more
    than the pot life: first a second pot life, then the cup's peak, then the depth.
    Returns: a Calibration; what does not fit together is said in its flags.
    Raises: NotReproducible where no rate gives the pot life within 0.5 %; UnknownName.
    Valid for: pot lives from 5 min to 12 h.
    Source: the fit is ours; none of its guesses was fitted to a measured casting.

    >>> fitted = calibrate(Datasheet(PotLife(5, 100, 25)))
    >>> round(fitted.kinetics.k_ref_per_s * 1e3, 2)
    2.0
    """
    if band not in get_args(Band):
        raise UnknownName("band", band, get_args(Band))
    guess = BANDS[band]
    pot_life = datasheet.pot_life
    if guess.criterion:
        pot_life = replace(pot_life, criterion=guess.criterion)
    kinetics = Kinetics(
        k_ref_per_s=1e-4,
        c=guess.c,
        heat_j_per_kg=guess.heat_j_per_kg,
        h_top_w_per_m2_k=guess.h_top_w_per_m2_k,
        viscosity_pa_s=datasheet.viscosity_pa_s,
    )
    fit = Fit(pot_life)
    kinetics = fit.to_pot_life(kinetics)
    flags: list[str] = []
    depth_kinetics = None
    if band == "nominal":
        kinetics = with_second_pot_life(fit, datasheet, kinetics, flags)
        kinetics = with_cup_peak(fit, datasheet, kinetics, flags)
        depth_kinetics = with_depth(fit, datasheet, kinetics, flags)
    residual = fit.residual_percent(kinetics)
    return Calibration(kinetics, residual, tuple(flags), fit.simulations, depth_kinetics, datasheet, band)


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
        flags.append("The two pot lives do not fit together: the second one was not used.")
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
        flags.append("No heat between 120 and 450 kJ/kg gives this peak: it was not used.")
        return kinetics
    return fitted(found)


LEAST_TELLING_PEAK_K = 40.0
HEAT_KJ = (120.0, 450.0)


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
    flags.append(
        f"A pot life of {datasheet.pot_life.minutes:.4g} min and a depth of {datasheet.max_depth_mm:.4g} mm"
        " do not fit together in this model: the depth was not used."
    )
    return kinetics


def fit_cup(
    datasheet: Datasheet, mass_g: float, temp_c: float, times_min: Sequence[float], temps_c: Sequence[float]
) -> Calibration:
    """Fits rate, heat and shape to the readings of a thermometer in the middle of a real cup.

    Parameters: datasheet; mass_g, the cup; temp_c, of resin and shop at the start; times_min, from mixing on;
    temps_c, read at those times (six or more).
    Returns: a Calibration marked as resting on a cup test; its residual is that of the readings' rise.
    Raises: OutOfRange, NotReproducible.
    Valid for: a cup like that of pot_life_min, standing free.
    Source: least squares; the model of predict_cup.

    >>> known = Kinetics(k_ref_per_s=8e-4)
    >>> cup = predict_cup(known, 100, 25)
    >>> some = range(0, len(cup.times_min), 3)
    >>> sheet = Datasheet(PotLife(15, 100, 25))
    >>> fitted = fit_cup(sheet, 100, 25, [cup.times_min[i] for i in some], [cup.hottest_c[i] for i in some])
    >>> fitted.rests_on_cup_test
    True
    """
    from materials.science.resin.cup_fit import fitted_to_cup

    checked_cup(mass_g, temp_c)
    checked("readings", len(temps_c), 6, 100_000, "")
    plain = calibrate(replace(datasheet, max_depth_mm=None, cup_peak_c=None))
    found = fitted_to_cup(plain.kinetics, mass_g, temp_c, times_min, temps_c)
    return Calibration(
        kinetics=found.kinetics,
        residual_percent=found.residual_percent,
        flags=(*plain.flags, "Rests on a cup test."),
        simulations=plain.simulations + found.simulations,
        depth_kinetics=None,
        datasheet=datasheet,
        band="nominal",
        rests_on_cup_test=True,
    )
