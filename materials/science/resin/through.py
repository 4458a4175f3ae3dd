"""A cup and a pour in a shop whose temperature was read on the way: the clocks of the cure model.

Between two readings nothing is known, so that the last one holds until the next.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from materials.science.errors import checked
from materials.science.resin.cups import (
    LONGEST,
    checked_criterion,
    checked_cup,
    criterion_of,
    isothermal_s,
)
from materials.science.resin.exotherm import DEMOULD_ABOVE_SHOP_K, DEMOULD_CONVERSION, FILM_MM
from materials.science.resin.kinetics import START_CONVERSION, ZERO_C_K, Criterion, Kinetics
from materials.science.resin.layup import Layup, Stuff
from materials.science.resin.lifts import BOND_CONVERSION, NEXT_ABOVE_SHOP_K

if TYPE_CHECKING:
    from materials.science.resin.reaction import Vector
    from materials.science.resin.solver import March, Path, Watch

Temps = Sequence[tuple[float, float]]
# from when to when in s, and how warm in K
Stretch = tuple[float, float, float]


@dataclass(frozen=True)
class PourMoments:
    """When what happens in a pour, in minutes from it on; None where it is not reached.

    It begins to gel at `gel_first_min` and has gelled at `gel_all_min`; the next pour may follow from
    `next_min` until `bond_closes_min`, when its surface is too hard to bond by itself; it can be handled or
    leave the mould at `handling_min`, twice as late for a film.

    >>> PourMoments(50, 60, 190, 230, None).handling_min is None
    True
    """

    gel_first_min: float | None
    gel_all_min: float | None
    next_min: float | None
    bond_closes_min: float | None
    handling_min: float | None


def cup_life_through(
    kinetics: Kinetics, mass_g: float, temps: Temps, criterion: Criterion = "viscosity"
) -> float:
    """How long a cup can be poured in a shop whose temperature changes.

    Parameters: kinetics; mass_g, the mixed cup in g; temps, pairs of the minute of a reading and its °C, in
    order, the first at minute 0, which is the resin's own too; criterion, what ends it, as for pot_life_min.
    Returns: minutes; infinite if it never comes to that.
    Raises: OutOfRange, UnknownName; ValueError for readings out of order.
    Valid for, source: as pot_life_min.

    >>> resin = Kinetics(k_ref_per_s=3e-4)
    >>> [round(cup_life_through(resin, 100, temps), 1) for temps in ([(0, 25)], [(0, 25), (10, 35)])]
    [38.9, 33.6]
    """
    from materials.science.resin.bodies import cup_sphere, start_of
    from materials.science.resin.reaction import Reaction
    from materials.science.resin.solver import FINE, March

    checked_criterion(criterion)
    for _, temp_c in temps:
        checked_cup(mass_g, temp_c)
    slowest = max(isothermal_s(kinetics, temp_c, criterion) for _, temp_c in temps)
    stretches = _stretches(temps, LONGEST * slowest + 60 * temps[-1][0])
    start_k = stretches[0][2]
    network = cup_sphere(kinetics, mass_g)
    march = March(Reaction(kinetics), network, *start_of(network, start_k, START_CONVERSION), start_k, FINE)
    reached = criterion_of(kinetics, temps[0][1], criterion)
    path = _march(march, stretches, lambda _, temps_k, cured: reached(temps_k, cured))
    found = path.when(reached)
    return math.inf if found is None else found / 60


def pour_through(kinetics: Kinetics, layup: Layup, temps: Temps, horizon_h: float = 120) -> PourMoments:
    """When a pour gels, may be poured on and can leave its mould, in a shop whose temperature changes.

    Parameters: kinetics; layup, whose shop_c is not looked at; temps, as for cup_life_through; horizon_h, how
    far to look in h.
    Returns: PourMoments.
    Raises: OutOfRange; ValueError for readings out of order.
    Valid for: as predict_pour; the moments of handling, of the next pour and of its bond are judgements.
    Source: as predict_pour, begun anew from the last state at each change of the surroundings.

    >>> moments = pour_through(Kinetics(k_ref_per_s=3e-4), Layup(40, 1, 1), [(0, 25)])
    >>> round(moments.gel_first_min), round(moments.gel_all_min)
    (54, 61)
    """
    import numpy as np

    from materials.science.resin.bodies import slab
    from materials.science.resin.reaction import Reaction
    from materials.science.resin.solver import March

    checked("horizon_h", horizon_h, 1, 2000, "h")
    stretches = _stretches(temps, horizon_h * 3600)
    network, inert, shop_k = slab(kinetics, layup), slab(kinetics, layup).inert, stretches[0][2]
    warm_k = shop_k if layup.resin_c is None else Stuff.of(kinetics, layup).start_c + ZERO_C_K
    start = np.concatenate([np.full(inert, shop_k), np.full(layup.cells, warm_k)])
    march = March(Reaction(kinetics), network, start, np.full(layup.cells, START_CONVERSION), shop_k)
    path = _march(march, stretches, None)
    gel = kinetics.gel_conversion
    all_s = path.when(lambda _, cured: bool(cured.min() >= gel))
    hard_s = path.when(lambda _, cured: bool(cured.min() >= DEMOULD_CONVERSION))
    handling_s = _cool_s(path, stretches, inert, hard_s, DEMOULD_ABOVE_SHOP_K)
    return PourMoments(
        gel_first_min=_minutes(path.when(lambda _, cured: bool(cured.max() >= gel))),
        gel_all_min=_minutes(all_s),
        next_min=_minutes(_cool_s(path, stretches, inert, all_s, NEXT_ABOVE_SHOP_K)),
        bond_closes_min=_minutes(path.when(lambda _, cured: bool(cured[-1] >= BOND_CONVERSION))),
        # the model hurries the end of a film
        handling_min=_minutes(handling_s, 2 if layup.depth_mm <= FILM_MM else 1),
    )


def _minutes(seconds: float | None, times: float = 1) -> float | None:
    return None if seconds is None else times * seconds / 60


def _stretches(temps: Temps, end_s: float) -> list[Stretch]:
    """From when to when it is how warm, in s and K, up to an end."""
    starts = [60.0 * at for at, _ in temps]
    if not starts or starts[0] != 0 or starts != sorted(starts):
        raise ValueError("the temperatures of a clock begin with its start and come in order")
    edges = [*starts, max(end_s, starts[-1] + 1)]
    found = [
        (begun, end, temp_c + ZERO_C_K)
        for (begun, end), (_, temp_c) in zip(itertools.pairwise(edges), temps, strict=True)
    ]
    return [stretch for stretch in found if stretch[1] > stretch[0]]


def _march(march: "March", stretches: list[Stretch], stop: "Watch | None") -> "Path":
    """A body's way through all stretches, or until a watcher says stop."""
    stopped = False

    def watch(time_s: float, temps_k: "Vector", conversions: "Vector") -> bool:
        nonlocal stopped
        stopped = stop is not None and stop(time_s, temps_k, conversions)
        return stopped

    for _, end_s, ambient_k in stretches:
        march.ambient_k = ambient_k
        march.until(end_s, watch)
        if stopped:
            break
    return march.path


def _cool_s(
    path: "Path", stretches: list[Stretch], inert: int, after_s: float | None, above_k: float
) -> float | None:
    """When a pour, once it is hard enough, is within so many kelvin of the shop."""
    if after_s is None:
        return None
    for begun, end_s, ambient_k in stretches:
        if end_s < after_s:
            continue

        def cool(temps_k: "Vector", _: "Vector", limit_k: float = ambient_k + above_k) -> bool:
            return bool(temps_k[inert:].max() <= limit_k)

        found = path.when(cool, after_s=max(begun, after_s))
        if found is not None and found <= end_s:
            return found
    return None
