"""How deep one pour may be, and a block poured in several lifts."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from materials.science.errors import checked
from materials.science.resin.exotherm import DEMOULD_ABOVE_SHOP_K, DEMOULD_CONVERSION, slab_peak_c
from materials.science.resin.kinetics import START_CONVERSION, ZERO_C_K, Kinetics, arrhenius
from materials.science.resin.layup import Layup, Stuff
from materials.science.resin.upon import Below, Carried, carried

if TYPE_CHECKING:
    from materials.science.resin.reaction import Vector
    from materials.science.resin.solver import Path

LEAST_MM, MOST_MM = 0.2, 400.0
SEARCH_CELLS = 20
STRIDE = math.log(1.4)
SAFE_SHARE = 0.99
# judgements: cool enough for the next lift; and too hard on top for it to bond by itself
NEXT_ABOVE_SHOP_K = 8.0
BOND_CONVERSION = 0.80
STAGE_HORIZON_H = 120.0


@dataclass(frozen=True)
class LiftLimit:
    """The deepest pour that stays below a limit.

    `status` is "found", "any_depth" (even 400 mm stays below) or "none" (even 0.2 mm does not).

    >>> LiftLimit(17.2, "found").depth_mm
    17.2
    """

    depth_mm: float
    status: Literal["found", "any_depth", "none"]


def largest_lift_mm(kinetics: Kinetics, limit_c: float, layup: Layup) -> LiftLimit:
    """The deepest pour whose hottest point stays below a limit.

    Parameters: kinetics; limit_c, what the weakest part bears; layup, whose own depth is not looked at.
    Returns: a LiftLimit with 1 % taken off.
    Raises: OutOfRange.
    Valid for: as predict_pour.
    Source: root of the model's peak over the logarithm of depth, from Semenov's estimate on.

    >>> limit = largest_lift_mm(Kinetics(k_ref_per_s=3e-4), 60, Layup(40, 1, 1))
    >>> limit.status, 16 < limit.depth_mm < 18
    ('found', True)
    """
    checked("limit_c", limit_c, -10, 150, "°C")

    def over(log_mm: float) -> float:
        trial = replace(layup, depth_mm=math.exp(log_mm), cells=SEARCH_CELLS)
        return slab_peak_c(kinetics, trial, limit_c + 2) - limit_c

    bracket = _bracket(over, math.log(_first_guess_mm(kinetics, layup)))
    if isinstance(bracket, str):
        return LiftLimit(MOST_MM if bracket == "any_depth" else 0.0, bracket)
    from scipy.optimize import brentq

    low, high, known = bracket
    found = float(brentq(lambda x: known[x] if x in known else over(x), low, high, xtol=0.01))
    return LiftLimit(math.exp(found) * SAFE_SHARE, "found")


def _first_guess_mm(kinetics: Kinetics, layup: Layup) -> float:
    """Semenov's depth: where the films can no longer carry off the fastest heating."""
    fastest = max((kinetics.c + (i / 100) ** kinetics.m) * (1 - i / 100) ** kinetics.n for i in range(1, 100))
    constant = kinetics.k_ref_per_s * arrhenius(kinetics.activation_j_per_mol, layup.shop_c + ZERO_C_K)
    made_w_per_m3 = Stuff.of(kinetics, layup).heat_j_per_m3 * constant * fastest
    guess_mm = 1000 * 9 * (kinetics.h_top_w_per_m2_k + 3) / made_w_per_m3
    return float(min(max(guess_mm, 2 * LEAST_MM), MOST_MM / 2))


Bracket = tuple[float, float, dict[float, float]]


def _bracket(over: Callable[[float], float], log_mm: float) -> Bracket | Literal["any_depth", "none"]:
    """Two depths around the limit with what is known of them; or the status if there are none."""
    here = over(log_mm)
    known = {log_mm: here}
    deeper = here <= 0
    end = math.log(MOST_MM if deeper else LEAST_MM)
    while log_mm != end:
        further = min(log_mm + STRIDE, end) if deeper else max(log_mm - STRIDE, end)
        known[further] = over(further)
        if (known[further] <= 0) != deeper:
            return min(log_mm, further), max(log_mm, further), known
        log_mm = further
    return "any_depth" if deeper else "none"


