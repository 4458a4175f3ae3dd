import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.resin.bodies import slab, start_of
from materials.science.resin.exotherm import Layup, cure_path, predict_pour
from materials.science.resin.kinetics import Kinetics
from materials.science.resin.layup import Stuff
from materials.science.resin.network import Factors, Network
from materials.science.resin.reaction import Reaction
from materials.science.resin.solver import USUAL, March, Path, Peaked, Tolerance
from tests.data.rows import rows

# a resin so slow and weak that heat alone matters
INERT = Kinetics(k_ref_per_s=1e-9, heat_j_per_kg=10_000)
CASES = {
    "runaway": (Kinetics(3e-4), Layup(40, 1, 1)),
    "deep and slow": (Kinetics(6e-5), Layup(40, 1, 1)),
    "coat": (Kinetics(3e-4), Layup(3)),
}


def first_root(biot):
    """The first root of z tan z = Bi."""
    from scipy.optimize import brentq

    return brentq(lambda z: z * math.tan(z) - biot, 1e-9, math.pi / 2 - 1e-9)


def series(biot, fourier, place, terms=60):
    """How much of the first difference is left at a place of a slab (0 middle, 1 face): the exact series."""
    from scipy.optimize import brentq

    total = 0.0
    for i in range(terms):
        root = brentq(lambda z: z * math.sin(z) - biot * math.cos(z), i * math.pi, i * math.pi + math.pi / 2)
        weight = 4 * math.sin(root) / (2 * root + math.sin(2 * root))
        total += weight * math.exp(-(root**2) * fourier) * math.cos(root * place)
    return total


def plate(cells, half_m, conductivity, capacity, film):
    """Half a plate, from its middle to its face, that makes no heat."""
    thick = half_m / cells
    ambient = np.zeros(cells)
    ambient[-1] = 1 / (1 / film + thick / 2 / conductivity)
    return Network(
        np.full(cells, capacity * thick), np.zeros(cells), np.full(cells - 1, conductivity / thick), ambient
    )


def left_after(network, seconds, start_k=400.0, air_k=300.0, relative=1e-6):
    """The share of the first difference that is left in each cell."""
    temps, conversions = start_of(network, start_k, 0.5)
    march = March(Reaction(INERT), network, temps, conversions, air_k, Tolerance.scaled(relative))
    return (march.until(seconds).temps_k[-1] - air_k) / (start_k - air_k)


@pytest.mark.parametrize(
    "row", [*rows("heat", quantity="first eigenvalue"), *rows("heat", quantity="plane wall λ1")]
)
def test_the_exact_series_has_the_published_roots_and_weights(row):
    root = first_root(row["inputs"]["Bi"])
    weight = 4 * math.sin(root) / (2 * root + math.sin(2 * root))
    assert root == pytest.approx(row["expected"]["lam1"], abs=row["tolerance"])
    assert weight == pytest.approx(row["expected"]["A1"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("heat", quantity="plane wall centre/surface"))
def test_a_plate_cools_as_published(row):
    own, want = row["inputs"], row["expected"]
    network = plate(200, own["L_m"], own["k"], own["k"] / own["alpha"], own["h"])
    found = left_after(network, own["t_s"])
    assert found[0] == pytest.approx(want["centre"], abs=row["tolerance"])
    assert found[-1] == pytest.approx(want["surface"], abs=2 * row["tolerance"])  # half a cell below the face


@pytest.mark.parametrize("row", rows("heat", quantity="plane wall surface temperature"))
def test_a_plate_in_an_oven_comes_out_as_hot_as_published(row):
    own = row["inputs"]
    network = plate(40, own["L_half_m"], own["k"], own["k"] / own["alpha"], own["h"])
    found = own["Tinf"] + left_after(network, own["t_s"])[-1] * (own["Ti"] - own["Tinf"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("heat", quantity="slab, fixed surface"))
def test_a_slab_whose_face_is_held_cools_as_the_series_says(row):
    found = left_after(plate(100, 1.0, 1.0, 1e6, 1e9), 1e6 * row["inputs"]["Fo"])
    assert found[0] == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("heat", quantity="semi-infinite"))
def test_frost_goes_as_deep_as_published(row):
    own = row["inputs"]
    depth_m, cells = 4.0, 800
    found = left_after(plate(cells, depth_m, 1.0, 1 / own["alpha"], 1e6), own["t_days"] * 86400)
    temps = own["Ts"] + found[::-1] * (own["Ti"] - own["Ts"])
    places = (np.arange(cells) + 0.5) * depth_m / cells
    assert np.interp(own["T"], temps, places) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("heat", quantity="steady slab with uniform heat"))
