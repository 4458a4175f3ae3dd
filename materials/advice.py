"""The bridge from rows of the shelf to the calculations: gathers values, calls, returns plain results."""

import math
from dataclasses import dataclass

from materials.science.errors import OutOfRange, UnknownName

STOP_PERCENT = 5.0  # beyond this a cup is not poured (from memory); a sheet's wider tolerance overrules it
MOST_CUPS = 6  # one after the other; nobody means more (common practice, no source)
A_DIGIT = 8  # times as much or as little: a figure typed with a digit or a point too many
FARTHEST_PERCENT = 1e6  # as far off as the calculation of a ratio goes


@dataclass(frozen=True)
class Mix:
    """What a quantity of mixed resin is made of."""

    mixed_g: float
    mixed_ml: float
    a_g: float
    b_g: float
    a_ml: float
    b_ml: float


@dataclass(frozen=True)
class CupLife:
    """How long a cup stays pourable by its sheet, and where that comes from."""

    minutes: float
    ring_minutes: float
    heavier: bool
    source: str


@dataclass(frozen=True)
class RatioSays:
    """What the scale's figures mean: how far B is off, in which state, and B to 100 of A."""

    error_percent: float
    level: str
    b_to_100_a: float
    sheet_b_to_100_a: float
    tolerance_percent: float
    stop_percent: float


@dataclass(frozen=True)
class Grade:
    """A grade of abrasive with its system, and the size of its grains where one is published."""

    system: str
    number: int
    name: str
    grain_um: float | None
    problem: str = ""
    """Why it can't be told; empty for a grade that the tables know."""


@dataclass(frozen=True)
class Jump:
    """A step between two grades that is longer than usual."""

    before: str
    after: str
    ratio: float
    level: str


def parts_by_mass(resin):
    """The sheet's ratio by mass, whichever way the sheet gives it."""
    from materials.science.resin import mixing

    if resin.basis == resin.Basis.MASS:
        return resin.parts_a, resin.parts_b
    return mixing.parts_by_mass_from_volume((resin.parts_a, resin.parts_b), *resin.densities)


def to_100_of_a(resin):
    """The ratio by mass as it is read out: B to 100 of A. One place after the point is then near enough."""
    parts_a, parts_b = parts_by_mass(resin)
    return 100.0, 100 * parts_b / parts_a


def mix_of_volume(resin, mixed_ml):
    """Masses and volumes of A and B for so many millilitres of mixed resin."""
    from materials.science.resin import mixing

    parts = parts_by_mass(resin)
    return mix_of_mass(resin, mixed_ml * mixing.mixed_density_g_ml(parts, *resin.densities))


def mix_of_mass(resin, mixed_g):
    """Masses and volumes of A and B for so many grams of mixed resin."""
    from materials.science.resin import mixing

    parts = parts_by_mass(resin)
    a_g, b_g = mixing.part_masses_g(mixed_g, parts)
    a_ml, b_ml = mixing.part_volumes_ml(mixed_g, parts, *resin.densities)
    return Mix(mixed_g, mixed_g / mixing.mixed_density_g_ml(parts, *resin.densities), a_g, b_g, a_ml, b_ml)


def cups_of(resin, mixed_g):
    """In how many cups to mix: no more in one than the sheet's pot life is for, and no more than six."""
    return min(MOST_CUPS, max(1, math.ceil(mixed_g / resin.pot_mass_g)))


def b_for_a(parts, actual_a_g):
    """How much B goes with the A on the scale."""
    from materials.science.resin import mixing

    return mixing.part_b_for_actual_a_g(actual_a_g, parts)


def cup_life(resin, mixed_g, temp_c):
    """The pot life of a cup by the data sheet and the ten-degree rule."""
    from materials.science.resin import sheet_clock

    cup = sheet_clock.cup_clock(resin.pot_minutes, resin.pot_mass_g, resin.pot_c, mixed_g, temp_c)
    source = (
        f"{resin.name} sheet: {resin.pot_minutes:g} min for {resin.pot_mass_g:g} g at {resin.pot_c:g} °C; "
        f"ten-degree rule to {temp_c:g} °C"
    )
    return CupLife(cup.pot_life_min, cup.ring_min, cup.heavier, source)


def cure_hours(resin, sheet_hours, temp_c):
    """A time of the sheet at another temperature; None where the sheet has none."""
    from materials.science.resin import sheet_clock

    return None if sheet_hours is None else sheet_clock.ten_degree_hours(sheet_hours, resin.recoat_c, temp_c)


