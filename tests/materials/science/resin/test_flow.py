import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from materials.science.errors import OutOfRange
from materials.science.resin.flow import (
    bubble_rise_mm_s,
    fill_time_from_end_s,
    fill_time_from_top_s,
    slot_flow_ml_h,
    smallest_escaping_bubble_um,
    wall_factor,
)
from tests.data.rows import rows
from tests.materials.science.resin.resins import percent, pour, resin


@pytest.mark.parametrize("row", rows("flow", quantity="Stokes rise"))
def test_a_bubble_rises_as_stokes_says(row):
    own = row["inputs"]
    found = bubble_rise_mm_s(own["d_mm"], own["mu_Pa_s"], density_kg_m3=own["rho"])
    assert found == pytest.approx(row["expected"], rel=0.005)


@pytest.mark.parametrize("row", rows("flow", quantity="time for 0.5 mm bubble"))
def test_a_bubble_takes_its_time_to_the_top(row):
    own = row["inputs"]
    found = own["h_mm"] / bubble_rise_mm_s(own["d_mm"], own["mu_Pa_s"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("flow", quantity="leak through slit"))
def test_a_slit_leaks_as_worked_out(row):
    own = row["inputs"]
    found = slot_flow_ml_h(own["h_mm"], own["L_mm"], 1000, own["head_mm"], own["mu_Pa_s"], own["rho"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("flow", quantity="mean velocity in gap"))
def test_resin_sinks_down_a_gap_as_fast_as_worked_out(row):
    own = row["inputs"]
    found = 100 / fill_time_from_top_s(100, own["h_mm"], own["mu_Pa_s"], own["rho"])
    assert found == pytest.approx(row["expected"], abs=row["tolerance"])


def test_half_the_slit_leaks_an_eighth():
    # source: hand calculation: 72 and 9 ml/h a metre
    found = slot_flow_ml_h(0.05, 3, 1000, 20, 0.3)
    assert found == pytest.approx(9, abs=0.05)
    assert slot_flow_ml_h(0.1, 3, 1000, 20, 0.3) / found == pytest.approx(8)


@pytest.mark.parametrize(("ratio", "factor"), [(0.1, 0.9000), (0.3, 0.7114), (0.5, 0.5581), (0.8, 0.4415)])
def test_walls_slow_a_bubble_as_faxen_says(ratio, factor):
    assert wall_factor(ratio) == pytest.approx(factor, abs=5.1e-5)


def test_a_bubble_that_just_fits_is_slowed_to_less_than_half():
    assert wall_factor(1) == pytest.approx(0.455, abs=5.1e-4)
    assert wall_factor(3) == wall_factor(1)


@pytest.mark.parametrize(("gap_mm", "seconds"), [(0.5, 89), (1, 22), (2, 5.6)])
def test_a_gap_fills_from_above_as_fast_as_in_the_reference_figures(gap_mm, seconds):
    assert fill_time_from_top_s(40, gap_mm, 0.5) == percent(seconds, 0.1 if seconds == 5.6 else 1, share=0)


@pytest.mark.parametrize(
    ("length_mm", "gap_mm", "seconds"),
    [(300, 0.5, 5006), (300, 1, 1251), (300, 2, 313), (100, 0.5, 556), (100, 1, 139), (100, 2, 35)],
)
def test_a_gap_fills_from_one_end_as_slowly_as_in_the_reference_figures(length_mm, gap_mm, seconds):
    assert fill_time_from_end_s(length_mm, 20, gap_mm, 0.5) == percent(seconds, share=0)


def test_a_tenth_of_a_millimetre_rises_forty_millimetres_an_hour():
    # source: hand calculation: 43 mm/h in 0.5 Pa s, 7 mm/h in 3 Pa s
    assert bubble_rise_mm_s(0.1, 0.5) * 3600 == pytest.approx(43, abs=0.5)
    assert bubble_rise_mm_s(0.1, 3) * 3600 == pytest.approx(7, abs=0.5)


@pytest.mark.parametrize(
    ("minutes", "layup", "fluidity", "free_um", "gap_um"),
    [
        (40, (3,), 9.1e3, 23, 24),
        (40, (10,), 9.1e3, 43, 45),
        (360, (40, 1, 1), 4.6e4, 38, 40),
    ],
)
def test_the_smallest_bubble_that_gets_out_is_that_of_the_reference_run(
    minutes, layup, fluidity, free_um, gap_um
):
    found = pour(minutes, *layup)
    assert found.fluidity_per_pa_s == percent(fluidity, fluidity / 50)
    assert smallest_escaping_bubble_um(resin(minutes), found) == percent(free_um)
    assert smallest_escaping_bubble_um(resin(minutes), found, 0.5) == percent(gap_um)


def test_twice_as_thick_a_resin_keeps_bubbles_half_the_root_larger():
    from dataclasses import replace

    found = pour(40, 3)
    thick = replace(found, fluidity_per_pa_s=found.fluidity_per_pa_s / 2)
    ratio = smallest_escaping_bubble_um(resin(40), thick) / smallest_escaping_bubble_um(resin(40), found)
    assert ratio == pytest.approx(math.sqrt(2))


def test_where_not_even_a_bubble_as_wide_as_the_gap_gets_out_none_does():
    assert smallest_escaping_bubble_um(resin(40), pour(40, 40, 1, 1), 0.05) == math.inf


@given(st.floats(0.01, 3), st.floats(0.05, 5), st.floats(0.1, 3))
def test_a_gap_never_speeds_a_bubble_up(diameter_mm, viscosity, gap_mm):
    assert bubble_rise_mm_s(diameter_mm, viscosity, gap_mm) <= bubble_rise_mm_s(diameter_mm, viscosity)


@given(st.floats(1, 100), st.floats(0.1, 5), st.floats(0.05, 5))
def test_half_a_gap_takes_four_times_as_long(depth_mm, gap_mm, viscosity):
    half = fill_time_from_top_s(depth_mm, gap_mm / 2, viscosity)
    assert half == pytest.approx(4 * fill_time_from_top_s(depth_mm, gap_mm, viscosity))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: bubble_rise_mm_s(0, 0.5), "diameter is 0 mm"),
        (lambda: bubble_rise_mm_s(0.1, 0), "viscosity is 0 Pa s"),
        (lambda: bubble_rise_mm_s(0.1, 0.5, 0), "gap is 0 mm"),
        (lambda: fill_time_from_top_s(0, 1, 0.5), "depth is 0 mm"),
        (lambda: fill_time_from_end_s(300, 0, 1, 0.5), "head is 0 mm"),
        (lambda: slot_flow_ml_h(0, 3, 1000, 20, 0.3), "opening is 0 mm"),
        (lambda: wall_factor(-1), "diameter over gap is -1"),
    ],
)
def test_a_flow_that_cannot_be_is_refused(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
