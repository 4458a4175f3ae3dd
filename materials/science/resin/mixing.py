"""Mixing two parts: masses, volumes, and how far a weighed cup is off its ratio.

`parts_by_mass` is always the pair (parts A, parts B), as the data sheet prints it: 100 and 45 for
"100 A to 45 B by mass". Densities are in g/ml.
"""

from typing import Literal

from materials.science.errors import checked

Parts = tuple[float, float]
Verdict = Literal["clear", "caution", "stop"]

# rounding of a division must not turn "exactly 2 %" into a caution
HAIR_PERCENT = 1e-9


def part_masses_g(mixed_mass_g: float, parts_by_mass: Parts) -> tuple[float, float]:
    """How much of each part makes a cup of a wanted mass.

    Parameters: mixed_mass_g, the whole cup in g; parts_by_mass, parts A and B of the sheet.
    Returns: part A and part B in g; they add up to the cup.
    Raises: OutOfRange.
    Valid for: any two-part resin mixed by mass.
    Source: conservation of mass; needs none.

    >>> [round(mass, 1) for mass in part_masses_g(454.5, (100, 45))]
    [313.4, 141.1]
    """
    checked("mixed_mass_g", mixed_mass_g, 0.001, 1e6, "g")
    parts_a, parts_b = checked_parts(parts_by_mass)
    whole = parts_a + parts_b
    return mixed_mass_g * parts_a / whole, mixed_mass_g * parts_b / whole


def part_b_for_actual_a_g(actual_a_g: float, parts_by_mass: Parts) -> float:
    """How much of part B goes with the part A that was really weighed.

    Parameters: actual_a_g, part A in the cup in g; parts_by_mass, parts A and B of the sheet.
    Returns: part B in g.
    Raises: OutOfRange.
    Valid for: any two-part resin mixed by mass.
    Source: definition of the ratio; needs none.

    >>> part_b_for_actual_a_g(314.5, (100, 45))
    141.525
    """
    checked("actual_a_g", actual_a_g, 1e-6, 1e6, "g")
    parts_a, parts_b = checked_parts(parts_by_mass)
    return actual_a_g * parts_b / parts_a


def ratio_error_percent(a_g: float, b_g: float, parts_by_mass: Parts) -> float:
    """How far a weighed cup is off the sheet's ratio.

    Parameters: a_g and b_g, the parts in the cup in g; parts_by_mass, parts A and B of the sheet.
    Returns: the error of B for this A in percent; plus is too much B, minus too little.
    Raises: OutOfRange.
    Valid for: any two-part resin mixed by mass.
    Source: definition, (B/A)/(b/a) - 1; needs none.

    >>> round(ratio_error_percent(314.5, 142, (100, 45)), 2)
    0.34
    """
    checked("a_g", a_g, 1e-6, 1e6, "g")
    checked("b_g", b_g, 0, 1e6, "g")
    parts_a, parts_b = checked_parts(parts_by_mass)
    return 100 * ((b_g / a_g) / (parts_b / parts_a) - 1)


def ratio_verdict(error_percent: float, tolerance_percent: float = 2, stop_percent: float = 5) -> Verdict:
    """Whether a cup that is off its ratio may be used.

    Parameters: error_percent, of B for the A in the cup; tolerance_percent, up to which all is well;
    stop_percent, beyond which the cup must not be poured. Both limits themselves still belong to the
    milder word.
    Returns: "clear", "caution" or "stop".
    Raises: OutOfRange.
    Valid for: the sheet's own tolerance where it states one; the defaults otherwise.
    Source: no published tolerance was found; 2 % and 5 % by mass are from memory.

    >>> ratio_verdict(0.34), ratio_verdict(-3), ratio_verdict(6)
    ('clear', 'caution', 'stop')
    """
    checked("stop_percent", stop_percent, 0, 100, "%")
    checked("tolerance_percent", tolerance_percent, 0, stop_percent, "%")
    off = abs(checked("error_percent", error_percent, -100, 1e6, "%"))
    if off > stop_percent + HAIR_PERCENT:
        return "stop"
    return "caution" if off > tolerance_percent + HAIR_PERCENT else "clear"