@dataclass(frozen=True)
class Lift:
    """One lift of several; its times count from its own pour.

    `peak_c` is the hottest of the whole block while it is the top one, at `peak_h`; `wait_h` until the next
    may follow (the last: until demoulding), None if not within 120 h; `surface_conversion` at that moment;
    `bond_closes_h`, when its surface is too hard for the next to bond by itself; `passes`, whether the peak
    stays within the limit.

    >>> Lift(44.0, 5.0, 3.2, 0.81, 3.0, True).bond_open
    False
    """

    peak_c: float
    peak_h: float
    wait_h: float | None
    surface_conversion: float
    bond_closes_h: float | None
    passes: bool

    @property
    def bond_open(self) -> bool:
        """Whether the next lift still bonds by itself when it may be poured."""
        return self.wait_h is not None and self.surface_conversion <= BOND_CONVERSION


@dataclass(frozen=True)
class LiftPlan:
    """A block in lifts; `total_h` until it can leave the mould, None if that is not reached.

    >>> LiftPlan(None, ()).passes
    False
    """

    total_h: float | None
    lifts: tuple[Lift, ...]

    @property
    def passes(self) -> bool:
        """Whether every lift stays within the limit, and the block gets hard."""
        return self.total_h is not None and all(lift.passes for lift in self.lifts)


def plan_lifts(kinetics: Kinetics, layup: Layup, lifts: int, limit_c: float = 60) -> LiftPlan:
    """A block poured in equal lifts, each as soon as the one below has gelled and cooled.

    Parameters: kinetics; layup, the whole block; lifts, how many; limit_c, what the weakest part bears.
    Returns: a LiftPlan; it ends early with `total_h` None where a lift would not be ready within 120 h.
    Raises: OutOfRange.
    Valid for: as predict_pour. Inside a filled stack nobody can sand a lift's surface: a closed bond is then
    final.
    Source: as predict_pour; when the next may follow and when the bond closes are judgements.

    >>> plan = plan_lifts(Kinetics(k_ref_per_s=3e-4), Layup(40, 1, 1), 4)
    >>> len(plan.lifts), plan.passes
    (4, True)
    """
    return plan_lifts_on(kinetics, layup, lifts, (), limit_c)


def plan_lifts_on(
    kinetics: Kinetics, layup: Layup, lifts: int, below: Sequence[Below], limit_c: float = 60
) -> LiftPlan:
    """As plan_lifts, on pours that lie in the mould already and may still be warm.

    Parameters: kinetics; layup, of what is still to be poured; lifts, how many; below, the earlier pours, the
    oldest first; limit_c.
    Returns: a LiftPlan whose times count from the first of these lifts.
    Raises: OutOfRange.
    Valid for: as plan_lifts and predict_pour_on.
    Source: as plan_lifts.

    >>> rest = plan_lifts_on(Kinetics(k_ref_per_s=3e-4), Layup(20, 1, 1), 2, (Below(20, 2),))
    >>> len(rest.lifts)
    2
    """
    checked("lifts", lifts, 1, 20, "")
    if lifts != int(lifts):
        checked("lifts", math.nan, 1, 20, "")
    block = _GrowingBlock(kinetics, layup, int(lifts), carried(kinetics, layup, below))
    done: list[Lift] = []
    for number in range(1, int(lifts) + 1):
        lift = block.pour(last=number == lifts, limit_c=limit_c)
        done.append(lift)
        if lift.wait_h is None:
            return LiftPlan(None, tuple(done))
    return LiftPlan(sum(lift.wait_h or 0 for lift in done), tuple(done))


