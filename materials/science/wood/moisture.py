"""Water in wood and in the air around it."""

import math

from materials.science.errors import checked

# how far above the dew point a surface must stay while resin is laid and cures: a maker's application
# guide prints 5 °F
LEAST_DEW_MARGIN_K = 2.8


def equilibrium_percent(temp_c: float, humidity_percent: float) -> float:
    """The moisture content that wood comes to if it stays long enough in one air.

    Parameters: temp_c, air in °C; humidity_percent, relative humidity.
    Returns: moisture content in percent of the dry mass.
    Raises: OutOfRange.
    Valid for: -1.5 to 55 °C and 5 to 95 %, the span of the printed table; any common species.
    Source: Wood Handbook FPL-GTR-282 (2021), eq. 4-5 in °C; Simpson 1998, FPL-RN-0268.

    >>> round(equilibrium_percent(20, 50), 2)
    9.27
    """
    t = checked("temp_c", temp_c, -1.5, 55, "°C")
    h = checked("humidity_percent", humidity_percent, 5, 95, "%") / 100
    molecular = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / molecular * (kh / (1 - kh) + bound)


def dew_point_c(temp_c: float, humidity_percent: float) -> float:
    """The temperature at which the shop's air begins to leave dew on a surface.

    Parameters: temp_c, air in °C; humidity_percent, relative humidity.
    Returns: °C.
    Raises: OutOfRange.
    Valid for: 0 to 60 °C and 1 to 100 %, dew over water (not frost).
    Source: Magnus's formula with a = 17.27 and b = 237.3 °C (constants from memory).

    >>> round(dew_point_c(20, 50), 2)
    9.27
    """
    a, b = 17.27, 237.3
    checked("temp_c", temp_c, 0, 60, "°C")
    checked("humidity_percent", humidity_percent, 1, 100, "%")
    exponent = a * temp_c / (b + temp_c) + math.log(humidity_percent / 100)
    return b * exponent / (a - exponent)


def dew_margin_k(surface_c: float, temp_c: float, humidity_percent: float) -> float:
    """How far a surface lies above the dew point of the air around it.

    Parameters: surface_c, wood or mould in °C; temp_c, air in °C; humidity_percent, relative humidity.
    Returns: kelvin; minus means dew, and under LEAST_DEW_MARGIN_K a film of damp may spoil the bond.
    Raises: OutOfRange.
    Valid for: as dew_point_c.
    Source: as dew_point_c.

    >>> round(dew_margin_k(19.4, 19.4, 46), 1)
    11.9
    """
    return checked("surface_c", surface_c, -30, 80, "°C") - dew_point_c(temp_c, humidity_percent)


def content_percent(wet_g: float, dry_g: float) -> float:
    """The moisture content of a piece from two weighings.

    Parameters: wet_g, as it is; dry_g, after drying at 103 °C to constant mass; both in g.
    Returns: percent of the dry mass.
    Raises: OutOfRange.
    Valid for: wood without resin on it.
    Source: Wood Handbook FPL-GTR-282 (2021), eq. 4-2 (definition).

    >>> content_percent(1150, 1000)
    15.0
    """
    checked("dry_g", dry_g, 0.001, 1e6, "g")
    checked("wet_g", wet_g, dry_g, 1e7, "g")
    return 100 * (wet_g - dry_g) / dry_g


def dry_basis_percent(wet_basis_percent: float) -> float:
    """Moisture content in percent of the dry mass from percent of the wet mass.

    Parameters: wet_basis_percent, water in percent of the whole.
    Returns: percent of the dry mass.
    Raises: OutOfRange.
    Valid for: any wood.
    Source: Wood Handbook FPL-GTR-282 (2021), eq. 4-2 (definition).

    >>> dry_basis_percent(20)
    25.0
    """
    share = checked("wet_basis_percent", wet_basis_percent, 0, 99, "%")
    return 100 * share / (100 - share)


def checked_below_saturation(moisture_percent: float) -> float:
    """A moisture, if the wood holds it within its cell walls (up to 30 %).

    Parameters: moisture_percent, of the dry mass.
    Returns: the same moisture.
    Raises: OutOfRange.

    >>> checked_below_saturation(12)
    12
    """
    return checked("moisture_percent", moisture_percent, 0, 30, "%")
