"""What follows from a species' published figures: its density, and its stiffness across the grain."""

from materials.science.errors import checked

# share of the stiffness along the grain; from two species, the span of others is about 1/15 to 1/8
ACROSS_TANGENTIAL, ACROSS_RADIAL = 0.065, 0.132


def density_kg_m3(specific_gravity: float, moisture_percent: float) -> float:
    """The density of wood as it lies there, water included.

    Parameters: specific_gravity, on oven-dry mass and volume at this moisture; moisture_percent.
    Returns: kg/m³.
    Raises: OutOfRange.
    Valid for: below the moisture at which wood is full.
    Source: Wood Handbook, chapter 4 (definition of specific gravity, from memory).

    >>> round(density_kg_m3(0.63, 12), 1)
    705.6
    """
    checked("specific_gravity", specific_gravity, 0.1, 1.4, "")
    checked("moisture_percent", moisture_percent, 0, 30, "%")
    return 1000 * specific_gravity * (1 + moisture_percent / 100)


def modulus_across_gpa(modulus_gpa: float, share: float = ACROSS_TANGENTIAL) -> float:
    """How stiff a strip is whose grain runs across the span instead of along it.

    Parameters: modulus_gpa, along the grain; share of it across.
    Returns: GPa.
    Raises: OutOfRange.
    Valid for: 12 % moisture; the shares given are those of sugar maple.
    Source: Wood Handbook FPL-GTR-190 (2010), Table 5-1.

    >>> round(modulus_across_gpa(12.6), 3)
    0.819
    """
    checked("modulus_gpa", modulus_gpa, 0.01, 100, "GPa")
    return modulus_gpa * checked("share", share, 0.01, 1, "")