def test_an_even_source_warms_the_middle_as_published(row):
    own = row["inputs"]
    cells, half_m = 400, own["L_half_mm"] / 1000
    network = plate(cells, half_m, own["k"], 1.0, 1e9)
    found = Factors(network, network.diagonal()).solve(np.full(cells, own["q_W_m3"] * half_m / cells))
    assert found[0] == pytest.approx(row["expected"], abs=row["tolerance"])


def test_halving_the_cells_quarters_the_error_against_the_exact_series():
    # 20 mm of resin, 11 W/(m² K): Bi 1.1; one hour
    biot, capacity, half_m = 1.1, 1100 * 1700, 0.020
    seconds = 3600.0
    fourier = 0.2 / capacity * seconds / half_m**2
    errors = []
    for cells in (8, 16, 32, 64):
        found = left_after(plate(cells, half_m, 0.2, capacity, 11.0), seconds, relative=1e-8)
        exact = [series(biot, fourier, (i + 0.5) / cells) for i in range(cells)]
        errors.append(np.abs(found - exact).max())
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert orders == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize(
    ("layup", "rise_k", "theory_k"), [(Layup(40), 176.4527, 176.4527), (Layup(40, 1, 1), 113.390, 113.401)]
)
def test_without_a_way_out_the_heat_warms_it_by_the_adiabatic_rise(layup, rise_k, theory_k):
    kinetics = Kinetics(3e-4)
    network = slab(kinetics, Layup(layup.depth_mm, layup.strip_mm, layup.gap_mm, mould_mm=0))
    closed = Network(network.capacity, network.source, network.along, 0 * network.ambient)
    march = March(Reaction(kinetics), closed, *start_of(closed, 298.15, 1e-4), 298.15)
    path = march.until(3000 * 3600.0)
    made = Stuff.of(kinetics, layup).rise_k * (path.conversions[-1] - path.conversions[0])
    assert path.temps_k[-1] - 298.15 == pytest.approx(made, abs=1e-6)
    assert float(path.temps_k[-1].max()) - 298.15 == pytest.approx(rise_k, abs=0.02)
    assert Stuff.of(kinetics, layup).rise_k * (1 - 1e-4) == pytest.approx(theory_k, abs=0.012)


def test_a_stack_with_wide_gaps_would_rise_by_the_reference_figure():
    assert Stuff.of(Kinetics(1e-4), Layup(40, 0.6, 1.5)).rise_k == pytest.approx(144, abs=0.5)


@pytest.mark.parametrize("name", CASES)
def test_no_heat_is_lost_or_made_up(name):
    assert predict_pour(*CASES[name]).energy_residual < 1e-9


@settings(max_examples=15, deadline=None)
@given(
    st.floats(2e-5, 3e-3),
    st.floats(1, 60),
    st.floats(0, 3),
    st.floats(0.3, 3),
    st.floats(12, 35),
    st.floats(12, 35),
)
def test_no_pour_loses_or_makes_up_heat(k_ref, depth_mm, strip_mm, gap_mm, shop_c, resin_c):
    layup = Layup(depth_mm, strip_mm, gap_mm, shop_c=shop_c, resin_c=resin_c, cells=12)
    assert predict_pour(Kinetics(k_ref), layup, 24).energy_residual < 1e-9


def against_library(kinetics, layup, hours, method="BDF", relative=1e-9):
    """The same cells through scipy's integrator."""
    from scipy.integrate import solve_ivp

    network, reaction = slab(kinetics, layup), Reaction(kinetics)
    shop_k, cells, inert = layup.shop_c + 273.15, len(network.capacity), network.inert

    def slopes(_, state):
        temps, cured = state[:cells], state[cells:]
        rate = reaction.rate(cured, temps[inert:])
        heating = network.flow(temps, shop_k)
        heating[inert:] += network.source * rate
        return np.concatenate([heating / network.capacity, rate])

    temps, cured = start_of(network, shop_k, 1e-4)
    start = np.concatenate([temps, cured])
    return solve_ivp(slopes, (0, hours * 3600), start, method, rtol=relative, atol=relative)


@pytest.mark.parametrize(("name", "hours"), [("runaway", 3), ("deep and slow", 14), ("coat", 5)])
def test_the_peak_is_that_of_a_library_at_fine_steps(name, hours):
    kinetics, layup = CASES[name]
    found = against_library(kinetics, layup, hours)
    peak_c = found.y[8 : 8 + layup.cells].max() - 273.15
    assert predict_pour(kinetics, layup, hours).peak_c == pytest.approx(peak_c, abs=0.1)


