"""How far strips and mould walls give way to resin that stands higher on one side.

The pressure acts in full only at the bottom of a partly filled gap, so that these figures lie on the safe
side; warm and freshly sealed strips may be half as stiff (from memory, no source).
"""

from materials.science.errors import checked

GRAVITY_M_S2 = 9.80665
# a beam under an even load: w L^4 / E t^3 for a strip of unit height, 12·5/384 and 12/384
SIMPLE, FIXED = 12 * 5 / 384, 12 / 384
# a square plate held at all edges, for a Poisson's ratio of 0.3
PLATE_SIMPLE, PLATE_CLAMPED = 0.00406, 0.00126


def head_pressure_pa(density_kg_m3: float, head_mm: float) -> float:
    """The pressure on a strip when the resin stands higher on one side of it.

    Parameters: density_kg_m3, of the liquid resin; head_mm, the difference of both levels.
    Returns: Pa.
    Raises: OutOfRange.
    Source: hydrostatics; needs none.

    >>> round(head_pressure_pa(1100, 10), 3)
    107.873
    """
    checked("density_kg_m3", density_kg_m3, 500, 3_000, "kg/m³")
    return density_kg_m3 * GRAVITY_M_S2 * checked("head_mm", head_mm, 0, 2_000, "mm") / 1000


def strip_bow_mm(
    pressure_pa: float, span_mm: float, strip_mm: float, stiffness_gpa: float, *, fixed: bool = False
) -> float:
    """How far a strip bows in the middle between two combs.

    Parameters: pressure_pa, on one side; span_mm, between the combs; strip_mm, its thickness;
    stiffness_gpa, modulus of elasticity along the span; fixed, whether the combs hold its ends straight.
    Returns: mm.
    Raises: OutOfRange.
    Valid for: a bow much smaller than the span.
    Source: standard beam tables (e.g. Roark): 5wL⁴/384EI supported, wL⁴/384EI fixed.

    >>> round(strip_bow_mm(107.873, 60, 0.6, 11.6), 5)
    0.08718
    """
    checked("pressure", pressure_pa, 0, 1_000_000, "Pa")
    checked("span_mm", span_mm, 0.1, 10_000, "mm")
    checked("strip_mm", strip_mm, 0.01, 1_000, "mm")
    checked("stiffness_gpa", stiffness_gpa, 0.01, 500, "GPa")
    share = FIXED if fixed else SIMPLE
    return share * pressure_pa * span_mm**4 / (stiffness_gpa * 1e9 * strip_mm**3)


def comb_spacing_mm(pressure_pa: float, bow_mm: float, strip_mm: float, stiffness_gpa: float) -> float:
    """The widest spacing of combs between which strips bow no further than they may.

    Parameters: as for strip_bow_mm; bow_mm, what they may.
    Returns: mm, for strips that only lie against the combs.
    Raises: OutOfRange.
    Valid for: a bow much smaller than the span.
    Source: standard beam tables (e.g. Roark).

    >>> round(comb_spacing_mm(107.873, 0.1, 0.6, 11.6), 2)
    62.09
    """
    checked("bow_mm", bow_mm, 0.0001, 100, "mm")
    checked("pressure", pressure_pa, 1e-6, 1_000_000, "Pa")
    per_span = strip_bow_mm(pressure_pa, 1, strip_mm, stiffness_gpa)
    return float((bow_mm / per_span) ** 0.25)


def plate_bow_mm(
    pressure_pa: float, side_mm: float, plate_mm: float, stiffness_gpa: float, *, clamped: bool = False
) -> float:
    """How far a square plate, like the floor of a mould, bows in the middle under an even load.

    Parameters: pressure_pa; side_mm, of the square; plate_mm, its thickness; stiffness_gpa, modulus of
    elasticity; clamped, whether its edges are held straight.
    Returns: mm.
    Raises: OutOfRange.
    Valid for: a Poisson's ratio of 0.3, a bow smaller than half the thickness.
    Source: Timoshenko's plates; from memory.

    >>> round(plate_bow_mm(1000, 500, 5, 70), 4)
    0.3167
    """
    checked("pressure", pressure_pa, 0, 1_000_000, "Pa")
    checked("side_mm", side_mm, 1, 10_000, "mm")
    checked("plate_mm", plate_mm, 0.1, 1_000, "mm")
    checked("stiffness_gpa", stiffness_gpa, 0.01, 500, "GPa")
    # the plate's rigidity per unit width
    rigidity = stiffness_gpa * 1e9 * (plate_mm / 1000) ** 3 / (12 * (1 - 0.3**2))
    share = PLATE_CLAMPED if clamped else PLATE_SIMPLE
    return share * pressure_pa * (side_mm / 1000) ** 4 / rigidity * 1000
