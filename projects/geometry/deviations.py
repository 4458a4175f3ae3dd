"""What one error of the saw or of the glue-up does to stripes that should meet."""

import math

from materials.science.errors import checked


def slide_offset_mm(slide_mm: tuple[float, float], stripe_deg: float, seam_deg: float) -> float:
    """How far a piece that slipped shifts its stripes along a seam.

    Parameters: slide_mm, by how much it slipped, x and y; stripe_deg and seam_deg, the directions of its
    stripes and of the seam.
    Returns: mm along the seam; nothing for a slip along its own stripes.
    Raises: OutOfRange where stripes run along the seam.
    Source: geometry; needs none.

    >>> round(slide_offset_mm((1, 0), stripe_deg=60, seam_deg=0), 9)
    1.0
    """
    gamma = math.radians(checked("crossing_deg", abs((stripe_deg - seam_deg) % 180), 0.01, 179.99, "°"))
    turn = math.radians(stripe_deg)
    across = -math.sin(turn) * slide_mm[0] + math.cos(turn) * slide_mm[1]
    return -across / math.sin(gamma)


def rip_offset_mm(error_mm: float, crossing_deg: float, *, turned: bool = False) -> float:
    """How far stripes miss each other when a bar's strips lie off their place.

    Parameters: error_mm, across the strips; crossing_deg, between stripes and seam; turned, whether the
    piece beyond the seam comes from the same bar turned half round, so that it errs the other way.
    Returns: mm along the seam.
    Raises: OutOfRange.
    Source: geometry; needs none.

    >>> round(rip_offset_mm(0.5, 30), 9), round(rip_offset_mm(0.5, 30, turned=True), 9)
    (1.0, 2.0)
    """
    checked("crossing_deg", crossing_deg, 0.01, 179.99, "°")
    return (2 if turned else 1) * error_mm / math.sin(math.radians(crossing_deg))


def gauge_growth_mm(length_mm: float, crossing_deg: float, error_deg: float) -> float:
    """By how much the stripes at the end of a seam miss each other when one side was cut askew.

    Parameters: length_mm, of the seam; crossing_deg, between stripes and seam; error_deg, of the gauge. The
    same error on both mirrored sides costs nothing: stripes still meet, at another angle.
    Returns: mm along the seam; less than 0 where the askew side is too short.
    Raises: OutOfRange.
    Source: geometry; needs none.

    >>> round(gauge_growth_mm(60, 60, -0.1), 4)
    0.0606
    """
    checked("length_mm", length_mm, 0, 10_000, "mm")
    checked("error_deg", error_deg, -10, 10, "°")
    checked("crossing_deg", crossing_deg, 10.01, 169.99, "°")
    gamma = math.radians(crossing_deg)
    return length_mm * (math.sin(gamma) / math.sin(gamma + math.radians(error_deg)) - 1)


def base_jump_mm(error_mm: float, base_deg: float) -> tuple[float, float]:
    """What a triangle with too long a base does when it is pushed home in its ring.

    Parameters: error_mm, by which the base is too long; base_deg, the angle at the base.
    Returns: how far its stripes jump along the seam, and how far its base stands out, in mm.
    Raises: OutOfRange.
    Source: geometry; needs none.

    >>> [round(part, 3) for part in base_jump_mm(1, 60)]
    [1.0, 0.866]
    """
    checked("base_deg", base_deg, 1, 89, "°")
    base = math.radians(base_deg)
    return error_mm / (2 * math.cos(base)), error_mm / 2 * math.tan(base)
