"""What a fit means, in a maker's words."""

from dataclasses import dataclass
from math import isfinite

from materials.fit import advice
from workshop import units
from workshop.drawing.cup_heat import RUNAWAY_C, spoken
from workshop.drawing.time_axis import value_at

CLOSE_PERCENT, ROUGH_PERCENT = 3.0, 8.0
TOLD_SHARE = 0.1
HALF = 50.0
SOURCES = (
    "Rate: Kamal and Sourour’s form with one activation energy, its pace fitted to the sheet’s pot life.",
    "Activation energy 55 kJ/mol: primary amine and epoxy 55 to 60, Thermochim. Acta 447 (2006) 167.",
    "Cup: heat conduction in a cylinder 0.6 times as high as wide, standing free.",
    "Pour: heat conduction through the depth, strips on edge, on 18 mm of MDF.",
    "Heat, shape and film figures that no sheet states are chosen: expected 300 kJ/kg and c 0.1, safe side "
    "330 and 0.05, cool end 160 and 0.2. The safe side covers the nine peaks of published cups that we have.",
    "After a cup test: rate, heat and c by least squares over the readings; the safe side has 30 kJ/kg more "
    "and half of c, the cool end 30 less and twice of it. That width is a judgement.",
)


@dataclass(frozen=True)
class Told:
    """The sentences of a fit."""

    sheet: str
    cup: str
    pot_life: str
    """Said where a cup test gives another one than the sheet."""
    depth: str
    apart: tuple
    """What does not fit together."""
    trust: str


def of(resin, bands, cup, depths, system):
    """What the sheet says, what the model makes of it, and how far to trust it."""
    return Told(
        sheet=sheet_says(resin, system),
        cup=cup_says(cup, system),
        pot_life=pot_life_says(resin, bands),
        depth=depth_says(resin, depths, system),
        apart=bands.flags,
        trust=trust_says(bands.test, system),
    )


def sheet_says(resin, system):
    """The sheet's own lines on heat."""
    pot = units.say(resin.pot_minutes, "minutes")
    said = f"The sheet says: {pot} for {mass(resin.pot_mass_g, system)} at {warm(resin.pot_c, system)} until "
    said += resin.get_pot_meaning_display()
    if resin.max_depth_mm:
        return f"{said}; one pour of neat resin up to {depth(resin.max_depth_mm, system)} deep."
    return f"{said}. It names no largest depth, so no pour of it can be called clear."


def cup_says(cup, system):
    """How warm the sheet's cup gets, by model."""
    (at_min, peak_c), (_, safe_c) = cup.peaks["nominal"], cup.peaks["cautious"]
    left = f"Left standing, {mass(cup.mass_g, system)} at {warm(cup.temp_c, system)}"
    if peak_c > RUNAWAY_C:
        past = warm(RUNAWAY_C, system)
        said = f"{left} should run away after about {spoken(at_min)}: past {past}, with smoke."
        return f"{said} Pour it out in time, and never mix more than you can pour."
    said = f"{left} should reach {warm(peak_c, system)} after about {spoken(at_min)}"
    if safe_c > RUNAWAY_C:
        return f"{said}; on the safe side it runs away, past {warm(RUNAWAY_C, system)}."
    return f"{said}, {warm(safe_c, system)} on the safe side."


def pot_life_says(resin, bands):
    """The pot life of the sheet's cup by the test, where it is clearly another one."""
    if bands.test is None:
        return ""
    cup = (resin.pot_mass_g, resin.pot_c, resin.pot_meaning)
    own = advice.pot_life_of(bands.kinetics["nominal"], *cup)
    if not isfinite(own) or abs(own - resin.pot_minutes) <= TOLD_SHARE * resin.pot_minutes:
        return ""
    shorter = "shorter" if own < resin.pot_minutes else "longer"
    return (
        f"By the cup that was read it can be poured for about {spoken(own)}: {shorter} than the sheet says."
    )


def depth_says(resin, depths, system):
    """How deep half-and-half may be poured, and which of the two to keep to."""
    expected, safe = value_at(depths.expected, HALF), value_at(depths.safe, HALF)
    said = f"With strips as wide as the gaps, one pour may be {depth(expected, system)} deep as expected and "
    said += f"{depth(safe, system)} on the safe side, to stay below {warm(60, system)}"
    if not resin.max_depth_mm:
        return f"{said}."
    by_sheet = 2 * resin.max_depth_mm
    less = "the safe side" if safe < by_sheet else "the sheet"
    return f"{said}; the sheet’s depth over the resin’s share is {depth(by_sheet, system)}. Keep to {less}."


def trust_says(test, system):
    """What the picture rests on."""
    if test is None:
        return (
            "No cup of this resin has been read yet: this rests on the sheet’s pot life and on guesses about "
            "what no sheet states. Plan by the safe side."
        )
    said = (
        f"This rests on {test_says(test, system)}, which the model follows {follows(test.residual_percent)}."
    )
    return f"{said} No slab of it has been measured, so plan by the safe side."


def test_says(test, system):
    """A cup test in few words, with its date."""
    day = test.taken_at.astimezone(test.shop.tz)
    cup = f"{mass(test.mass_g, system)} at {warm(test.temp_c, system)}"
    return f"a cup test of {day.day} {day:%B %Y} ({cup})"


def follows(residual_percent):
    """How well the model follows the readings."""
    off = f"{residual_percent:.1f} % of the rise off"
    if residual_percent <= CLOSE_PERCENT:
        return f"closely ({off})"
    return f"roughly ({off})" if residual_percent <= ROUGH_PERCENT else f"badly ({off}: read another cup)"


def warm(temp_c, system):
    """A temperature without decimals."""
    return units.say(temp_c, "temperature", system, 0)


def mass(mass_g, system):
    """A mass without decimals."""
    return units.say(mass_g, "mass", system, 0)


def depth(depth_mm, system):
    """A depth, to a millimetre where that is enough."""
    return units.say(depth_mm, "length", system, 0 if depth_mm >= 10 else 1)


@dataclass(frozen=True)
class Change:
    """One figure by the sheet alone and after the test."""

    name: str
    before: str
    after: str


def changes(test, before, after, system):
    """What the test changed about the resin: the peak of this cup, its pot life, its heat."""

    def pot_life(kinetics):
        return spoken(advice.pot_life_of(kinetics, test.mass_g, test.temp_c))

    def peak(kinetics):
        peak_c = advice.cup_of({"nominal": kinetics}, test.mass_g, test.temp_c).peaks["nominal"][1]
        return warm(peak_c, system) if peak_c <= RUNAWAY_C else f"past {warm(RUNAWAY_C, system)}"

    def heat(kinetics):
        return f"{kinetics.heat_j_per_kg / 1000:.0f}\u00a0kJ/kg"

    return tuple(
        Change(name, said(before), said(after))
        for name, said in (("pot life of this cup", pot_life), ("hottest point", peak), ("heat", heat))
    )