def mass_ratio(volume_ratio: float, density_a: float, density_b: float) -> float:
    """The ratio A to B by mass that a ratio by volume means.

    Parameters: volume_ratio, A to B by volume; density_a and density_b in g/ml.
    Returns: A to B by mass.
    Raises: OutOfRange.
    Valid for: parts at the temperature of their densities.
    Source: mass is density times volume; needs none.

    >>> round(mass_ratio(3, 1.167, 1.0), 2)
    3.5
    """
    checked("volume_ratio", volume_ratio, 0.001, 1000, "")
    return volume_ratio * checked_density("density_a", density_a) / checked_density("density_b", density_b)


def volume_ratio(ratio_by_mass: float, density_a: float, density_b: float) -> float:
    """The ratio A to B by volume that a ratio by mass means.

    Parameters: ratio_by_mass, A to B by mass; density_a and density_b in g/ml.
    Returns: A to B by volume.
    Raises: OutOfRange.
    Valid for: parts at the temperature of their densities.
    Source: volume is mass over density; needs none.

    >>> round(volume_ratio(100 / 45, 1.12, 0.98), 4)
    1.9444
    """
    checked("ratio_by_mass", ratio_by_mass, 0.001, 1000, "")
    return ratio_by_mass * checked_density("density_b", density_b) / checked_density("density_a", density_a)


def parts_by_mass_from_volume(parts_by_volume: Parts, density_a: float, density_b: float) -> Parts:
    """The parts by mass of a resin whose sheet gives them by volume; A keeps its figure.

    Parameters: parts_by_volume, parts A and B of the sheet; density_a and density_b in g/ml.
    Returns: parts A and B by mass.
    Raises: OutOfRange.
    Valid for: parts at the temperature of their densities.
    Source: mass is density times volume; needs none.

    >>> [round(part, 3) for part in parts_by_mass_from_volume((2, 1), 1.12, 0.98)]
    [2, 0.875]
    """
    parts_a, parts_b = checked_parts(parts_by_volume, "parts_by_volume")
    return parts_a, parts_a / mass_ratio(parts_a / parts_b, density_a, density_b)


def part_volumes_ml(
    mixed_mass_g: float, parts_by_mass: Parts, density_a: float, density_b: float
) -> tuple[float, float]:
    """The volume of each part in a cup of a wanted mass.

    Parameters: mixed_mass_g, the whole cup in g; parts_by_mass, parts A and B of the sheet; density_a
    and density_b in g/ml.
    Returns: part A and part B in ml.
    Raises: OutOfRange.
    Valid for: parts at the temperature of their densities.
    Source: volume is mass over density; needs none.

    >>> [round(volume, 1) for volume in part_volumes_ml(454.5, (100, 45), 1.12, 0.98)]
    [279.9, 143.9]
    """
    a_g, b_g = part_masses_g(mixed_mass_g, parts_by_mass)
    return a_g / checked_density("density_a", density_a), b_g / checked_density("density_b", density_b)


def mixed_density_g_ml(parts_by_mass: Parts, density_a: float, density_b: float) -> float:
    """The density of the mixed resin before it shrinks, its volumes simply added.

    Parameters: parts_by_mass, parts A and B of the sheet; density_a and density_b in g/ml.
    Returns: g/ml.
    Raises: OutOfRange.
    Valid for: liquid resin; curing shrinks it by a few percent.
    Source: ideal volumes; needs none.

    >>> round(mixed_density_g_ml((100, 45), 1.12, 0.98), 4)
    1.0725
    """
    parts_a, parts_b = checked_parts(parts_by_mass)
    volume = parts_a / checked_density("density_a", density_a) + parts_b / checked_density(
        "density_b", density_b
    )
    return (parts_a + parts_b) / volume


def checked_parts(parts: Parts, name: str = "parts_by_mass") -> Parts:
    """Both parts of a ratio, if each is a number that a sheet could print.

    Parameters: parts, parts A and B; name, what they are called in an error.
    Returns: the same pair.
    Raises: OutOfRange.

    >>> checked_parts((100, 45))
    (100, 45)
    """
    parts_a, parts_b = parts
    return checked(f"{name}_a", parts_a, 0.001, 1e5, "parts"), checked(
        f"{name}_b", parts_b, 0.001, 1e5, "parts"
    )


def checked_density(name: str, density: float) -> float:
    """A density, if a liquid part can have it (0.5 to 3 g/ml).

    Parameters: name, what it is called in an error; density in g/ml.
    Returns: the same density.
    Raises: OutOfRange.

    >>> checked_density("density_a", 1.12)
    1.12
    """
    return checked(name, density, 0.5, 3, "g/ml")
