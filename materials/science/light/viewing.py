"""How far to the side a panel can be looked through: deep slots of resin between opaque strips.

The walls count as black. Real wood glows a little, so a real panel never goes quite dark.
"""

import math

from materials.science.errors import checked


def cutoff_deg(gap_mm: float, depth_mm: float, index: float) -> float:
    """The angle outside, squarely across the strips, beyond which no light comes straight through.

    Parameters: gap_mm, width of the resin in mm; depth_mm, finished thickness of the panel in mm; index,
    refractive index of the cured resin (1 is an empty slot).
    Returns: degrees from the normal; 90 means that the slots never close.
    Raises: OutOfRange.
    Valid for: opaque dark walls, flat polished faces.
    Source: geometry and Snell's law; needs none.

    >>> round(cutoff_deg(2, 10, 1.5), 4)
    17.108
    """
    checked_slot(gap_mm, depth_mm, index)
    # above 1 the steepest ray in the slot would be totally reflected, and all that come from outside pass
    return math.degrees(math.asin(min(1.0, index * math.sin(math.atan(gap_mm / depth_mm)))))


def open_fraction(
    angle_deg: float, gap_mm: float, depth_mm: float, index: float, stripe_deg: float = 0
) -> float:
    """Which share of a slot's face still shows the light behind it, seen from an angle.

    Parameters: angle_deg, from the normal, outside; gap_mm, depth_mm and index as for cutoff_deg;
    stripe_deg, which way the eye moves: 0 squarely across the strips, 90 along them.
    Returns: 1 from straight ahead, 0 beyond the cut-off.
    Raises: OutOfRange.
    Valid for: opaque dark walls, flat polished faces.
    Source: geometry and Snell's law; needs none.

    >>> round(open_fraction(10, 2, 10, 1.5), 4), open_fraction(60, 2, 10, 1.5, stripe_deg=90)
    (0.4173, 1.0)
    """
    checked("angle_deg", angle_deg, -90, 90, "°")
    checked("stripe_deg", stripe_deg, -360, 360, "°")
    checked_slot(gap_mm, depth_mm, index)
    tangential = math.sin(math.radians(angle_deg))
    across = abs(tangential * math.cos(math.radians(stripe_deg)))
    inside_cosine = math.sqrt(max(0.0, 1 - (tangential / index) ** 2))
    if across < 1e-12:
        return 1.0
    if inside_cosine < 1e-9:  # grazing an empty slot: nothing gets in
        return 0.0
    shift_mm = depth_mm * across / (index * inside_cosine)
    return max(0.0, 1 - shift_mm / gap_mm)


def checked_slot(gap_mm: float, depth_mm: float, index: float) -> None:
    """Refuses a slot that can't be made.

    Parameters: as those of cutoff_deg.
    Raises: OutOfRange.

    >>> checked_slot(2, 10, 1.55)
    """
    checked("gap_mm", gap_mm, 0.01, 10_000, "mm")
    checked("depth_mm", depth_mm, 0.01, 10_000, "mm")
    checked("index", index, 1, 2.5, "")