def test_the_whole_state_is_that_of_another_method_of_the_library():
    kinetics, layup = Kinetics(3e-4), Layup(20, 1, 1, cells=12)
    found = against_library(kinetics, layup, 4, "Radau", 1e-9)
    path = cure_path(kinetics, layup, 4, Tolerance.scaled(1e-6))
    assert path.temps_k[-1] == pytest.approx(found.y[: 8 + 12, -1], abs=2e-3)
    assert path.conversions[-1] == pytest.approx(found.y[8 + 12 :, -1], abs=2e-5)


def test_finer_steps_come_nearer_to_the_end_of_the_way():
    kinetics, layup = Kinetics(6e-5), Layup(40, 1, 1, cells=12)
    exact = cure_path(kinetics, layup, 8, Tolerance.scaled(1e-8)).temps_k[-1]
    errors, steps = [], []
    for relative in (1e-3, 1e-4, 1e-5, 1e-6):
        path = cure_path(kinetics, layup, 8, Tolerance.scaled(relative))
        errors.append(np.abs(path.temps_k[-1] - exact).max())
        steps.append(len(path.times_s))
    assert errors == sorted(errors, reverse=True)
    order = -np.polyfit(np.log(steps), np.log(errors), 1)[0]
    assert order == pytest.approx(3, abs=0.6)


@pytest.mark.parametrize(
    ("depth_mm", "strip_mm", "k_ref", "offsets"),
    [(40, 1, 2.905e-4, (0.052, 0.013, 0.003)), (7.5, 0, 2.91e-4, (0.090, 0.020, 0.004))],
)
def test_the_grid_shifts_the_peak_by_what_the_reference_run_shows(depth_mm, strip_mm, k_ref, offsets):
    # 112.589, .550, .540 against .537 at 256 cells; 57.03, 56.96, 56.944 against 56.940
    def peak_c(cells):
        layup = Layup(depth_mm, strip_mm, strip_mm, cells=cells)
        return predict_pour(Kinetics(k_ref), layup, 3).peak_c

    finest = peak_c(256)
    assert [peak_c(cells) - finest for cells in (32, 64, 128)] == pytest.approx(offsets, abs=0.006)


def test_a_slab_that_is_the_same_both_ways_stays_so():
    kinetics = Kinetics(3e-4, h_top_w_per_m2_k=8, h_under_w_per_m2_k=8)
    path = cure_path(kinetics, Layup(30, 1, 1, mould_mm=0), 6)
    for temps in path.temps_k:
        assert temps == pytest.approx(temps[::-1], abs=1e-6)


def test_heat_diffuses_across_half_a_gap_in_seconds():
    # (0.5 mm)² over 1.07e-7 m²/s is 2.3 s, (1.5 mm)² is 21 s: strips and gaps share one temperature
    diffusivity = 0.2 / (1100 * 1700)
    assert 0.0005**2 / diffusivity == pytest.approx(2.3, abs=0.05)
    assert 0.0015**2 / diffusivity == pytest.approx(21, abs=0.5)


def test_between_its_steps_a_path_follows_the_fine_one():
    kinetics, layup = Kinetics(3e-4), Layup(10, 1, 1, cells=8)
    coarse, fine = cure_path(kinetics, layup, 2), cure_path(kinetics, layup, 2, Tolerance.scaled(1e-6))
    for time_s in (500.0, 2000.0, 4321.0, 7000.0):
        assert coarse.at(time_s)[0] == pytest.approx(fine.at(time_s)[0], abs=0.2)


def test_what_never_happens_has_no_moment():
    path = cure_path(Kinetics(3e-4), Layup(3), 1)
    assert path.when(lambda temps, _: bool(temps.max() > 400)) is None


def test_a_peak_is_over_when_a_fifth_of_the_rise_is_gone():
    peaked = Peaked(300.0, above_k=350.0)
    cured = np.array([0.7])
    assert [peaked(0, np.array([temp]), cured) for temp in (310.0, 309.0, 307.0)] == [False, False, True]
    assert peaked(0, np.array([351.0]), np.array([0.1]))


def test_a_march_can_start_anew_where_another_ended():
    kinetics, layup = Kinetics(3e-4), Layup(10, 1, 1)
    whole = cure_path(kinetics, layup, 2, Tolerance.scaled(1e-6))
    network = slab(kinetics, layup)
    fine = Tolerance.scaled(1e-6)
    first = March(Reaction(kinetics), network, *start_of(network, 298.15, 1e-4), 298.15, fine).until(3600.0)
    second = March(
        Reaction(kinetics), network, first.temps_k[-1], first.conversions[-1], 298.15, fine, start_s=3600.0
    ).until(7200.0)
    assert second.temps_k[-1] == pytest.approx(whole.temps_k[-1], abs=1e-3)


def test_an_empty_path_has_no_steps():
    assert Path().times_s == []
    assert USUAL.relative == 1e-3