def fewest_lifts(kinetics: Kinetics, layup: Layup, limit_c: float = 60, most: int = 8) -> LiftPlan | None:
    """The plan with the fewest lifts of which every one stays within the limit; None if `most` do not do.

    Parameters: kinetics; layup, the whole block; limit_c; most, where to give up.
    Returns: a LiftPlan or None. More lifts than these only lose time.
    Raises: OutOfRange.
    Valid for, source: as plan_lifts.

    >>> plan = fewest_lifts(Kinetics(k_ref_per_s=3e-4), Layup(40, 1, 1))
    >>> plan is not None and len(plan.lifts)
    3
    """
    limit = largest_lift_mm(kinetics, limit_c, layup)
    if limit.status == "none":
        return None
    first = max(1, math.ceil(layup.depth_mm / limit.depth_mm))
    plans = (plan_lifts(kinetics, layup, count, limit_c) for count in range(first, most + 1))
    return next((plan for plan in plans if plan.passes), None)


class _GrowingBlock:
    """A block that carries its heat and cure from one lift to the next."""

    def __init__(self, kinetics: Kinetics, layup: Layup, lifts: int, lies: Carried) -> None:
        self.kinetics, self.layup = kinetics, layup
        self.cells = math.ceil(layup.cells / lifts)
        self.lift_mm = layup.depth_mm / lifts
        self.poured = 0
        self.shop_k = layup.shop_c + ZERO_C_K
        self.start_k = Stuff.of(kinetics, layup).start_c + ZERO_C_K
        self.below_mm = lies.cells_mm
        self.board_k: Vector = lies.board_k
        self.temps: Vector = lies.temps_k
        self.conversions: Vector = lies.conversions

    def pour(self, last: bool, limit_c: float) -> Lift:
        """Adds a lift and marches until the next may follow, and its bond has closed."""
        path, inert = self._march(last)
        ready_s = self._ready_s(path, inert, last)
        closes_s = path.when(lambda _, cured: bool(cured[-1] >= BOND_CONVERSION))
        end_s = path.times_s[-1] if ready_s is None else ready_s
        temps, conversions = path.at(end_s)
        self.board_k, self.temps, self.conversions = temps[:inert], temps[inert:], conversions
        peak_s, peak_k, _ = path.hottest(inert, end_s)
        return Lift(
            peak_c=peak_k - ZERO_C_K,
            peak_h=peak_s / 3600,
            wait_h=None if ready_s is None else ready_s / 3600,
            surface_conversion=float(conversions[-1]),
            bond_closes_h=None if closes_s is None else closes_s / 3600,
            passes=peak_k - ZERO_C_K <= limit_c,
        )

    def _march(self, last: bool) -> "tuple[Path, int]":
        import numpy as np

        from materials.science.resin.bodies import slab
        from materials.science.resin.reaction import Reaction
        from materials.science.resin.solver import March

        self.poured += 1
        cells = self.cells * self.poured
        layup = replace(self.layup, depth_mm=self.lift_mm * self.poured, cells=cells)
        network = slab(self.kinetics, layup, below_mm=self.below_mm)
        inert = network.inert
        board = self.board_k if len(self.board_k) == inert else np.full(inert, self.shop_k)
        temps = np.concatenate([board, self.temps, np.full(self.cells, self.start_k)])
        conversions = np.concatenate([self.conversions, np.full(self.cells, START_CONVERSION)])
        march = March(Reaction(self.kinetics), network, temps, conversions, self.shop_k)

        def over(_: float, temps_k: "Vector", cured: "Vector") -> bool:
            ready = self._ready(temps_k[inert:], cured, last)
            return ready and (last or bool(cured[-1] >= BOND_CONVERSION))

        return march.until(STAGE_HORIZON_H * 3600, over), inert

    def _ready_s(self, path: "Path", inert: int, last: bool) -> float | None:
        return path.when(lambda temps, cured: self._ready(temps[inert:], cured, last))

    def _ready(self, temps_k: "Vector", cured: "Vector", last: bool) -> bool:
        """Whether the next lift may follow; after the last, whether the block may leave the mould."""
        hard = DEMOULD_CONVERSION if last else self.kinetics.gel_conversion
        above_k = DEMOULD_ABOVE_SHOP_K if last else NEXT_ABOVE_SHOP_K
        part = cured if last else cured[-self.cells :]
        return bool(part.min() >= hard and temps_k.max() <= self.shop_k + above_k)
