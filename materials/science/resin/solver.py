"""Heat and cure through time: a Rosenbrock method whose steps need one tridiagonal matrix each.

RODAS3 (four stages, order 3, L-stable, with an embedded solution of order 2): Sandu and others 1997,
Atmos. Environ. 31:3459; its coefficients from memory, confirmed by the measured order. The conversions are
eliminated cell by cell, so that only the temperatures are solved for.
"""

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from materials.science.resin.network import Factors, Network
from materials.science.resin.reaction import Reaction, Vector

GAMMA = 0.5
LEAST_STEP_S = 1e-6
MOST_STEPS = 200_000


@dataclass(frozen=True)
class Tolerance:
    """How exact a step must be: relative, and absolute in kelvin and in conversion.

    >>> Tolerance().relative
    0.001
    """

    relative: float = 1e-3
    temp_k: float = 0.02
    conversion: float = 2e-4

    @classmethod
    def scaled(cls, relative: float) -> "Tolerance":
        """The usual tolerance made finer or coarser as a whole."""
        factor = relative / 1e-3
        return cls(relative, 0.02 * factor, 2e-4 * factor)


USUAL, FINE = Tolerance(), Tolerance.scaled(1e-4)
PEAK_SAMPLES = 65
NEAR_SHARE = 1e-5  # how exactly a moment is found, of the time until then
# what a watcher sees after each step: time in s, temperatures of all nodes in K, conversions
Watch = Callable[[float, Vector, Vector], bool]
# temperatures, conversions, heat lost; and heating, rate, and the rate's slopes
State = tuple[Vector, Vector, float]
Slopes = tuple[Vector, Vector, Vector, Vector]


@dataclass(eq=False)
class Path:
    """What a march leaves behind: state and slopes at each step, and any moment between them.

    `temps_k[i]` holds all nodes, `conversions[i]` those that cure; `lost_j[i]` the heat given to the air.

    >>> path = Path()
    >>> path.times_s
    []
    """

    times_s: list[float] = field(default_factory=list)
    temps_k: list[Vector] = field(default_factory=list)
    conversions: list[Vector] = field(default_factory=list)
    temp_slopes: list[Vector] = field(default_factory=list)
    conversion_slopes: list[Vector] = field(default_factory=list)
    lost_j: list[float] = field(default_factory=list)

    def at(self, time_s: float) -> tuple[Vector, Vector]:
        """Temperatures and conversions at a moment, by cubic Hermite interpolation."""
        left = min(max(bisect_right(self.times_s, time_s) - 1, 0), len(self.times_s) - 2)
        start_s, end_s = self.times_s[left], self.times_s[left + 1]
        shares = hermite((time_s - start_s) / (end_s - start_s), end_s - start_s)
        return (
            mixed(shares, self.temps_k, self.temp_slopes, left),
            mixed(shares, self.conversions, self.conversion_slopes, left),
        )

    def many(self, times_s: Vector) -> tuple[Vector, Vector]:
        """The same for many moments at once: a row a moment."""
        steps = np.array(self.times_s)
        left = np.clip(np.searchsorted(steps, times_s, side="right") - 1, 0, len(steps) - 2)
        span = steps[left + 1] - steps[left]
        shares = [share[:, None] for share in hermite((times_s - steps[left]) / span, span)]
        return (
            mixed(shares, self.all_temps_k, np.array(self.temp_slopes), left),
            mixed(shares, self.all_conversions, np.array(self.conversion_slopes), left),
        )

    def when(self, reached: Callable[[Vector, Vector], bool], after_s: float = 0) -> float | None:
        """The first moment from after_s on at which the state meets a condition; None if it never does."""
        first = next(
            (
                i
                for i, time_s in enumerate(self.times_s)
                if time_s >= after_s and reached(self.temps_k[i], self.conversions[i])
            ),
            None,
        )
        if first is None:
            return None
        low = max(after_s, self.times_s[first - 1]) if first else after_s
        high = self.times_s[first]
        for _ in range(50):
            if high - low <= NEAR_SHARE * high:
                break
            middle = (low + high) / 2
            low, high = (low, middle) if reached(*self.at(middle)) else (middle, high)
        return high

    def hottest(self, inert: int = 0, until_s: float = np.inf) -> tuple[float, float, int]:
        """Time in s, temperature in K and which curing node, at the hottest; refined between the steps."""
        temps = self.all_temps_k[: bisect_right(self.times_s, until_s), inert:]
        top = int(temps.max(axis=1).argmax())
        around = self.times_s[max(top - 1, 0) : top + 2]
        if len(around) < 2:
            return self.times_s[top], float(temps[top].max()), int(temps[top].argmax())
        moments = np.append(np.linspace(around[0], around[-1], PEAK_SAMPLES), self.times_s[top])
        moments = moments[moments <= until_s]
        near = self.many(moments)[0][:, inert:]
        moment, node = np.unravel_index(int(near.argmax()), near.shape)
        return float(moments[moment]), float(near[moment, node]), int(node)

    @cached_property
    def all_temps_k(self) -> Vector:
        """The temperatures as one array: a row a step."""
        return np.array(self.temps_k)

    @cached_property
    def all_conversions(self) -> Vector:
        """The conversions as one array: a row a step."""
        return np.array(self.conversions)


