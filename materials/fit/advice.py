"""The bridge to the cure model for a resin: from its sheet or its newest cup test to fits, cups and depths.

What is computed depends on plain values alone and is kept by them, so that a page is quick the second time.
"""

from dataclasses import asdict, dataclass, field, replace
from functools import lru_cache

from materials.models import CupTest
from materials.science.errors import OutOfRange
from materials.science.resin.datasheet import NotReproducible

UNFITTED = (OutOfRange, NotReproducible)
"""What is raised where a sheet or a cup can't be fitted."""
VERSION = 1
"""Of the figures that a cup test stores."""
BANDS = ("cool", "nominal", "cautious")
LIMIT_C = 60.0
SHARES_PERCENT = (20, 25, 30, 35, 40, 50, 60, 80, 100)
PITCH_MM = 2.0  # the model looks at the share alone; a pitch this fine is what it holds for
MOST_OFF_PERCENT = 15.0  # beyond this the model does not follow the readings; a judgement


@dataclass(frozen=True)
class Bands:
    """A resin as the cure model sees it, by band, and what that rests on."""

    sheet: object
    kinetics: dict
    depth_kinetics: object = None
    flags: tuple = ()
    test: CupTest | None = None


@dataclass(frozen=True)
class Cup:
    """A cup left standing: its hottest point over minutes, by band."""

    mass_g: float
    temp_c: float
    curves: dict = field(default_factory=dict)
    peaks: dict = field(default_factory=dict)
    """(minutes, °C) by band."""


@dataclass(frozen=True)
class Depths:
    """The deepest pour below the limit against the percent of resin: curves of (percent, mm)."""

    expected: tuple
    safe: tuple
    shop_c: float


def sheet_of(resin):
    """A resin's data sheet as the cure model reads it."""
    from materials.science.resin.datasheet import Datasheet, PotLife

    second = None
    if resin.second_pot_minutes:
        second = PotLife(
            resin.second_pot_minutes,
            resin.second_pot_mass_g or resin.pot_mass_g,
            resin.second_pot_c if resin.second_pot_c is not None else resin.pot_c,
            resin.pot_meaning,
        )
    return Datasheet(
        PotLife(resin.pot_minutes, resin.pot_mass_g, resin.pot_c, resin.pot_meaning),
        second_pot_life=second,
        max_depth_mm=resin.max_depth_mm,
        depth_temp_c=resin.depth_c,
        cup_peak_c=resin.cup_peak_c,
        viscosity_pa_s=resin.viscosity_pa_s or 0.5,
    )


def bands_of(resin):
    """The fits that forecasts of a resin rest on: its newest kept cup test, else its sheet.

    Raises OutOfRange and NotReproducible where the sheet can't be fitted.
    """
    sheet, test = sheet_of(resin), CupTest.objects.of(resin.shop).in_use(resin)
    if test is None:
        return by_sheet(sheet)
    return by_test(sheet, test)


@lru_cache(maxsize=256)
def by_sheet(sheet):
    """The fits to a sheet alone, each with other guesses about what no sheet states."""
    from materials.science.resin.calibration import calibrate

    fits = {band: calibrate(sheet, band) for band in BANDS}
    nominal = fits["nominal"]
    kinetics = {band: fit.kinetics for band, fit in fits.items()}
    return Bands(sheet, kinetics, nominal.depth_kinetics, nominal.flags)


def by_test(sheet, test):
    """The fits that a cup test has stored; how thick the resin is stays the sheet's."""
    from materials.science.resin.kinetics import Kinetics

    kinetics = {
        band: replace(Kinetics(**figures), viscosity_pa_s=sheet.viscosity_pa_s)
        for band, figures in test.fitted["bands"].items()
    }
    return Bands(sheet, kinetics, None, tuple(test.fitted["flags"]), test)


def figures_of(calibration):
    """What a cup test stores of its fit: the figures of each band, so that no page fits anew."""
    from materials.science.resin.calibration import cautious_after_cup, cool_after_cup

    fits = {
        "cool": cool_after_cup(calibration),
        "nominal": calibration,
        "cautious": cautious_after_cup(calibration),
    }
    return {
        "version": VERSION,
        "bands": {band: asdict(fit.kinetics) for band, fit in fits.items()},
        "flags": [flag for flag in calibration.flags if flag != RESTS],
        "simulations": calibration.simulations,
    }


RESTS = "Rests on a cup test."
"""The calculation's own words; a page says it with the date."""


def fit_test(test):
    """The fit to a test's readings; takes seconds. Raises OutOfRange and NotReproducible."""
    from materials.science.resin.calibration import fit_cup

    times_min, temps_c = zip(*test.points, strict=True)
    return fit_cup(sheet_of(test.resin), test.mass_g, test.temp_c, times_min, temps_c)


def cup_of(kinetics, mass_g, temp_c):
    """What a cup does that is left standing, by band."""
    return cup_by(tuple(kinetics.items()), mass_g, temp_c)


@lru_cache(maxsize=128)
def cup_by(kinetics, mass_g, temp_c):
    """As `cup_of`, from values that can be kept."""
    from materials.science.resin.cups import predict_cup

    cups = {band: predict_cup(own, mass_g, temp_c) for band, own in kinetics}
    return Cup(
        mass_g,
        temp_c,
        curves={band: curve_of(cup) for band, cup in cups.items()},
        peaks={band: (cup.peak_min, cup.peak_c) for band, cup in cups.items()},
    )


def curve_of(cup):
    """The points of a cup's curve, its peak among them.

    Up to the peak it is the hottest so far: a hot front flickers where it crosses the model's cells.
    """
    points, highest = [], float("-inf")
    for at_min, temp_c in sorted(
        {*zip(cup.times_min, cup.hottest_c, strict=True), (cup.peak_min, cup.peak_c)}
    ):
        highest = max(highest, temp_c)
        points.append((at_min, highest if at_min <= cup.peak_min else temp_c))
    return tuple(points)


def depths_of(bands):
    """How deep one pour may be, from a fifth of resin to all of it, at the warmth of the sheet's depth."""
    return depths_by(bands.kinetics["nominal"], bands.kinetics["cautious"], bands.sheet.depth_temp_c)


@lru_cache(maxsize=128)
def depths_by(nominal, cautious, shop_c):
    """As `depths_of`, from values that can be kept."""
    from materials.science.resin.layup import Layup
    from materials.science.resin.lifts import largest_lift_mm

    def curve(kinetics):
        found = []
        for percent in SHARES_PERCENT:
            gap_mm = PITCH_MM * percent / 100
            neat = percent == 100
            stack = Layup(10, 0 if neat else PITCH_MM - gap_mm, 0 if neat else gap_mm, shop_c=shop_c)
            found.append((percent, largest_lift_mm(kinetics, LIMIT_C, stack).depth_mm))
        return tuple(found)

    return Depths(curve(nominal), curve(cautious), shop_c)


def pot_life_of(kinetics, mass_g, temp_c, meaning="viscosity"):
    """How long a cup can be poured by a fit, in minutes; infinite where it never gets as warm as is meant."""
    from materials.science.resin.cups import pot_life_min

    return pot_life_min(kinetics, mass_g, temp_c, meaning)


def why_not(problem):
    """Why a sheet can't be fitted, and what to look at: a sentence for the page."""
    if isinstance(problem, OutOfRange):
        return f"The model does not reach this sheet: {problem}. Look at that figure again."
    return (
        f"The model finds no resin that does what this sheet says: {problem}. "
        "Look at the pot life and at what the sheet means by it."
    )
