"""The cure of many cells at once, with its slopes: what the solver asks at every step."""

import numpy as np
from numpy.typing import NDArray

from materials.science.resin.kinetics import (
    COLDEST_K,
    GAS_J_PER_MOL_K,
    HOTTEST_K,
    LEAST_CONVERSION,
    MOST_CONVERSION,
    REFERENCE_K,
    Kinetics,
)

Vector = NDArray[np.float64]


class Reaction:
    """The rate of a resin over arrays of conversion and temperature (kelvin).

    Parameters: kinetics.
    Valid for, source: as `rate_per_s`, which is the same relation for one cell.

    >>> rate, by_conversion, by_temp = Reaction(Kinetics(1e-4)).slopes(np.array([0.3]), np.array([298.15]))
    >>> round(float(rate[0]) * 1e5, 4)
    1.96
    """

    def __init__(self, kinetics: Kinetics) -> None:
        self.kinetics = kinetics
        self.per_k = kinetics.activation_j_per_mol / GAS_J_PER_MOL_K
        span = kinetics.glass_cured_k - kinetics.glass_uncured_k
        self.glass_slope = 1 / span
        self.glass_start = (kinetics.glass_margin_k - kinetics.glass_uncured_k) / span

    def rate(self, conversion: Vector, temp_k: Vector) -> Vector:
        """Change of the conversion per second."""
        return self._parts(conversion, temp_k)[0]

    def slopes(self, conversion: Vector, temp_k: Vector) -> tuple[Vector, Vector, Vector]:
        """The rate, and how it changes with conversion and with kelvin."""
        rate, cured, left, power, temp, mobility, glass_base = self._parts(conversion, temp_k)
        own = self.kinetics
        stall = own.glass_steepness * (1 - mobility)
        by_power = 1.0 if own.m == 1 else own.m * power / cured
        by_conversion = rate * (by_power / (own.c + power) - own.n / left - stall)
        glass_by_temp = own.glass_shape * self.glass_slope / (glass_base * glass_base)
        by_temp = rate * (self.per_k / (temp * temp) + stall * glass_by_temp)
        return rate, by_conversion, by_temp

    def _parts(self, conversion: Vector, temp_k: Vector) -> tuple[Vector, ...]:
        own = self.kinetics
        temp = np.minimum(np.maximum(temp_k, COLDEST_K), HOTTEST_K)
        cured = np.minimum(np.maximum(conversion, LEAST_CONVERSION), MOST_CONVERSION)
        left = 1 - cured
        power = cured if own.m == 1 else cured**own.m
        x = self.glass_start + self.glass_slope * temp
        glass_base = own.glass_shape + (1 - own.glass_shape) * x
        mobility = 1 / (1 + np.exp(own.glass_steepness * (cured - x / glass_base)))
        constant = own.k_ref_per_s * np.exp(self.per_k * (1 / REFERENCE_K - 1 / temp))
        left_power = left * left if own.n == 2 else left**own.n
        rate = constant * (own.c + power) * left_power * mobility
        return rate, cured, left, power, temp, mobility, glass_base


def fluidity_per_pa_s(kinetics: Kinetics, conversion: Vector, temp_k: Vector) -> Vector:
    """One over the viscosity, for many cells at once; 0 from the gel point on.

    Parameters: kinetics; conversion and temp_k (kelvin), arrays of one shape.
    Returns: 1/(Pa s).
    Valid for, source: as `viscosity_pa_s`.

    >>> float(fluidity_per_pa_s(Kinetics(1e-4), np.array([0.0]), np.array([298.15]))[0])
    2.0
    """
    room = np.maximum(1 - conversion / kinetics.gel_conversion, 0)
    power = kinetics.gel_power + kinetics.gel_power_slope * conversion
    per_k = kinetics.viscosity_activation_j_per_mol / GAS_J_PER_MOL_K
    warmth = np.exp(per_k * (1 / REFERENCE_K - 1 / np.maximum(temp_k, COLDEST_K)))
    return np.asarray(warmth * room**power / kinetics.viscosity_pa_s)
