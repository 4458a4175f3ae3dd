"""From a data sheet to the cure model: the pot life gives the rate, other data what they can.

The pot life is the one figure that every sheet has. A band is the same resin with other guesses about what no
sheet states, fitted to the same pot life anew: "cool" for the slow end of waits, "nominal" as expected,
"cautious" as the safe side, "worst" for the end of an error bar.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

from materials.science.errors import UnknownName, checked
from materials.science.resin.cups import CupPrediction, checked_cup, pot_life_min, predict_cup
from materials.science.resin.datasheet import Datasheet, NotReproducible, PotLife
from materials.science.resin.fit import Fit, with_cup_peak, with_depth, with_second_pot_life
from materials.science.resin.kinetics import Criterion, Kinetics

__all__ = [
    "Calibration",
    "CupPrediction",
    "Datasheet",
    "NotReproducible",
    "PotLife",
    "calibrate",
    "cautious_after_cup",
    "cool_after_cup",
    "fit_cup",
    "pot_life_min",
    "predict_cup",
]

# how far the heat of a measured resin is taken to be off: a judgement
AFTER_CUP_J_PER_KG = 30_000.0
Band = Literal["cool", "nominal", "cautious", "worst"]


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


def fit_cup(
    datasheet: Datasheet, mass_g: float, temp_c: float, times_min: Sequence[float], temps_c: Sequence[float]
) -> Calibration:
    """Fits rate, heat and shape to the readings of a thermometer in the middle of a real cup.

    Parameters: datasheet; mass_g, the cup; temp_c, of resin and shop at the start; times_min, from mixing on;
    temps_c, read at those times (six or more).
    Returns: a Calibration marked as resting on a cup test; its residual is that of the readings' rise.
    Raises: OutOfRange, NotReproducible.
    Valid for: a cup like that of pot_life_min, standing free, read at least a hundred times until its peak;
    in a cup that runs away fewer readings leave the heat open by a tenth.
    Source: least squares; the model of predict_cup.

    >>> known = Kinetics(k_ref_per_s=3e-4, c=0.3, heat_j_per_kg=220_000)
    >>> cup = predict_cup(known, 100, 25)
    >>> fitted = fit_cup(Datasheet(PotLife(60, 100, 25)), 100, 25, cup.times_min, cup.hottest_c)
    >>> fitted.rests_on_cup_test, round(fitted.kinetics.heat_j_per_kg / 1000) in range(215, 226)
    (True, True)
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


def cautious_after_cup(calibration: Calibration) -> Calibration:
    """The safe side of a resin whose cup was measured: more heat and a steeper start, the same pot life.

    Parameters: calibration, from fit_cup.
    Returns: a Calibration of the band "cautious".
    Raises: NotReproducible.
    Valid for: after a cup test only; heat + 30 kJ/kg, half of c and 9 W/(m² K) on top are a judgement.
    Source: none; chosen.

    >>> cautious_after_cup(calibrate(Datasheet(PotLife(40, 100, 25)))).kinetics.c
    0.05
    """
    return _beside_cup(calibration, "cautious", AFTER_CUP_J_PER_KG, 0.5, 9.0)


def cool_after_cup(calibration: Calibration) -> Calibration:
    """The cool end of the band of a measured resin: less heat, a slower start, the same pot life.

    Parameters: calibration, from fit_cup.
    Returns: a Calibration of the band "cool".
    Raises: NotReproducible.
    Valid for: after a cup test only, for error bars and waits; heat - 30 kJ/kg and twice c mirror
    cautious_after_cup and are a judgement as well.
    Source: none; chosen.

    >>> cool_after_cup(calibrate(Datasheet(PotLife(40, 100, 25)))).kinetics.c
    0.2
    """
    return _beside_cup(calibration, "cool", -AFTER_CUP_J_PER_KG, 2.0, 11.0)


def _beside_cup(
    calibration: Calibration, band: Band, more_j_per_kg: float, times_c: float, h_top_w_per_m2_k: float
) -> Calibration:
    """A measured resin with another heat and shape, brought back to its own pot life."""
    own = calibration.kinetics
    cup = calibration.datasheet.pot_life
    fit = Fit(replace(cup, minutes=pot_life_min(own, cup.mass_g, cup.temp_c), criterion="viscosity"))
    beside = replace(
        own,
        heat_j_per_kg=own.heat_j_per_kg + more_j_per_kg,
        c=own.c * times_c,
        h_top_w_per_m2_k=h_top_w_per_m2_k,
    )
    kinetics = fit.to_pot_life(beside)
    return replace(
        calibration,
        kinetics=kinetics,
        residual_percent=fit.residual_percent(kinetics),
        simulations=calibration.simulations + fit.simulations,
        band=band,
    )
