"""Air that rises and resin that runs: bubbles, filling of the gaps, leaks."""

import math
from typing import TYPE_CHECKING

from materials.science.errors import checked

if TYPE_CHECKING:
    from materials.science.resin.exotherm import PourPrediction
    from materials.science.resin.kinetics import Kinetics

GRAVITY_M_PER_S2 = 9.80665
RESIN_KG_M3 = 1100.0


def wall_factor(diameter_over_gap: float) -> float:
    """How much a bubble midway between two walls is slowed by them.

    Parameters: diameter_over_gap, from 0 up; beyond 1 the value of 1 is held.
    Returns: a share of the speed far from walls.
    Raises: OutOfRange.
    Valid for: within 3 % near 0.5, rough beyond 0.8.
    Source: Faxén 1922, two walls, as in Happel and Brenner 1965, section 7-4 (from memory).

    >>> [round(wall_factor(x), 4) for x in (0.1, 0.3, 0.5, 0.8)]
    [0.9, 0.7114, 0.5581, 0.4415]
    """
    x = min(checked("diameter_over_gap", diameter_over_gap, 0, 1e6, ""), 1.0)
    return 1 - 1.004 * x + 0.418 * x**3 + 0.21 * x**4 - 0.169 * x**5


def bubble_rise_mm_s(
    diameter_mm: float, viscosity_pa_s: float, gap_mm: float | None = None, density_kg_m3: float = RESIN_KG_M3
) -> float:
    """How fast a bubble rises.

    Parameters: diameter_mm; viscosity_pa_s; gap_mm it rises in (None: far from walls); density_kg_m3.
    Returns: mm/s; a bubble as wide as the gap or wider gets the speed of one that just fits.
    Raises: OutOfRange.
    Valid for: slow flow, a bubble with a dirty (rigid) surface; a clean one is up to 1.5 times faster.
    Source: Stokes 1851, with the walls of wall_factor.

    >>> round(bubble_rise_mm_s(0.5, 0.5), 5)
    0.29965
    """
    checked("diameter_mm", diameter_mm, 0.0001, 100, "mm")
    checked_liquid(viscosity_pa_s, density_kg_m3)
    walls = 1.0
    if gap_mm is not None:
        walls = wall_factor(diameter_mm / checked("gap_mm", gap_mm, 0.01, 1000, "mm"))
        diameter_mm = min(diameter_mm, gap_mm)
    free_m_s = density_kg_m3 * GRAVITY_M_PER_S2 * (diameter_mm / 1000) ** 2 / (18 * viscosity_pa_s)
    return 1000 * free_m_s * walls


def smallest_escaping_bubble_um(
    kinetics: "Kinetics", prediction: "PourPrediction", gap_mm: float | None = None
) -> float:
    """The smallest bubble that gets from the bottom to the surface before the resin gels.

    Parameters: kinetics; prediction of this pour; gap_mm it rises in (None: neat resin).
    Returns: µm; infinite where not even one as wide as the gap gets out.
    Raises: OutOfRange.
    Valid for: bubbles that touch no strip; one that clings to a strip stays, so this is a lower bound.
    Source: as bubble_rise_mm_s, over the prediction's integral of 1/viscosity.

    >>> from materials.science.resin.exotherm import Layup, predict_pour
    >>> from materials.science.resin.kinetics import Kinetics
    >>> resin = Kinetics(k_ref_per_s=3e-4)
    >>> round(smallest_escaping_bubble_um(resin, predict_pour(resin, Layup(3), 4), 0.5))
    24
    """
    weight = kinetics.density_kg_m3 * GRAVITY_M_PER_S2 * prediction.fluidity_per_pa_s
    free_mm = 1000 * math.sqrt(18 * prediction.depth_mm / 1000 / weight)
    if gap_mm is None:
        return 1000 * free_mm
    checked("gap_mm", gap_mm, 0.01, 1000, "mm")
    low, high = free_mm, gap_mm
    if high * math.sqrt(wall_factor(1.0)) < free_mm:
        return math.inf
    for _ in range(50):
        middle = (low + high) / 2
        gets_out = middle * math.sqrt(wall_factor(middle / gap_mm)) >= free_mm
        low, high = (low, middle) if gets_out else (middle, high)
    return 1000 * high


