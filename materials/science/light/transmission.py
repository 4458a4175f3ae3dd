"""How much light a flat piece of clear resin lets through: its faces, and its tint."""

import math

from materials.science.errors import checked


def normal_reflectance(index: float) -> float:
    """The share of light that one face throws back, straight on.

    Parameters: index, refractive index of the cured resin.
    Returns: a fraction of 1.
    Raises: OutOfRange.
    Valid for: a polished face against air.
    Source: Fresnel's equations at normal incidence (optics textbooks).

    >>> round(normal_reflectance(1.5), 4)
    0.04
    """
    checked("index", index, 1, 2.5, "")
    return ((index - 1) / (index + 1)) ** 2


def reflectances(index: float, angle_deg: float) -> tuple[float, float]:
    """The share that one face throws back at an angle, for each of the two polarisations.

    Parameters: index, refractive index of the cured resin; angle_deg, from the normal, in air.
    Returns: fractions of 1, across (s) and in (p) the plane of incidence.
    Raises: OutOfRange.
    Valid for: a polished face against air, light coming from the air.
    Source: Fresnel's equations (optics textbooks).

    >>> [round(share, 4) for share in reflectances(1.55, 45)]
    [0.1038, 0.0108]
    """
    checked("index", index, 1, 2.5, "")
    checked("angle_deg", angle_deg, -90, 90, "°")
    outside = math.cos(math.radians(angle_deg))
    inside = math.sqrt(max(0.0, 1 - (math.sin(math.radians(angle_deg)) / index) ** 2))
    if outside + inside < 1e-12:  # no face at all (index 1), seen edge on
        return 0.0, 0.0
    across = ((outside - index * inside) / (outside + index * inside)) ** 2
    along = ((index * outside - inside) / (index * outside + inside)) ** 2
    return across, along


def slab(index: float, angle_deg: float = 0) -> float:
    """The share of light that passes both faces of a clear slab, its inner reflections summed.

    Parameters: index, refractive index of the cured resin; angle_deg, from the normal, in air.
    Returns: a fraction of 1, the mean of both polarisations of (1 - R)/(1 + R).
    Raises: OutOfRange.
    Valid for: polished parallel faces, a slab much thicker than a wavelength, no tint.
    Source: Fresnel's equations (optics textbooks); the sum is a geometric series.

    >>> round(slab(1.55), 5)
    0.91109
    """
    return sum((1 - share) / (1 + share) for share in reflectances(index, angle_deg)) / 2


def critical_angle_deg(index: float) -> float:
    """The angle inside the resin beyond which no light leaves through a face.

    Parameters: index, refractive index of the cured resin.
    Returns: degrees from the normal, inside.
    Raises: OutOfRange.
    Valid for: a polished face against air.
    Source: Snell's law.

    >>> round(critical_angle_deg(1.55), 3)
    40.178
    """
    return math.degrees(math.asin(1 / checked("index", index, 1, 2.5, "")))


def absorption_per_mm(fraction_at: float, at_depth_mm: float) -> float:
    """How strongly a tint absorbs, from one measured piece.

    Parameters: fraction_at, the share that a piece of at_depth_mm lets through, losses at its faces
    already divided out; at_depth_mm, its thickness in mm.
    Returns: the exponent per mm.
    Raises: OutOfRange.
    Valid for: clear, evenly tinted resin that does not scatter.
    Source: Beer and Lambert's law (optics textbooks).

    >>> round(absorption_per_mm(0.5, 10), 4)
    0.0693
    """
    checked("fraction_at", fraction_at, 1e-6, 1, "")
    return -math.log(fraction_at) / checked("at_depth_mm", at_depth_mm, 0.01, 10_000, "mm")


def tinted(fraction_at: float, depth_mm: float, at_depth_mm: float) -> float:
    """The share of light that a tint lets through at another thickness.

    Parameters: fraction_at, the share that a piece of at_depth_mm lets through, losses at its faces
    already divided out; depth_mm, the thickness wanted and at_depth_mm the one measured, in mm.
    Returns: a fraction of 1.
    Raises: OutOfRange.
    Valid for: clear, evenly tinted resin that does not scatter.
    Source: Beer and Lambert's law (optics textbooks).

    >>> round(tinted(0.5, 25, 10), 5)
    0.17678
    """
    checked("depth_mm", depth_mm, 0, 10_000, "mm")
    return math.exp(-absorption_per_mm(fraction_at, at_depth_mm) * depth_mm)


def tinted_depth_mm(fraction: float, fraction_at: float, at_depth_mm: float) -> float:
    """The thickness at which a tint lets a wanted share through.

    Parameters: fraction, the share wanted; fraction_at and at_depth_mm, one measured piece as for tinted.
    Returns: mm.
    Raises: OutOfRange, also for a piece without any tint.
    Valid for: clear, evenly tinted resin that does not scatter.
    Source: Beer and Lambert's law (optics textbooks).

    >>> round(tinted_depth_mm(0.2, 0.7, 10), 2)
    45.12
    """
    checked("fraction", fraction, 1e-6, 1, "")
    checked("fraction_at", fraction_at, 1e-6, 1 - 1e-9, "")
    return -math.log(fraction) / absorption_per_mm(fraction_at, at_depth_mm)