def may_have_stopped(resin, temp_c):
    """Whether it is so cold that the cure may stand still while its clock runs."""
    from materials.science.resin import sheet_clock

    return sheet_clock.may_have_stopped(temp_c, resin.min_c)


def ratio_of(batch, a_g=None, b_g=None):
    """What a cup's two masses mean against the ratio frozen in it; None while B is not weighed."""
    from materials.science.resin import mixing

    a_g, b_g = a_g or batch.actual_a_g, b_g or batch.actual_b_g
    if not b_g:
        return None
    parts = (batch.parts_a, batch.parts_b)
    # a slip of the finger can be farther off; what was weighed is stored, and its page must still open
    error = min(mixing.ratio_error_percent(a_g, b_g, parts), FARTHEST_PERCENT)
    stop = max(STOP_PERCENT, batch.tolerance_percent)
    return RatioSays(
        error_percent=error,
        level=mixing.ratio_verdict(error, batch.tolerance_percent, stop),
        b_to_100_a=100 * b_g / a_g,
        sheet_b_to_100_a=100 * batch.parts_b / batch.parts_a,
        tolerance_percent=batch.tolerance_percent,
        stop_percent=stop,
    )


def to_add(batch, ratio):
    """Which part to add, and how many grams, to bring a cup that is off back to its ratio, or None."""
    if ratio is None or ratio.level == "clear":
        return None
    if ratio.error_percent > 0:
        return "A", batch.actual_b_g * batch.parts_a / batch.parts_b - batch.actual_a_g
    return "B", batch.actual_a_g * batch.parts_b / batch.parts_a - batch.actual_b_g


def looks_mistyped(batch):
    """Whether B is so far from what is wanted that a digit or a point is likelier than a wrong weighing."""
    if batch.actual_b_g is None:
        return False
    times = batch.actual_b_g * batch.parts_a / (batch.parts_b * batch.actual_a_g)
    return times >= A_DIGIT or times <= 1 / A_DIGIT


def dew_margin_k(temp_c, humidity_percent):
    """How many kelvin the shop is above its dew point; None without both readings."""
    from materials.science.wood import moisture

    if temp_c is None or humidity_percent is None:
        return None
    try:
        return temp_c - moisture.dew_point_c(temp_c, humidity_percent)
    except OutOfRange:
        return None


def grade(text, system):
    """A grade as it was typed, with the system that was chosen; its `problem` says why it is none."""
    from materials.science.surface import abrasives

    plain = str(text).strip()
    try:
        own, number = abrasives.read_grade(f"{system} {plain}" if plain.isdecimal() and system else plain)
    except abrasives.BareGrade as problem:
        return Grade("", 0, plain, None, f"{problem}.")
    except UnknownName:
        return Grade(
            "", 0, plain, None, f"No table knows the grade “{plain}”. Look at the back of the paper."
        )
    name = f"P{number}" if own == "P" else f"{own} {number}"
    if system and own != system:
        return Grade(
            own, number, name, None, f"{name} is no grade of {system}. Choose the system it stands in."
        )
    try:
        return Grade(own, number, name, abrasives.grain_um(number, own))
    except abrasives.NoSize:
        return Grade(own, number, name, None)


def grade_jump(before, after):
    """How far it is from one grade to a finer one, where that is farther than usual; else None."""
    from materials.science.surface import abrasives

    try:
        ratio = abrasives.step_ratio(before, after)
    except abrasives.NoSize:
        return None
    if ratio <= abrasives.USUAL_RATIO:
        return None
    return Jump(before, after, ratio, abrasives.step_level(ratio))


def change_of_100_mm(per_percent):
    """How much a piece 100 mm wide grows for one percent more moisture, in mm; None where unknown."""
    from materials.science.wood import movement

    return None if per_percent is None else movement.change_mm(100, per_percent, 8, 9)


# a heated home across a year, as a public fact sheet of Swedish homes has it: 2 to 6 % in winter, 7 to 12 %
# in summer; below 6 % the handbook's coefficients no longer hold
YEAR_PERCENT = (6.0, 12.0)


def moisture_in_the_shop(shop):
    """The moisture that wood comes to in the shop's usual air by day and by night, in percent."""
    from materials.science.wood import moisture

    return (
        moisture.equilibrium_percent(shop.day_c, shop.day_humidity_percent),
        moisture.equilibrium_percent(shop.night_c, shop.night_humidity_percent),
    )


def change_across_a_year(per_percent):
    """How much a piece 100 mm wide moves between winter and summer in a heated home; None where unknown."""
    from materials.science.wood import movement

    return None if per_percent is None else movement.change_mm(100, per_percent, *YEAR_PERCENT)
