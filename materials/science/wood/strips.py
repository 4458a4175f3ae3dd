"""Thin strips on edge in liquid resin: how they bow, float and are drawn together."""

import math
from typing import Literal, get_args

from materials.science.errors import UnknownName, checked

GRAVITY_M_PER_S2 = 9.80665
RESIN_KG_M3 = 1100.0

Ends = Literal["simple", "fixed"]
# deflection of an even load, times load x span^4 / (modulus x thickness^3)
BOW_FACTOR: dict[Ends, float] = {"simple": 5 * 12 / 384, "fixed": 12 / 384}


def bow_mm(
    thickness_mm: float,
    span_mm: float,
    head_mm: float,
    modulus_gpa: float,
    ends: Ends = "simple",
    resin_density_kg_m3: float = RESIN_KG_M3,
) -> float:
    """How far a strip bows between two combs when the resin stands higher on one side.

    Parameters: thickness_mm; span_mm between combs; head_mm, the difference of levels; modulus_gpa along the
    span (across the grain it is 8 to 15 times less); ends, "simple" (loose teeth) or "fixed" (tight ones);
    resin_density_kg_m3.
    Returns: mm at mid-span, at the depth of the full pressure.
    Raises: OutOfRange, UnknownName.
    Valid for: bows small beside the span.
    Source: Euler and Bernoulli's beam under an even load, 5 q L^4 / 384 E I and q L^4 / 384 E I.

    >>> round(bow_mm(0.6, 100, 10, 10), 2), round(bow_mm(0.6, 100, 10, 10, "fixed"), 3)
    (0.78, 0.156)
    """
    checked("span_mm", span_mm, 0.1, 10_000, "mm")
    checked("head_mm", head_mm, 0, 1000, "mm")
    stiffness = _stiffness(thickness_mm, modulus_gpa, ends)
    pressure_pa = _pressure_pa(head_mm, resin_density_kg_m3)
    return 1000 * pressure_pa * (span_mm / 1000) ** 4 / stiffness


def largest_span_mm(
    thickness_mm: float,
    head_mm: float,
    modulus_gpa: float,
    bow_limit_mm: float,
    ends: Ends = "simple",
    resin_density_kg_m3: float = RESIN_KG_M3,
) -> float:
    """How far apart combs may stand so that a strip bows no more than a limit.

    Parameters: thickness_mm, head_mm, modulus_gpa, ends and resin_density_kg_m3 as for bow_mm; bow_limit_mm.
    Returns: mm.
    Raises: OutOfRange, UnknownName.
    Valid for, source: as bow_mm, solved for the span.

    >>> round(largest_span_mm(0.6, 10, 11.6, 0.1), 1)
    62.1
    """
    checked("head_mm", head_mm, 0.01, 1000, "mm")
    checked("bow_limit_mm", bow_limit_mm, 0.0001, 100, "mm")
    stiffness = _stiffness(thickness_mm, modulus_gpa, ends)
    pressure_pa = _pressure_pa(head_mm, resin_density_kg_m3)
    return 1000 * float((bow_limit_mm / 1000 * stiffness / pressure_pa) ** 0.25)


def _stiffness(thickness_mm: float, modulus_gpa: float, ends: Ends) -> float:
    checked("thickness_mm", thickness_mm, 0.05, 100, "mm")
    checked("modulus_gpa", modulus_gpa, 0.01, 100, "GPa")
    if ends not in BOW_FACTOR:
        raise UnknownName("kind of ends", ends, get_args(Ends))
    return modulus_gpa * 1e9 * (thickness_mm / 1000) ** 3 / BOW_FACTOR[ends]


def _pressure_pa(head_mm: float, resin_density_kg_m3: float) -> float:
    checked("resin_density_kg_m3", resin_density_kg_m3, 500, 3000, "kg/m³")
    return resin_density_kg_m3 * GRAVITY_M_PER_S2 * head_mm / 1000