def hermite(x: Any, span: Any) -> tuple[Any, Any, Any, Any]:
    """The shares of both ends and of both slopes at a part of the way.

    Parameters: x, from 0 to 1; span, the length of the way (numbers or arrays).
    Returns: shares of start, end, slope at the start, slope at the end.
    Source: cubic Hermite interpolation.

    >>> hermite(0.5, 2.0)
    (0.5, 0.5, 0.25, -0.25)
    """
    left = 1 - x
    return (1 + 2 * x) * left * left, x * x * (3 - 2 * x), x * left * left * span, -x * x * left * span


def mixed(shares: Any, values: Any, slopes: Any, left: Any) -> Vector:
    """What lies between two steps.

    Parameters: shares, from hermite; values and slopes of all steps; left, the step before.
    Returns: the values there.

    >>> mixed(hermite(0.5, 2.0), np.array([[0.0], [2.0]]), np.array([[1.0], [1.0]]), 0).tolist()
    [1.0]
    """
    start, end, at_start, at_end = shares
    found: Vector = (
        start * values[left] + end * values[left + 1] + at_start * slopes[left] + at_end * slopes[left + 1]
    )
    return found


class Peaked:
    """Watches for the end of the heat: all half cured, and a fifth of the rise gone again.

    A hot zone that travels may cool a little on its way and then flare up; a fifth is more than that.

    Parameters: ambient_k; above_k, a temperature beyond which nobody asks how hot (None: none such).

    >>> peaked = Peaked(300.0)
    >>> [peaked(0, np.array([temp]), np.array([0.6])) for temp in (301.0, 310.0, 309.0, 305.0)]
    [False, False, False, True]
    """

    def __init__(self, ambient_k: float, above_k: float | None = None) -> None:
        self.ambient_k, self.above_k, self.hottest_k = ambient_k, above_k, ambient_k

    def __call__(self, time_s: float, temps_k: Vector, conversions: Vector) -> bool:
        now = float(temps_k.max())
        self.hottest_k = max(self.hottest_k, now)
        if self.above_k is not None and now > self.above_k:
            return True
        cooling = now - self.ambient_k < 0.8 * (self.hottest_k - self.ambient_k)
        return cooling and bool(conversions.min() > 0.5)