def fill_time_from_top_s(
    depth_mm: float, gap_mm: float, viscosity_pa_s: float, density_kg_m3: float = RESIN_KG_M3
) -> float:
    """How long resin takes to sink down a gap when poured along its whole length.

    Parameters: depth_mm; gap_mm; viscosity_pa_s; density_kg_m3.
    Returns: s.
    Raises: OutOfRange.
    Valid for: air that can leave at the ends; a bridged slot traps it whatever this says.
    Source: plane Poiseuille flow under its own weight.

    >>> round(fill_time_from_top_s(40, 0.5, 0.5))
    89
    """
    checked("depth_mm", depth_mm, 0.01, 1000, "mm")
    checked("gap_mm", gap_mm, 0.01, 1000, "mm")
    checked_liquid(viscosity_pa_s, density_kg_m3)
    return 12 * viscosity_pa_s * depth_mm / 1000 / (density_kg_m3 * GRAVITY_M_PER_S2 * (gap_mm / 1000) ** 2)


def fill_time_from_end_s(
    length_mm: float, head_mm: float, gap_mm: float, viscosity_pa_s: float, density_kg_m3: float = RESIN_KG_M3
) -> float:
    """How long resin takes to run along a gap from one end.

    Parameters: length_mm, of the gap; head_mm, how high the resin stands at that end; gap_mm; viscosity_pa_s;
    density_kg_m3.
    Returns: s.
    Raises: OutOfRange.
    Valid for: a head that is kept up.
    Source: plane Poiseuille flow with a front that moves away from a constant head.

    >>> round(fill_time_from_end_s(300, 20, 0.5, 0.5))
    5006
    """
    checked("length_mm", length_mm, 0.1, 10_000, "mm")
    checked("head_mm", head_mm, 0.1, 1000, "mm")
    checked("gap_mm", gap_mm, 0.01, 1000, "mm")
    checked_liquid(viscosity_pa_s, density_kg_m3)
    pressure_pa = density_kg_m3 * GRAVITY_M_PER_S2 * head_mm / 1000
    return 6 * viscosity_pa_s * (length_mm / 1000) ** 2 / (pressure_pa * (gap_mm / 1000) ** 2)


def slot_flow_ml_h(
    opening_mm: float,
    length_mm: float,
    width_mm: float,
    head_mm: float,
    viscosity_pa_s: float,
    density_kg_m3: float = RESIN_KG_M3,
) -> float:
    """How much resin leaks through a slot.

    Parameters: opening_mm; length_mm, the way through it; width_mm, along the seam; head_mm over it;
    viscosity_pa_s; density_kg_m3.
    Returns: ml/h.
    Raises: OutOfRange.
    Valid for: a slot much narrower than long.
    Source: plane Poiseuille flow.

    >>> round(slot_flow_ml_h(0.1, 3, 1000, 20, 0.3), 2)
    71.92
    """
    checked("opening_mm", opening_mm, 0.001, 100, "mm")
    checked("length_mm", length_mm, 0.01, 10_000, "mm")
    checked("width_mm", width_mm, 0.01, 10_000, "mm")
    checked("head_mm", head_mm, 0, 1000, "mm")
    checked_liquid(viscosity_pa_s, density_kg_m3)
    pressure_pa = density_kg_m3 * GRAVITY_M_PER_S2 * head_mm / 1000
    per_s_m3 = (
        width_mm / 1000 * (opening_mm / 1000) ** 3 * pressure_pa / (12 * viscosity_pa_s * length_mm / 1000)
    )
    return per_s_m3 * 3600 * 1e6


def checked_liquid(viscosity_pa_s: float, density_kg_m3: float) -> None:
    """Refuses what is not a liquid resin.

    Parameters: viscosity_pa_s; density_kg_m3.
    Raises: OutOfRange.

    >>> checked_liquid(0.5, 1100)
    """
    checked("viscosity_pa_s", viscosity_pa_s, 1e-4, 1e6, "Pa s")
    checked("density_kg_m3", density_kg_m3, 500, 3000, "kg/m³")
