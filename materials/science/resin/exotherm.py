"""The temperature picture of a pour: how hot it gets, when it gels, when it can leave the mould.

The prediction is not validated against a measured casting. The maker's data sheet comes first.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from materials.science.errors import checked
from materials.science.resin.kinetics import START_CONVERSION, ZERO_C_K, Kinetics
from materials.science.resin.layup import Layup, Stuff

if TYPE_CHECKING:
    from materials.science.resin.reaction import Vector
    from materials.science.resin.solver import Path, Tolerance, Watch

__all__ = ["Layup", "PourPrediction", "predict_pour"]

# from a judgement: hard enough to leave the mould, and cool enough
DEMOULD_CONVERSION, DEMOULD_ABOVE_SHOP_K = 0.80, 10.0
# thinner than this the model cures the end about twice too fast (against published films)
FILM_MM = 3.0
# a figure above this means "runaway": real resin foams, smokes and cracks long before
RUNAWAY_C = 150.0
FLUIDITY_SAMPLES = 60


@dataclass(frozen=True)
class PourPrediction:
    """What a pour will do, by the model; times from the pour on.

    `peak_c`, `peak_min` and `peak_height_mm` (from the bottom) are its hottest moment and place; gel begins
    at `gel_first_min` and is everywhere at `gel_all_min` (None: not before the horizon); `demould_h` is None
    when it never hardens enough before `horizon_h`: warm it. `end_conversion` is the smallest one then.
    `energy_residual` is how far heat made, kept and lost disagree, as a share. `surface_c` and `bottom_c` are
    the outermost cells. `fluidity_per_pa_s` is the integral of 1/viscosity until it gels.

    >>> PourPrediction.__dataclass_fields__["peak_c"].type
    <class 'float'>
    """

    depth_mm: float
    horizon_h: float
    peak_c: float
    peak_min: float
    peak_height_mm: float
    gel_first_min: float | None
    gel_all_min: float | None
    demould_h: float | None
    end_conversion: float
    energy_residual: float
    fluidity_per_pa_s: float
    times_min: tuple[float, ...]
    hottest_c: tuple[float, ...]
    surface_c: tuple[float, ...]
    bottom_c: tuple[float, ...]
    conversion_min: tuple[float, ...]
    conversion_max: tuple[float, ...]

    @property
    def runaway(self) -> bool:
        """Whether the peak is so high that its figure means nothing any more."""
        return self.peak_c > RUNAWAY_C

    @property
    def handling_h(self) -> float | None:
        """When it can be sanded or leave the mould: twice as late for a film, whose end the model hurries."""
        if self.demould_h is None or self.depth_mm > FILM_MM:
            return self.demould_h
        return 2 * self.demould_h


def predict_pour(kinetics: Kinetics, layup: Layup, horizon_h: float = 120) -> PourPrediction:
    """How a pour warms, gels and hardens through its depth.

    Parameters: kinetics; layup; horizon_h, how far to look in h.
    Returns: a PourPrediction.
    Raises: OutOfRange.
    Valid for: strips and gaps up to 6 mm, a shop at one temperature, no draught and no side losses.
    Source: one-dimensional heat conduction with the heat of cure (finite volumes), integrated by a Rosenbrock
    method of order 3; not validated against a measured casting.

    >>> pour = predict_pour(Kinetics(k_ref_per_s=3e-4), Layup(40, 1, 1), horizon_h=30)
    >>> abs(pour.peak_c - 113.2) < 0.5, pour.energy_residual < 1e-9
    (True, True)
    """
    checked("horizon_h", horizon_h, 1, 2000, "h")
    return read_path(kinetics, layup, cure_path(kinetics, layup, horizon_h), horizon_h)


def cure_path(
    kinetics: Kinetics,
    layup: Layup,
    horizon_h: float,
    tolerance: "Tolerance | None" = None,
    width_mm: float | None = None,
    stop: "Watch | None" = None,
) -> "Path":
    """The march behind a prediction: state and slopes at every step.

    Parameters: kinetics; layup; horizon_h; tolerance of the steps (None: the usual); width_mm of a narrow
    mould whose sides lose heat (None: none); stop, what may end the march early.
    Returns: a Path, from the pour to the horizon.
    Valid for, source: as predict_pour.

    >>> cure_path(Kinetics(k_ref_per_s=3e-4), Layup(40, 1, 1), 1).times_s[-1]
    3600.0
    """
    from materials.science.resin.bodies import slab, start_of
    from materials.science.resin.reaction import Reaction
    from materials.science.resin.solver import USUAL, March

    network = slab(kinetics, layup, width_mm)
    shop_k = layup.shop_c + ZERO_C_K
    temps, conversions = start_of(network, shop_k, START_CONVERSION)
    temps[network.inert :] = Stuff.of(kinetics, layup).start_c + ZERO_C_K
    march = March(Reaction(kinetics), network, temps, conversions, shop_k, tolerance or USUAL)
    return march.until(horizon_h * 3600, stop)


def slab_peak_c(
    kinetics: Kinetics, layup: Layup, above_c: float | None = None, horizon_h: float = 500
) -> float:
    """The peak alone, as fast as it can be had: for root finders.

    Parameters: kinetics; layup; above_c, a temperature beyond which it is enough to know that it is exceeded;
    horizon_h.
    Returns: °C.
    Valid for, source: as predict_pour.

    >>> round(slab_peak_c(Kinetics(k_ref_per_s=3e-4), Layup(7.5)))
    59
    """
    from materials.science.resin.solver import Peaked

    peaked = Peaked(layup.shop_c + ZERO_C_K, None if above_c is None else above_c + ZERO_C_K)
    path = cure_path(kinetics, layup, horizon_h, stop=peaked)
    return path.hottest(len(path.temps_k[0]) - layup.cells)[1] - ZERO_C_K


def read_path(
    kinetics: Kinetics, layup: Layup, path: "Path", horizon_h: float, below_mm: Sequence[float] = ()
) -> PourPrediction:
    """The figures of a pour, read off its march.

    Parameters: kinetics; layup; path, from cure_path; horizon_h; below_mm, how thick each cell is that lay
    there before the pour, from the bottom up.
    Returns: a PourPrediction; peak, hardness and curves are those of all that lies there, gel, air and depth
    those of the pour alone.
    Valid for, source: as predict_pour.

    >>> resin, layup = Kinetics(k_ref_per_s=3e-4), Layup(3)
    >>> read_path(resin, layup, cure_path(resin, layup, 5), 5).horizon_h
    5
    """
    from materials.science.resin.bodies import slab

    network = slab(kinetics, layup, below_mm=below_mm)
    cures, lower = slice(network.inert, None), len(below_mm)
    heights_mm = [*below_mm, *[layup.depth_mm / layup.cells] * layup.cells]
    gel = kinetics.gel_conversion
    gel_first = path.when(lambda _, cured: bool(cured[lower:].max() >= gel))
    gel_all = path.when(lambda _, cured: bool(cured[lower:].min() >= gel))
    peak_s, peak_k, cell = path.hottest(network.inert)
    temps = path.all_temps_k[:, cures] - ZERO_C_K
    cured = path.all_conversions
    return PourPrediction(
        depth_mm=layup.depth_mm,
        horizon_h=horizon_h,
        peak_c=peak_k - ZERO_C_K,
        peak_min=peak_s / 60,
        peak_height_mm=sum(heights_mm[:cell]) + heights_mm[cell] / 2,
        gel_first_min=None if gel_first is None else gel_first / 60,
        gel_all_min=None if gel_all is None else gel_all / 60,
        demould_h=demould_h(path, network.inert, layup.shop_c),
        end_conversion=float(cured[-1].min()),
        energy_residual=energy_residual(path, network.capacity, network.source),
        fluidity_per_pa_s=fluidity(kinetics, path, network.inert, gel_first, lower),
        times_min=tuple(time_s / 60 for time_s in path.times_s),
        hottest_c=tuple(temps.max(axis=1).tolist()),
        surface_c=tuple(temps[:, -1].tolist()),
        bottom_c=tuple(temps[:, 0].tolist()),
        conversion_min=tuple(cured.min(axis=1).tolist()),
        conversion_max=tuple(cured.max(axis=1).tolist()),
    )


def demould_h(path: "Path", inert: int, shop_c: float) -> float | None:
    """When every part is hard and cool enough to leave the mould, in h; None if not within the path.

    Parameters: path; inert, how many nodes do not cure; shop_c.
    Returns: hours from the pour on, or None.
    Valid for: a rule of judgement (conversion 0.80, 10 K above the shop); test hardness.

    >>> resin, layup = Kinetics(k_ref_per_s=3e-4), Layup(3)
    >>> demould_h(cure_path(resin, layup, 1), 8, 25) is None
    True
    """
    hard_s = path.when(lambda _, cured: bool(cured.min() >= DEMOULD_CONVERSION))
    if hard_s is None:
        return None
    cool_k = shop_c + DEMOULD_ABOVE_SHOP_K + ZERO_C_K
    free_s = path.when(lambda temps, _: bool(temps[inert:].max() <= cool_k), after_s=hard_s)
    return None if free_s is None else free_s / 3600


def energy_residual(path: "Path", capacity: "Vector", source: "Vector") -> float:
    """How far the heat made, the heat kept and the heat lost disagree, as a share of the heat made.

    Parameters: path; capacity and source of its network.
    Returns: a share; rounding only, since the method keeps the sum.

    >>> from materials.science.resin.bodies import slab
    >>> resin, layup = Kinetics(k_ref_per_s=3e-4), Layup(3)
    >>> body = slab(resin, layup)
    >>> energy_residual(cure_path(resin, layup, 5), body.capacity, body.source) < 1e-9
    True
    """
    made = float(source @ (path.conversions[-1] - path.conversions[0]))
    kept = float(capacity @ (path.temps_k[-1] - path.temps_k[0]))
    return abs(made - kept - path.lost_j[-1]) / made if made else 0.0


def fluidity(kinetics: Kinetics, path: "Path", inert: int, gel_s: float | None, lower: int = 0) -> float:
    """How long the resin stays how thin: the integral of 1/viscosity until it first gels, depth mean.

    Parameters: kinetics; path; inert, how many nodes do not cure; gel_s, in s (None: to the end of the path);
    lower, how many that cure lay there before.
    Returns: 1/Pa: what decides which bubbles get out.
    Source: trapezium rule over 60 moments.

    >>> resin, layup = Kinetics(k_ref_per_s=3e-4), Layup(3)
    >>> path = cure_path(resin, layup, 5)
    >>> round(fluidity(resin, path, 8, 8712) / 1000) in (8, 9, 10)
    True
    """
    import numpy as np

    from materials.science.resin.reaction import fluidity_per_pa_s

    times = np.linspace(path.times_s[0], gel_s or path.times_s[-1], FLUIDITY_SAMPLES)
    temps, cured = path.many(times)
    thin = fluidity_per_pa_s(kinetics, cured[:, lower:], temps[:, inert + lower :]).mean(axis=1)
    return float(np.trapezoid(thin, times))