class March:
    """A body on its way through time.

    Parameters: reaction; network; temps_k, all nodes at the start; conversions, those that cure; ambient_k;
    tolerance; start_s, the time at the start.
    Valid for: constant surroundings; at a change of them start anew from the last state.
    Source: see the module.

    >>> from materials.science.resin.kinetics import Kinetics
    >>> alone = Network(np.full(3, 1700.0), np.full(3, 3e5), np.zeros(2), np.zeros(3))
    >>> march = March(Reaction(Kinetics(1e-3)), alone, np.full(3, 298.15), np.full(3, 1e-4), 298.15)
    >>> path = march.until(3e6)
    >>> round(float(path.temps_k[-1][0]) - 298.15, 2)  # 3e5 / 1700, since no heat gets out
    176.45
    """

    def __init__(
        self,
        reaction: Reaction,
        network: Network,
        temps_k: Vector,
        conversions: Vector,
        ambient_k: float,
        tolerance: Tolerance = USUAL,
        start_s: float = 0,
    ) -> None:
        self.reaction, self.network, self.ambient_k = reaction, network, ambient_k
        self.tolerance = tolerance
        self.cures = slice(network.inert, None)
        self.passing = network.diagonal()
        self.time_s, self.lost_j = start_s, 0.0
        self.temps, self.conversions = temps_k.astype(float), conversions.astype(float)
        self.path = Path()

    def until(self, end_s: float, stop: Watch | None = None, first_step_s: float = 1.0) -> Path:
        """Marches to a time, or until a watcher says stop."""
        step_s = first_step_s
        slopes = self._note()
        for _ in range(MOST_STEPS):
            if self.time_s >= end_s - 1e-9:
                break
            step_s = min(step_s, end_s - self.time_s)
            taken, error = self._try(step_s, slopes)
            if error <= 1:
                self.time_s += step_s
                self.temps, self.conversions, self.lost_j = taken
                slopes = self._note()
                if stop and stop(self.time_s, self.temps, self.conversions):
                    break
            step_s *= min(5.0, max(0.2, 0.9 * max(error, 1e-12) ** (-1 / 3)))
            if step_s < LEAST_STEP_S:
                raise ArithmeticError("the cure model found no step small enough")
        return self.path

    def _note(self) -> Slopes:
        rate, by_conversion, by_temp = self.reaction.slopes(self.conversions, self.temps[self.cures])
        heating = self._heating(self.temps, rate)
        path = self.path
        path.times_s.append(self.time_s)
        path.temps_k.append(self.temps)
        path.conversions.append(self.conversions)
        path.temp_slopes.append(heating / self.network.capacity)
        path.conversion_slopes.append(rate)
        path.lost_j.append(self.lost_j)
        return heating, rate, by_conversion, by_temp

    def _heating(self, temps: Vector, rate: Vector) -> Vector:
        """What each node gains in W."""
        into = self.network.flow(temps, self.ambient_k)
        into[self.cures] += self.network.source * rate
        return into

    def _losing(self, temps: Vector) -> float:
        return float(self.network.ambient @ (temps - self.ambient_k))

    def _try(self, step_s: float, slopes: Slopes) -> tuple[State, float]:
        """One step: the state after it, and its error over what is allowed."""
        heating, rate, by_conversion, by_temp = slopes
        stage = _Stage(self, step_s, by_conversion, by_temp)
        if not stage.factors.sound:
            return (self.temps, self.conversions, self.lost_j), 1e3
        per_s = 1 / step_s
        temps, conversions, lost = self.temps, self.conversions, self.lost_j
        losing = self._losing(temps)
        t1, a1, q1 = stage.solve(heating, rate, losing, None)
        t2, a2, q2 = stage.solve(heating, rate, losing, (4 * per_s * t1, 4 * per_s * a1, 4 * per_s * q1))
        carried = (per_s * (t1 - t2), per_s * (a1 - a2), per_s * (q1 - q2))
        temps, conversions, lost = temps + 2 * t1, conversions + 2 * a1, lost + 2 * q1
        rate = self.reaction.rate(conversions, temps[self.cures])
        t3, a3, q3 = stage.solve(self._heating(temps, rate), rate, self._losing(temps), carried)
        more = 8 / 3 * per_s
        carried = (carried[0] - more * t3, carried[1] - more * a3, carried[2] - more * q3)
        temps, conversions, lost = temps + t3, conversions + a3, lost + q3
        rate = self.reaction.rate(conversions, temps[self.cures])
        t4, a4, q4 = stage.solve(self._heating(temps, rate), rate, self._losing(temps), carried)
        allowed = self.tolerance
        error = max(
            float(np.abs(t4).max()) / (allowed.temp_k + 50 * allowed.relative),
            float(np.abs(a4).max()) / (allowed.conversion + 0.5 * allowed.relative) if len(a4) else 0.0,
        )
        error = error if np.isfinite(error) else 1e3
        return (temps + t4, conversions + a4, lost + q4), error


class _Stage:
    """The linear system of one step, with the conversions eliminated."""

    def __init__(self, march: March, step_s: float, by_conversion: Vector, by_temp: Vector) -> None:
        self.network, self.cures = march.network, march.cures
        self.by_temp, self.per_step = by_temp, 1 / (GAMMA * step_s)
        self.own = 1 / (self.per_step - by_conversion)
        self.feed = self.network.source * by_conversion * self.own
        diagonal = self.network.capacity * self.per_step + march.passing
        diagonal[self.cures] -= (self.network.source + self.feed) * by_temp
        self.factors = Factors(self.network, diagonal)

    def solve(self, heating: Vector, rate: Vector, losing: float, carried: State | None) -> State:
        right, right_a, right_q = heating.copy(), rate, losing
        if carried is not None:
            right += self.network.capacity * carried[0]
            right_a = rate + carried[1]
            right_q += carried[2]
        right[self.cures] += self.feed * right_a
        temps = self.factors.solve(right)
        conversions = self.own * (right_a + self.by_temp * temps[self.cures])
        lost = (right_q + float(self.network.ambient @ temps)) / self.per_step
        return temps, conversions, lost
