"""How fast a resin cures, and how thick it gets on the way.

The figures of `Kinetics` that no data sheet states are defaults chosen for room-temperature
amine-cured epoxies; none was fitted to a measured casting. SI and kelvin inside; °C at the doors.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from materials.science.errors import checked

GAS_J_PER_MOL_K = 8.314462618
ZERO_C_K = 273.15
REFERENCE_K = 298.15
START_CONVERSION = 1e-4
# the model's own span: it clamps here, since trial steps of the solver may overshoot for a moment
COLDEST_K, HOTTEST_K = 240.0, 700.0
LEAST_CONVERSION, MOST_CONVERSION = 1e-12, 1 - 1e-9
COLDEST_C, HOTTEST_C = -30, 420

Criterion = Literal["viscosity", "gel", "temperature"]
THICKENED = 2.0  # "viscosity": until it has doubled
WARMED_K = 25.0  # "temperature": until it has warmed by this


@dataclass(frozen=True)
class Kinetics:
    """A resin as the cure model sees it; `calibrate` makes it from a data sheet.

    Parameters: k_ref_per_s, rate constant at 25 °C; c, m and n, the shape of the rate
    (c + a^m)(1 - a)^n over conversion a; activation_j_per_mol; heat_j_per_kg, heat of the whole cure;
    gel_conversion; density_kg_m3, specific_heat_j_per_kg_k and conductivity_w_per_m_k, of the resin;
    viscosity_pa_s, mixed, at 25 °C; viscosity_activation_j_per_mol, gel_power and gel_power_slope, the
    exponent A + B a of its growth; glass_uncured_k, glass_cured_k, glass_shape, glass_margin_k and
    glass_steepness, where the cure stalls because the resin turns to glass; h_top_w_per_m2_k and
    h_under_w_per_m2_k, to the air above and under the mould.
    Raises: OutOfRange.
    Source: activation 55 kJ/mol: primary amine and epoxy 55 to 60, Thermochim. Acta 447 (2006) 167;
    m + n of 2.5 to 3: Barral 1995, J. Appl. Polym. Sci. 56:1029; gel at 1/sqrt 3: Flory and Stockmayer for
    a diepoxide with a diamine; the others from memory or chosen, see each property's screen text.

    >>> resin = Kinetics(k_ref_per_s=3e-4)
    >>> round(resin.gel_conversion, 3), resin.heat_j_per_kg
    (0.577, 300000.0)
    """

    k_ref_per_s: float
    c: float = 0.10
    m: float = 1.0
    n: float = 2.0
    activation_j_per_mol: float = 55_000.0
    heat_j_per_kg: float = 300_000.0
    gel_conversion: float = 0.577
    density_kg_m3: float = 1100.0
    specific_heat_j_per_kg_k: float = 1700.0
    conductivity_w_per_m_k: float = 0.20
    viscosity_pa_s: float = 0.5
    viscosity_activation_j_per_mol: float = 55_000.0
    gel_power: float = 1.5
    gel_power_slope: float = 1.0
    glass_uncured_k: float = 233.15
    glass_cured_k: float = 333.15
    glass_shape: float = 0.40
    glass_margin_k: float = 10.0
    glass_steepness: float = 30.0
    h_top_w_per_m2_k: float = 11.0
    h_under_w_per_m2_k: float = 5.0

    def __post_init__(self) -> None:
        for name, (low, high, unit) in LIMITS.items():
            checked(name, getattr(self, name), low, high, unit)

    @cached_property
    def adiabatic_rise_k(self) -> float:
        """How far a full cure would warm neat resin from which no heat gets out."""
        return self.heat_j_per_kg / self.specific_heat_j_per_kg_k


LIMITS: dict[str, tuple[float, float, str]] = {
    "k_ref_per_s": (1e-9, 1, "1/s"),
    "c": (1e-4, 10, ""),
    "m": (0.5, 2, ""),
    "n": (1, 4, ""),
    "activation_j_per_mol": (20_000, 120_000, "J/mol"),
    "heat_j_per_kg": (10_000, 800_000, "J/kg"),
    "gel_conversion": (0.3, 0.9, ""),
    "density_kg_m3": (800, 2500, "kg/m³"),
    "specific_heat_j_per_kg_k": (800, 3000, "J/(kg K)"),
    "conductivity_w_per_m_k": (0.05, 2, "W/(m K)"),
    "viscosity_pa_s": (0.001, 100, "Pa s"),
    "viscosity_activation_j_per_mol": (10_000, 120_000, "J/mol"),
    "gel_power": (0, 10, ""),
    "gel_power_slope": (0, 20, ""),
    "glass_uncured_k": (180, 290, "K"),
    "glass_cured_k": (300, 470, "K"),
    "glass_shape": (0.1, 1, ""),
    "glass_margin_k": (0, 60, "K"),
    "glass_steepness": (1, 200, ""),
    "h_top_w_per_m2_k": (0, 100, "W/(m² K)"),
    "h_under_w_per_m2_k": (0, 1000, "W/(m² K)"),
}


def rate_per_s(kinetics: Kinetics, conversion: float, temp_c: float) -> float:
    """How fast the conversion grows.

    Parameters: kinetics; conversion, from 0 (just mixed) to 1 (fully cured); temp_c in °C.
    Returns: change of the conversion per second.
    Raises: OutOfRange.
    Valid for: amine-cured epoxies from about 5 to 200 °C; slows to a crawl where the resin turns to glass.
    Source: Kamal and Sourour 1973, Polym. Eng. Sci. 13:59, with one activation energy; the glass by
    DiBenedetto's relation and a logistic (form of Chern and Poehlein 1987), from memory.

    >>> round(rate_per_s(Kinetics(k_ref_per_s=1e-4), 0.3, 25) * 1e5, 4)
    1.96
    """
    temp_k = checked("temp_c", temp_c, COLDEST_C, HOTTEST_C, "°C") + ZERO_C_K
    checked("conversion", conversion, 0, 1, "")
    temp_k = min(max(temp_k, COLDEST_K), HOTTEST_K)
    cured = min(max(conversion, LEAST_CONVERSION), MOST_CONVERSION)
    constant = kinetics.k_ref_per_s * arrhenius(kinetics.activation_j_per_mol, temp_k)
    mobility = 1 / (1 + math.exp(kinetics.glass_steepness * (cured - glass_conversion(kinetics, temp_k))))
    return float(constant * (kinetics.c + cured**kinetics.m) * (1 - cured) ** kinetics.n * mobility)


def viscosity_pa_s(kinetics: Kinetics, conversion: float, temp_c: float) -> float:
    """How thick the resin is.

    Parameters: kinetics; conversion, from 0 to 1; temp_c in °C.
    Returns: Pa s; infinite from the gel point on.
    Raises: OutOfRange.
    Valid for: the liquid resin, before it gels.
    Source: Castro and Macosko 1982, AIChE J. 28:250; its constants for epoxies from memory.

    >>> round(viscosity_pa_s(Kinetics(k_ref_per_s=1e-4, viscosity_pa_s=1), 0.3, 25), 3)
    3.747
    """
    temp_k = checked("temp_c", temp_c, COLDEST_C, HOTTEST_C, "°C") + ZERO_C_K
    cured = checked("conversion", conversion, 0, 1, "")
    gel = kinetics.gel_conversion
    if cured >= gel:
        return math.inf
    # a thick liquid thins as it warms: the sign of its exponent is the other one
    warmth = 1 / arrhenius(kinetics.viscosity_activation_j_per_mol, temp_k)
    growth = (gel / (gel - cured)) ** (kinetics.gel_power + kinetics.gel_power_slope * cured)
    return float(kinetics.viscosity_pa_s * warmth * growth)


def arrhenius(activation_j_per_mol: float, temp_k: float) -> float:
    """How many times faster than at 25 °C.

    Parameters: activation_j_per_mol; temp_k in kelvin.
    Returns: 1 at 25 °C.
    Source: Arrhenius 1889.

    >>> round(arrhenius(55_000, 303.15) / arrhenius(55_000, 293.15), 3)
    2.105
    """
    return math.exp(-activation_j_per_mol / GAS_J_PER_MOL_K * (1 / temp_k - 1 / REFERENCE_K))


def glass_conversion(kinetics: Kinetics, temp_k: float) -> float:
    """The conversion at which the resin turns to glass at this temperature, where its cure stalls.

    Parameters: kinetics; temp_k in kelvin.
    Returns: conversion; above 1 where a full cure is reached.
    Source: DiBenedetto's relation turned round (Pascault and Williams 1990, from memory).

    >>> [round(glass_conversion(Kinetics(1e-4), 273.15 + t), 3) for t in (15, 25, 40)]
    [0.823, 0.882, 0.957]
    """
    span = kinetics.glass_cured_k - kinetics.glass_uncured_k
    x = (temp_k + kinetics.glass_margin_k - kinetics.glass_uncured_k) / span
    return x / (kinetics.glass_shape + (1 - kinetics.glass_shape) * x)


def reaction_time(kinetics: Kinetics, conversion: float, slices: int = 400) -> float:
    """The time to a conversion at one temperature, counted in 1/k (without the glass).

    Parameters: kinetics; conversion, up to 0.99; slices of the integral (even).
    Returns: k times the time, a pure number.
    Raises: OutOfRange.
    Valid for: isothermal cure below the glass.
    Source: the integral of da/((c + a^m)(1 - a)^n) from 1e-4, by Simpson's rule in the logarithm of c + a.

    >>> round(reaction_time(Kinetics(k_ref_per_s=1e-4), 0.577), 4)
    3.5307
    """
    checked("conversion", conversion, START_CONVERSION, 0.99, "")
    shift = kinetics.c
    low, high = math.log(shift + START_CONVERSION), math.log(shift + conversion)
    step = (high - low) / slices
    total = 0.0
    for i in range(slices + 1):
        x = math.exp(low + i * step)
        cured = max(x - shift, LEAST_CONVERSION)
        weight = 1 if i in (0, slices) else 4 if i % 2 else 2
        total += weight * x / ((kinetics.c + cured**kinetics.m) * (1 - cured) ** kinetics.n)
    return total * step / 3


def conversion_at_growth(kinetics: Kinetics, growth: float) -> float:
    """The conversion at which the viscosity at one temperature has grown so many times.

    Parameters: kinetics; growth, from 1 up.
    Returns: conversion, below the gel point.
    Raises: OutOfRange.
    Valid for: isothermal cure.
    Source: as viscosity_pa_s, solved by halving.

    >>> round(conversion_at_growth(Kinetics(k_ref_per_s=1e-4), 2), 6)
    0.193779
    """
    checked("growth", growth, 1, 1e6, "")
    low, high = 0.0, kinetics.gel_conversion
    for _ in range(60):
        middle = (low + high) / 2
        if viscosity_pa_s(kinetics, middle, 25) < growth * kinetics.viscosity_pa_s:
            low = middle
        else:
            high = middle
    return (low + high) / 2