def capillary_head_mm(
    gap_mm: float,
    surface_tension_n_m: float = 0.035,
    contact_angle_rad: float = 0.3,
    resin_density_kg_m3: float = RESIN_KG_M3,
) -> float:
    """The head that wet strips are drawn together by, where the gap beside them is still empty.

    Parameters: gap_mm; surface_tension_n_m; contact_angle_rad; resin_density_kg_m3.
    Returns: mm of resin, to be added to a difference of levels.
    Raises: OutOfRange.
    Valid for: gaps filled unequally; equal ones pull both ways.
    Source: Young and Laplace, 2 gamma cos(theta) / gap; surface tension and angle from memory.

    >>> round(capillary_head_mm(0.5), 1)
    12.4
    """
    checked("gap_mm", gap_mm, 0.01, 100, "mm")
    checked("surface_tension_n_m", surface_tension_n_m, 0.001, 0.1, "N/m")
    checked("contact_angle_rad", contact_angle_rad, 0, math.pi, "rad")
    checked("resin_density_kg_m3", resin_density_kg_m3, 500, 3000, "kg/m³")
    pressure_pa = 2 * surface_tension_n_m * math.cos(contact_angle_rad) / (gap_mm / 1000)
    return 1000 * pressure_pa / (resin_density_kg_m3 * GRAVITY_M_PER_S2)


def float_force_n(
    thickness_mm: float,
    height_mm: float,
    length_mm: float,
    wood_density_kg_m3: float,
    resin_density_kg_m3: float = RESIN_KG_M3,
) -> float:
    """How hard one strip under resin pushes upwards.

    Parameters: thickness_mm, height_mm and length_mm of the strip; wood_density_kg_m3; resin_density_kg_m3.
    Returns: N; minus for wood that sinks.
    Raises: OutOfRange.
    Valid for: a strip quite under the resin.
    Source: Archimedes.

    >>> round(float_force_n(1, 20, 600, 640), 3)
    0.054
    """
    checked("thickness_mm", thickness_mm, 0.05, 100, "mm")
    checked("height_mm", height_mm, 0.1, 1000, "mm")
    checked("length_mm", length_mm, 1, 10_000, "mm")
    checked("wood_density_kg_m3", wood_density_kg_m3, 100, 1400, "kg/m³")
    checked("resin_density_kg_m3", resin_density_kg_m3, 500, 3000, "kg/m³")
    volume_m3 = thickness_mm * height_mm * length_mm * 1e-9
    return (resin_density_kg_m3 - wood_density_kg_m3) * GRAVITY_M_PER_S2 * volume_m3


def hold_down_g(force_n: float, safety: float = 2) -> float:
    """The mass to lay on strips that float.

    Parameters: force_n, of all strips together; safety, how many times that.
    Returns: g.
    Raises: OutOfRange.
    Valid for: a weight that stays above the resin.
    Source: weight is mass times gravity; twice the force is a judgement, no source.

    >>> round(hold_down_g(3.2))
    653
    """
    checked("force_n", force_n, 0, 1e5, "N")
    checked("safety", safety, 1, 10, "")
    return 1000 * force_n * safety / GRAVITY_M_PER_S2


def stack_growth_mm(strips: int, seal_film_mm: float, thickness_off_mm: float = 0) -> float:
    """How much wider a stack gets than strips and gaps alone, if the gaps are kept.

    Parameters: strips, how many; seal_film_mm on each face; thickness_off_mm, by which each strip is too
    thick.
    Returns: mm.
    Raises: OutOfRange.
    Valid for: an error that all strips share (the worst case).
    Source: sum; needs none.

    >>> round(stack_growth_mm(20, 0.1), 1), round(stack_growth_mm(20, 0, 0.03), 1)
    (4.0, 0.6)
    """
    checked("strips", strips, 1, 10_000, "")
    checked("seal_film_mm", seal_film_mm, 0, 5, "mm")
    checked("thickness_off_mm", thickness_off_mm, -5, 5, "mm")
    return strips * (2 * seal_film_mm + thickness_off_mm)
