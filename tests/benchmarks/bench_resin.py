"""How fast the cure model is, as ratios within one run. Nothing is asserted: machines differ.

python -m pytest tests/benchmarks/bench_resin.py -s
"""

import statistics
import sys
import time

import pytest

from materials.science.resin.bodies import slab, start_of
from materials.science.resin.calibration import Datasheet, PotLife, calibrate
from materials.science.resin.exotherm import Layup, predict_pour
from materials.science.resin.kinetics import Kinetics
from materials.science.resin.lifts import largest_lift_mm
from materials.science.resin.reaction import Reaction

HOURS = 48
CASES = {
    "runaway, 40 mm 1:1": (40, Layup(40, 1, 1)),
    "deep and slow, 40 mm 1:1": (360, Layup(40, 1, 1)),
    "coat, 3 mm": (40, Layup(3)),
}


def fitted(minutes: float) -> Kinetics:
    return calibrate(Datasheet(PotLife(minutes, 100, 25))).kinetics


def median_s(act, times=5):
    """The median time of an act, after a first go that is not counted."""
    act()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def by_library(kinetics, layup):
    """The same cells through scipy's BDF at 1e-9: the peak in °C."""
    import numpy as np
    from scipy.integrate import solve_ivp

    network, reaction = slab(kinetics, layup), Reaction(kinetics)
    shop_k, cells, inert = layup.shop_c + 273.15, len(network.capacity), network.inert

    def slopes(_, state):
        temps, cured = state[:cells], state[cells:]
        rate = reaction.rate(cured, temps[inert:])
        heating = network.flow(temps, shop_k)
        heating[inert:] += network.source * rate
        return np.concatenate([heating / network.capacity, rate])

    state = np.concatenate(start_of(network, shop_k, 1e-4))
    found = solve_ivp(slopes, (0, HOURS * 3600), state, "BDF", rtol=1e-9, atol=1e-9)
    return float(found.y[inert:cells].max()) - 273.15


def say(line):
    sys.stdout.write(f"{line}\n")


@pytest.mark.parametrize("name", CASES)
def test_a_pour_beside_a_library_at_fine_steps(name):
    minutes, layup = CASES[name]
    kinetics = fitted(minutes)
    ours_s = median_s(lambda: predict_pour(kinetics, layup, HOURS))
    theirs_s = median_s(lambda: by_library(kinetics, layup), 3)
    apart_k = predict_pour(kinetics, layup, HOURS).peak_c - by_library(kinetics, layup)
    say(f"\n{name}: {theirs_s / ours_s:.1f} times faster than BDF at 1e-9, peaks {apart_k:+.3f} K apart")


def test_the_largest_lift_and_the_fit_as_multiples_of_a_pour():
    kinetics = fitted(360)
    pour_s = median_s(lambda: predict_pour(kinetics, Layup(40, 1, 1), HOURS))
    for minutes in (40, 360):
        own = fitted(minutes)
        lift_s = median_s(lambda own=own: largest_lift_mm(own, 60, Layup(40, 1, 1)))
        say(f"\nlargest lift, {minutes} min resin: {lift_s / pour_s:.1f} pours")
        fit_s = median_s(lambda minutes=minutes: calibrate(Datasheet(PotLife(minutes, 100, 25))))
        say(f"fit, {minutes} min: {fit_s / pour_s:.1f} pours")
    for minutes, depth_mm in ((40, 10), (360, 50)):
        sheet = Datasheet(PotLife(minutes, 100, 25), max_depth_mm=depth_mm)
        fit_s = median_s(lambda sheet=sheet: calibrate(sheet), 3)
        say(f"fit with depth, {minutes} min and {depth_mm} mm: {fit_s / pour_s:.1f} pours")
