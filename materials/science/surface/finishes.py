"""How much of a finish a panel takes."""

from materials.science.errors import checked


def volume_ml(area_m2: float, coverage_m2_l: float, coats: int, wood_fraction: float = 1) -> float:
    """How much finish a panel takes.

    Parameters: area_m2, of all faces to be coated; coverage_m2_l, of the bottle, a coat; coats;
    wood_fraction, the share of wood in the face for a finish that soaks in (oil does not enter resin); 1 for
    a film finish.
    Returns: ml, without what stays in rag and pot.
    Raises: OutOfRange.
    Valid for: flat sanded faces.
    Source: area over coverage; that oil is taken by the wood alone is derived.

    >>> round(volume_ml(0.5, 12.5, 3, wood_fraction=0.5))
    60
    """
    checked("area_m2", area_m2, 1e-6, 1000, "m²")
    checked("coverage_m2_l", coverage_m2_l, 0.1, 200, "m²/l")
    checked("coats", coats, 1, 50, "")
    checked("wood_fraction", wood_fraction, 0, 1, "")
    return 1000 * area_m2 * wood_fraction * coats / coverage_m2_l


def wet_film_um(coverage_m2_l: float) -> float:
    """How thick a coat lies while it is wet.

    Parameters: coverage_m2_l.
    Returns: µm.
    Raises: OutOfRange.
    Valid for: a finish that does not soak in.
    Source: volume over area; needs none.

    >>> wet_film_um(12.5)
    80.0
    """
    return 1000 / checked("coverage_m2_l", coverage_m2_l, 0.1, 200, "m²/l")


def area_of_panel_m2(width_mm: float, height_mm: float, thickness_mm: float) -> float:
    """Both faces and all four edges of a rectangular panel.

    Parameters: width_mm, height_mm and thickness_mm.
    Returns: m².
    Raises: OutOfRange.
    Valid for: a rectangle.
    Source: geometry; needs none.

    >>> round(area_of_panel_m2(600, 400, 20), 2)
    0.52
    """
    width = checked("width_mm", width_mm, 0.1, 100_000, "mm")
    height = checked("height_mm", height_mm, 0.1, 100_000, "mm")
    thick = checked("thickness_mm", thickness_mm, 0.1, 1000, "mm")
    return (2 * width * height + 2 * (width + height) * thick) / 1e6


def coverage_from_us_m2_l(square_feet_per_gallon: float) -> float:
    """A coverage printed in square feet per US gallon.

    Parameters: square_feet_per_gallon, of the US gallon (the imperial one is a fifth larger).
    Returns: m²/l.
    Raises: OutOfRange.
    Valid for: US gallons.
    Source: 1 ft is 0.3048 m, 1 US gallon 3.785411784 l (definitions).

    >>> round(coverage_from_us_m2_l(500), 2)
    12.27
    """
    checked("square_feet_per_gallon", square_feet_per_gallon, 1, 10_000, "ft²/gal")
    return square_feet_per_gallon * 0.3048**2 / 3.785411784
