"""A pour on pours that lie in the mould already: what they carry over in heat and in cure."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from materials.science.errors import checked
from materials.science.resin.exotherm import PourPrediction, read_path
from materials.science.resin.kinetics import START_CONVERSION, ZERO_C_K, Kinetics
from materials.science.resin.layup import Layup, Stuff

if TYPE_CHECKING:
    from materials.science.resin.network import Network
    from materials.science.resin.reaction import Vector
    from materials.science.resin.solver import Path

CELLS_BELOW = 16  # of the model, through each earlier pour
FARTHEST_H = 1000.0


@dataclass(frozen=True)
class Below:
    """An earlier pour of the same resin and stack.

    Parameters: depth_mm; ago_h, how long ago it was poured; shop_c, how warm the shop has been since, until
    the next was poured (None: as the layup says).
    Raises: OutOfRange.

    >>> Below(20, 3).ago_h
    3
    """

    depth_mm: float
    ago_h: float
    shop_c: float | None = None

    def __post_init__(self) -> None:
        checked("depth_mm", self.depth_mm, 0.1, 500, "mm")
        checked("ago_h", self.ago_h, 0, FARTHEST_H, "h")
        if self.shop_c is not None:
            checked("shop_c", self.shop_c, -10, 60, "°C")


@dataclass(frozen=True, eq=False)
class Carried:
    """What lies in a mould at the moment of a pour, from the bottom up; all empty for an empty mould.

    `cells_mm` are the heights of its cells, `temps_k` and `conversions` their state, `board_k` that of the
    board under them.

    >>> import numpy as np
    >>> Carried((), np.zeros(0), np.zeros(0), np.zeros(0)).surface_c is None
    True
    """

    cells_mm: tuple[float, ...]
    board_k: "Vector" = field(repr=False)
    temps_k: "Vector" = field(repr=False)
    conversions: "Vector" = field(repr=False)

    @property
    def surface_c(self) -> float | None:
        """How warm its surface is; None for an empty mould."""
        return float(self.temps_k[-1]) - ZERO_C_K if len(self.temps_k) else None

    @property
    def hottest_c(self) -> float | None:
        """How warm its hottest point is; None for an empty mould."""
        return float(self.temps_k.max()) - ZERO_C_K if len(self.temps_k) else None

    @property
    def surface_conversion(self) -> float | None:
        """How far its surface has cured; None for an empty mould."""
        return float(self.conversions[-1]) if len(self.conversions) else None


def carried(kinetics: Kinetics, layup: Layup, below: Sequence[Below]) -> Carried:
    """What earlier pours have come to by now: their heat and their cure.

    Parameters: kinetics; layup, of the pour to come (its stack, board and shop; its depth is not looked at);
    below, the earlier pours, the oldest first.
    Returns: a Carried.
    Raises: OutOfRange where one is poured after the next.
    Valid for: as predict_pour_on.
    Source: as predict_pour, a march from each pour to the next.

    >>> resin, stack = Kinetics(k_ref_per_s=3e-4), Layup(20, 1, 1)
    >>> fresh, old = (carried(resin, stack, [Below(20, hours)]) for hours in (3, 90))
    >>> fresh.hottest_c > 30, round(old.hottest_c)
    (True, 25)
    """
    import numpy as np

    lies = Carried((), np.zeros(0), np.zeros(0), np.zeros(0))
    ends_h = [*(pour.ago_h for pour in below[1:]), 0.0]
    for pour, end_h in zip(below, ends_h, strict=False):
        lasts_h = checked("ago_h", pour.ago_h - end_h, 0, FARTHEST_H, "h")
        shop_c = layup.shop_c if pour.shop_c is None else pour.shop_c
        own = replace(layup, depth_mm=pour.depth_mm, shop_c=shop_c, resin_c=None, cells=CELLS_BELOW)
        cells_mm = (*lies.cells_mm, *[pour.depth_mm / CELLS_BELOW] * CELLS_BELOW)
        path, network = _poured(kinetics, own, lies, lasts_h)
        temps, cured = path.temps_k[-1], path.conversions[-1]
        lies = Carried(cells_mm, temps[: network.inert], temps[network.inert :], cured)
    return lies


def predict_pour_on(
    kinetics: Kinetics, layup: Layup, below: Sequence[Below], horizon_h: float = 120
) -> PourPrediction:
    """How a pour warms, gels and hardens on others that may still be warm, and warms them again.

    Parameters: kinetics; layup, of this pour alone; below, the earlier pours, the oldest first; horizon_h.
    Returns: a PourPrediction; peak, hardness and curves are those of all that lies in the mould, gel and
    depth those of this pour.
    Raises: OutOfRange.
    Valid for: as predict_pour; one resin in all of them, one warmth of the shop from pour to pour; nothing
    flows from one into the other.
    Source: as predict_pour.

    >>> resin, stack = Kinetics(k_ref_per_s=3e-4), Layup(20, 1, 1)
    >>> alone, soon = (predict_pour_on(resin, stack, below).peak_c for below in ((), (Below(20, 2),)))
    >>> soon > alone + 5
    True
    """
    checked("horizon_h", horizon_h, 1, 2000, "h")
    lies = carried(kinetics, layup, below)
    path, _ = _poured(kinetics, layup, lies, horizon_h)
    return read_path(kinetics, layup, path, horizon_h, lies.cells_mm)


def _poured(kinetics: Kinetics, layup: Layup, lies: Carried, hours: float) -> "tuple[Path, Network]":
    """The march of a pour on what lies there."""
    import numpy as np

    from materials.science.resin.bodies import slab
    from materials.science.resin.reaction import Reaction
    from materials.science.resin.solver import March

    network = slab(kinetics, layup, below_mm=lies.cells_mm)
    shop_k = layup.shop_c + ZERO_C_K
    board = lies.board_k if len(lies.board_k) == network.inert else np.full(network.inert, shop_k)
    start_k = Stuff.of(kinetics, layup).start_c + ZERO_C_K
    temps = np.concatenate([board, lies.temps_k, np.full(layup.cells, start_k)])
    conversions = np.concatenate([lies.conversions, np.full(layup.cells, START_CONVERSION)])
    march = March(Reaction(kinetics), network, temps, conversions, shop_k)
    return march.until(hours * 3600), network
