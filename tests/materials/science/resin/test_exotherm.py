"""Pours against the reference run, and in which direction they go."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from materials.science.errors import OutOfRange, UnknownName
from materials.science.resin.exotherm import Layup, cure_path, predict_pour
from materials.science.resin.kinetics import Kinetics, reaction_time
from materials.science.resin.lifts import largest_lift_mm
from tests.materials.science.resin.resins import (
    changed,
    coarsely_fitted,
    degrees,
    fitted,
    hot_front,
    percent,
    pour,
    resin,
)

FINE = {"cells": 64}


@pytest.mark.parametrize(
    ("k_ref", "layup", "peak_c", "peak_min", "gels_min", "conversion"),
    [
        (3e-4, Layup(40, 1, 1, **FINE), 113.25, 66.1, (54.5, 61.7), 0.9698),
        (6e-5, Layup(40, 1, 1, **FINE), 45.47, 464.3, (453.4, 595.8), 0.8424),
        (3e-4, Layup(3, **FINE), 30.61, 103.2, (145.2, 147.4), 0.9320),
        (3e-4, Layup(7.5, **FINE), 59.07, 82.6, (75.6, 78.2), 0.9367),
    ],
    ids=["40 mm 1:1 fast", "40 mm 1:1 slow", "3 mm neat", "7.5 mm neat"],
)
def test_a_pour_goes_as_by_a_library_at_fine_steps(k_ref, layup, peak_c, peak_min, gels_min, conversion):
    # source: BDF at 1e-9 on 64 + 16 cells
    found = predict_pour(Kinetics(k_ref), layup, 30)
    assert found.peak_c == pytest.approx(peak_c, abs=0.3)
    assert found.peak_min == percent(peak_min, 0.1)
    assert (found.gel_first_min, found.gel_all_min) == (percent(gels_min[0], 0.1), percent(gels_min[1], 0.1))
    assert found.end_conversion == pytest.approx(conversion, abs=5e-4)


def test_a_hot_front_is_met_within_three_kelvin():
    # source: as above
    found = predict_pour(Kinetics(3e-4), Layup(40, **FINE), 30)
    assert found.peak_c == hot_front(207.15)
    assert found.peak_min == percent(37.8, 0.1)
    assert found.gel_first_min == percent(35.7, 0.1)
    assert found.gel_all_min == percent(38.5, 0.1)


@pytest.mark.parametrize(
    ("minutes", "layup", "peak_c", "peak_min"),
    [
        (40, (40, 1, 1), 112.7, 68),
        (30, (40, 1, 1), 117.5, 53),
        (45, (40, 1, 1), 110.4, 75),
        (40, (40, 0.6, 1.0), 136.6, 56),
        (40, (40, 0.6, 1.5), 152.7, 49),
        (240, (40, 1, 1), 59.6, 323),
        (360, (40, 1, 1), 44.1, 485),
        (480, (40, 1, 1), 37.1, 633),
        (40, (3,), 30.4, 105),
    ],
)
def test_the_three_cases_peak_as_in_the_reference_run(minutes, layup, peak_c, peak_min):
    found = pour(minutes, *layup)
    assert found.peak_c == degrees(peak_c, 0.1)
    assert found.peak_min == percent(peak_min)


@pytest.mark.parametrize(
    ("minutes", "layup", "first_min", "all_min"),
    [
        (40, (40, 1, 1), 56, 63),
        (30, (40, 1, 1), 43, 49),
        (45, (40, 1, 1), 63, 70),
        (240, (40, 1, 1), 281, 345),
        (360, (40, 1, 1), 482, 630),
        (480, (40, 1, 1), 752, 964),
        (40, (3,), 151, 153),
    ],
)
def test_the_three_cases_gel_as_in_the_reference_run(minutes, layup, first_min, all_min):
    found = pour(minutes, *layup)
    assert (found.gel_first_min, found.gel_all_min) == (percent(first_min), percent(all_min))


@pytest.mark.parametrize(
    ("minutes", "layup", "hours", "digit"),
    [
        (40, (40, 1, 1), 5.9, 0.1),
        (240, (40, 1, 1), 11, 1),
        (360, (40, 1, 1), 24, 1),
        (480, (40, 1, 1), 35, 1),
        (40, (3,), 5.2, 0.1),
    ],
)
def test_the_three_cases_leave_the_mould_as_in_the_reference_run(minutes, layup, hours, digit):
    assert pour(minutes, *layup).demould_h == percent(hours, digit)


@pytest.mark.parametrize(
    ("gap_mm", "minutes", "peak_c", "digit"),
    [
        (1.0, 240, 86, 1),
        (1.0, 360, 59.5, 0.1),
        (1.0, 480, 44.6, 0.1),
        (1.5, 240, 108, 1),
        (1.5, 360, 77, 1),
        (1.5, 480, 53.7, 0.1),
    ],
)
def test_more_resin_between_thin_strips_heats_a_slow_resin_as_in_the_reference_run(
    gap_mm, minutes, peak_c, digit
):
    assert pour(minutes, 40, 0.6, gap_mm).peak_c == degrees(peak_c, digit)


@pytest.mark.parametrize(("minutes", "depth_mm", "peak_c"), [(40, 40, 208), (360, 50, 169)])
def test_deep_neat_pours_run_away_as_in_the_reference_run(minutes, depth_mm, peak_c):
    assert pour(minutes, depth_mm).peak_c == hot_front(peak_c)
    assert pour(minutes, depth_mm).runaway


@pytest.mark.parametrize(("minutes", "depth_mm", "peak_c"), [(30, 6, 52), (45, 6, 40)])
def test_six_millimetres_of_neat_resin_warm_as_in_the_reference_run(minutes, depth_mm, peak_c):
    assert pour(minutes, depth_mm).peak_c == degrees(peak_c)


@pytest.mark.parametrize(
    ("minutes", "band", "depth_mm", "printed_c", "ours_c"),
    [
        (30, "nominal", 10, 124, 125.1),
        (45, "nominal", 10, 88, 89.3),
        (40, "cautious", 6, 73.4, 74.1),
        (40, "worst", 6, 117.4, 117.9),
    ],
)
def test_neat_resin_on_the_edge_of_running_away_hangs_on_the_steps_of_the_fit(
    minutes, band, depth_mm, printed_c, ours_c
):
    # the reference run fitted these at coarser steps, which makes the rate up to 0.8 % smaller: fitted so, we
    # meet its figures; fitted as exactly as we do, they are 0.5 to 1.3 K higher
    coarse = predict_pour(coarsely_fitted(minutes, band), Layup(depth_mm))
    assert coarse.peak_c == degrees(printed_c, 1 if printed_c == int(printed_c) else 0.1)
    assert pour(minutes, depth_mm, band=band).peak_c == pytest.approx(ours_c, abs=0.1)


def test_on_an_adiabatic_base_the_coat_is_a_kelvin_warmer():
    found = predict_pour(replace(resin(40), h_under_w_per_m2_k=0), Layup(3))
    assert found.peak_c == degrees(31.4, 0.1)


@pytest.mark.parametrize(("width_mm", "peak_c"), [(300, 162), (100, 146), (60, 127)])
def test_the_sides_of_a_narrow_mould_do_not_rescue_it(width_mm, peak_c):
    path = cure_path(resin(360), Layup(50), 60, width_mm=width_mm)
    assert path.hottest(8)[1] - 273.15 == hot_front(peak_c)


@pytest.mark.parametrize(
    ("shop_c", "fast_c", "slow_c"), [(15, 82, 21), (20, 100, 31), (25, 113, 44), (30, 124, 63)]
)
def test_the_shops_temperature_moves_the_peak_as_in_the_reference_run(shop_c, fast_c, slow_c):
    assert pour(40, 40, 1, 1, shop_c=shop_c).peak_c == degrees(fast_c)
    assert pour(360, 40, 1, 1, shop_c=shop_c).peak_c == degrees(slow_c)


def test_warm_resin_peaks_earlier_and_higher_as_in_the_reference_run():
    found = pour(40, 40, 1, 1, resin_c=35)
    assert found.peak_c == degrees(120)
    assert found.peak_min == percent(49)


BANDS = {  # nominal, cautious, worst; None: see the test of the steps of the fit
    (40, (40, 1, 1)): (112.7, 131.4, 141.7),
    (40, (6,)): (42.9, None, None),
    (40, (3,)): (30.4, 34.5, 39.6),
    (240, (40, 1, 1)): (59.6, 88.2, 107.2),
    (360, (40, 1, 1)): (44.1, 66.9, 93.5),
    (480, (40, 1, 1)): (37.1, 51.2, 82.7),
}


@pytest.mark.parametrize(
    ("minutes", "layup", "band", "peak_c"),
    [
        (*case, band, peak_c)
        for case, row in BANDS.items()
        for band, peak_c in zip(("nominal", "cautious", "worst"), row, strict=True)
        if peak_c is not None
    ],
)
def test_each_band_peaks_as_in_the_reference_run(minutes, layup, band, peak_c):
    assert pour(minutes, *layup, band=band).peak_c == degrees(peak_c, 0.1)


# changed default: neat depth for 60 °C and peak of 40 mm 1:1, of the 40 min resin and of the 360 min one
SENSITIVITY = {
    (): ((7.6, 113), (24.8, 44)),
    ("activation_j_per_mol", 45e3): ((8.2, 105), (28.8, 41)),
    ("activation_j_per_mol", 65e3): ((7.0, 119), (21.8, 49)),
    ("heat_j_per_kg", 230e3): ((9.5, 85), (33.6, 36)),
    ("heat_j_per_kg", 400e3): ((6.3, 155), (18.6, 70)),
    ("c", 0.03): ((5.5, 121), (18.9, 61)),
    ("c", 0.3): ((9.8, 102), (31.3, 37)),
    ("n", 1.5): ((6.4, 120), (21.4, 53)),
    ("n", 2.5): ((8.8, 103), (28, 40)),
    ("m", 0.7): ((8.1, 110), None),
    ("m", 1.3): ((7.6, 113), None),
    ("h_top_w_per_m2_k", 8.0): ((6.6, 116), (21.8, 49)),
    ("h_top_w_per_m2_k", 15.0): ((8.8, 110), (27.6, 41)),
    ("h_under_w_per_m2_k", 0.0): ((7.4, 113), (20.7, 58)),
}


@pytest.mark.parametrize(
    ("minutes", "change", "printed"),
    [
        (minutes, change, row[i])
        for i, minutes in enumerate((40, 360))
        for change, row in SENSITIVITY.items()
        if row[i] is not None
    ],
)
def test_another_default_moves_depth_and_peak_as_in_the_reference_run(minutes, change, printed):
    kinetics = changed(minutes, **dict([change] if change else []))
    depth_mm, peak_c = printed
    digit = 1 if depth_mm == 28 else 0.1
    assert largest_lift_mm(kinetics, 60, Layup(40)).depth_mm == percent(depth_mm, digit)
    assert predict_pour(kinetics, Layup(40, 1, 1)).peak_c == degrees(peak_c)


@pytest.mark.parametrize(("minutes", "depth_mm", "peak_c"), [(40, 4.0, 130), (360, 16.2, 87)])
def test_without_a_board_a_closed_base_is_hotter(minutes, depth_mm, peak_c):
    closed = replace(resin(minutes), h_under_w_per_m2_k=0)
    assert largest_lift_mm(closed, 60, Layup(40, mould_mm=0)).depth_mm == percent(depth_mm, 0.1)
    assert predict_pour(closed, Layup(40, 1, 1, mould_mm=0)).peak_c == degrees(peak_c)


@pytest.mark.parametrize(("specific_heat", "peak_c"), [(1500, 120), (2000, 104)])
def test_a_resin_that_holds_more_heat_stays_cooler(specific_heat, peak_c):
    kinetics = changed(40, specific_heat_j_per_kg_k=float(specific_heat))
    assert predict_pour(kinetics, Layup(40, 1, 1)).peak_c == degrees(peak_c)


@pytest.mark.parametrize(("minutes", "hours"), [(40, 3.36), (360, 17.0)])
def test_a_thin_film_gels_in_the_time_at_one_temperature(minutes, hours):
    own = resin(minutes)
    assert reaction_time(own, own.gel_conversion) / own.k_ref_per_s / 3600 == percent(hours, 0.01)


def test_a_pour_that_a_cold_shop_stalls_never_leaves_the_mould():
    found = pour(360, 10, shop_c=5)
    assert found.demould_h is None
    assert found.end_conversion < 0.8


def test_a_film_is_given_twice_the_time_before_it_is_handled():
    film, block = pour(40, 3), pour(40, 40, 1, 1)
    assert film.handling_h == pytest.approx(2 * film.demould_h)
    assert block.handling_h == block.demould_h


def test_the_picture_has_one_figure_a_moment():
    found = pour(40, 40, 1, 1)
    lengths = {len(part) for part in (found.times_min, found.hottest_c, found.surface_c, found.bottom_c)}
    assert lengths == {len(found.conversion_min)} == {len(found.conversion_max)}
    assert max(found.hottest_c) <= found.peak_c
    assert found.times_min[-1] == pytest.approx(120 * 60)


def test_a_runaway_peaks_above_its_middle():
    assert pour(40, 40, 1, 1).peak_height_mm > 20


fractions = st.floats(0.35, 1.0)
shop = st.floats(18, 30)


def peak_c(minutes, depth_mm, share, shop_c):
    layup = Layup(depth_mm, (1 - share) if share < 1 else 0, share, shop_c=shop_c, cells=16)
    return predict_pour(resin(minutes), layup, 72).peak_c


# the peak may fall by the rounding of a step: that much is no direction
HAIR_K = 0.1


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([40, 90, 360]), st.floats(2, 40), st.floats(0.35, 0.98), shop, st.floats(0.5, 5))
def test_a_warmer_shop_never_lowers_the_peak(minutes, depth_mm, share, shop_c, warmer):
    cool = peak_c(minutes, depth_mm, share, shop_c)
    if cool < 100:
        assert peak_c(minutes, depth_mm, share, shop_c + warmer) >= cool - HAIR_K


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([40, 90, 360]), st.floats(2, 40), fractions, shop, st.floats(1.02, 1.5))
def test_a_deeper_pour_never_lowers_a_peak_below_a_hundred_degrees(minutes, depth_mm, share, shop_c, times):
    shallow = peak_c(minutes, depth_mm, share, shop_c)
    deep = peak_c(minutes, depth_mm * times, share, shop_c)
    if max(shallow, deep) < 100:
        assert deep >= shallow - HAIR_K


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([40, 90, 360]), st.floats(2, 40), st.floats(0.35, 0.9), shop, st.floats(0.02, 0.09))
def test_more_resin_for_each_strip_never_lowers_the_peak(minutes, depth_mm, share, shop_c, more):
    lean = peak_c(minutes, depth_mm, share, shop_c)
    if lean < 100:
        assert peak_c(minutes, depth_mm, share + more, shop_c) >= lean - HAIR_K


@settings(max_examples=20, deadline=None)
@given(st.sampled_from([(30, 40), (40, 60), (60, 90), (90, 240), (240, 360)]), st.floats(2, 40), shop)
def test_a_shorter_pot_life_never_lowers_the_peak_of_a_stack(lives, depth_mm, shop_c):
    fast, slow = lives
    assert peak_c(fast, depth_mm, 0.5, shop_c) >= peak_c(slow, depth_mm, 0.5, shop_c) - HAIR_K


@settings(max_examples=15, deadline=None)
@given(st.floats(2e-5, 1e-3), st.floats(2, 40), st.floats(12, 30), st.floats(1, 8))
def test_a_warmer_shop_gels_it_sooner(k_ref, depth_mm, shop_c, warmer):
    def gel_min(temp_c):
        return predict_pour(Kinetics(k_ref), Layup(depth_mm, 1, 1, shop_c=temp_c, cells=12), 200).gel_all_min

    assert gel_min(shop_c + warmer) < gel_min(shop_c)


def test_the_depth_fit_of_a_fast_resin_pours_as_in_the_reference_run():
    own = fitted(40, max_depth_mm=10).depth_kinetics
    found = predict_pour(own, Layup(40, 1, 1))
    assert found.peak_c == degrees(100.9, 0.1)
    assert found.peak_min == percent(79)
    assert (found.gel_first_min, found.gel_all_min) == (percent(61), percent(71))
    assert found.demould_h == percent(6.0, 0.1)


def test_the_depth_fit_of_a_slow_resin_pours_as_in_the_reference_run():
    own = fitted(360, max_depth_mm=50).depth_kinetics
    found = predict_pour(own, Layup(40, 1, 1))
    assert found.peak_c == degrees(31.4, 0.1)
    assert (found.gel_first_min, found.gel_all_min) == (percent(1211), percent(1416))
    assert found.demould_h == percent(65)
    assert predict_pour(own, Layup(40, 0.6, 1.5)).peak_c == degrees(35.5, 0.1)
    assert predict_pour(own, Layup(50)).peak_c == pytest.approx(
        59.1, abs=1
    )  # anywhere from 59 to 60 is accepted


@pytest.mark.parametrize(
    ("call", "fault", "words"),
    [
        (lambda: Layup(0), OutOfRange, "depth is 0 mm"),
        (lambda: Layup(-40), OutOfRange, "depth is -40 mm"),
        (lambda: Layup(40, 1, 0), OutOfRange, "gap is 0 mm"),
        (lambda: Layup(40, shop_c=77), OutOfRange, "shop is 77 °C"),
        (lambda: Layup(40, resin_c=float("nan")), OutOfRange, "resin is not a number"),
        (lambda: Layup(40, mould="marble"), UnknownName, 'no mould board is called "marble"'),
        (lambda: predict_pour(Kinetics(1e-4), Layup(3), 0), OutOfRange, "horizon is 0 h"),
    ],
)
def test_a_pour_that_cannot_be_is_refused(call, fault, words):
    with pytest.raises(fault, match=words):
        call()
