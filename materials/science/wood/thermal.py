"""How wood carries and holds heat; for the screen. The cure model keeps one figure for all strips."""

from materials.science.errors import checked
from materials.science.wood.moisture import checked_below_saturation


def conductivity_w_per_m_k(specific_gravity: float, moisture_percent: float) -> float:
    """How well wood conducts heat across its grain.

    Parameters: specific_gravity, on oven-dry mass and volume at this moisture; moisture_percent.
    Returns: W/(m K), within 20 %; along the grain about 1.8 times as much.
    Raises: OutOfRange.
    Valid for: specific gravity above 0.3, moisture below 25 %, about 24 °C.
    Source: Wood Handbook FPL-GTR-190 (2010), eq. 4-15.

    >>> round(conductivity_w_per_m_k(0.5, 12), 4)
    0.1401
    """
    checked("specific_gravity", specific_gravity, 0.3, 1.4, "")
    checked("moisture_percent", moisture_percent, 0, 25, "%")
    return specific_gravity * (0.1941 + 0.004064 * moisture_percent) + 0.01864


def dry_specific_heat_kj_per_kg_k(temp_c: float) -> float:
    """How much heat dry wood holds, whatever its species.

    Parameters: temp_c in °C.
    Returns: kJ/(kg K).
    Raises: OutOfRange.
    Valid for: 7 to 147 °C.
    Source: Wood Handbook FPL-GTR-190 (2010), eq. 4-16a; the span of temperature from memory.

    >>> round(dry_specific_heat_kj_per_kg_k(20), 4)
    1.2367
    """
    return 0.1031 + 0.003867 * (checked("temp_c", temp_c, 7, 147, "°C") + 273.15)


def specific_heat_kj_per_kg_k(moisture_percent: float, temp_c: float) -> float:
    """How much heat moist wood holds.

    Parameters: moisture_percent; temp_c in °C.
    Returns: kJ/(kg K).
    Raises: OutOfRange.
    Valid for: 7 to 147 °C, below the moisture at which wood is full.
    Source: Wood Handbook FPL-GTR-190 (2010), eq. 4-17 and 4-18.

    >>> round(specific_heat_kj_per_kg_k(12, 340 - 273.15), 2)
    1.91
    """
    m = checked_below_saturation(moisture_percent)
    temp_k = temp_c + 273.15
    mixed = (dry_specific_heat_kj_per_kg_k(temp_c) + 0.0418 * m) / (1 + 0.01 * m)
    return mixed + m * (-0.06191 + 2.36e-4 * temp_k - 1.33e-4 * m)
