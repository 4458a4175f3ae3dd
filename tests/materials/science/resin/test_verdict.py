"""The check before a mix: one fact changed moves one level."""

from dataclasses import fields, replace
from functools import cache
from typing import get_args

import pytest

from materials.science.resin.facts import Code
from materials.science.resin.findings.below import earlier_pour
from materials.science.resin.lifts import plan_lifts
from materials.science.resin.verdict import (
    MOULD_CHECKS,
    LiftWindow,
    PourFacts,
    PourWindow,
    SealWindow,
    judge_pour,
    missing_readings,
    worst,
)
from tests.materials.science.resin.resins import Layup, fitted, pour, predict_pour, resin


@cache
def predictions(minutes, sheet_depth_mm, depth_mm=40, strip_mm=1, gap_mm=1):
    found = {
        band: pour(minutes, depth_mm, strip_mm, gap_mm, band=band) for band in ("cool", "nominal", "cautious")
    }
    if sheet_depth_mm is not None:
        own = fitted(minutes, max_depth_mm=sheet_depth_mm).depth_kinetics
        found["depth_fit"] = predict_pour(own, Layup(depth_mm, strip_mm, gap_mm))
    return found


def facts(minutes=480, sheet_depth_mm=25, depth_mm=40, strip_mm=1, gap_mm=1, **changed):
    """A pour about which all is known and all is well, with what a test changes."""
    known = {
        "predictions": predictions(minutes, sheet_depth_mm, depth_mm, strip_mm, gap_mm),
        "depth_mm": depth_mm,
        "strip_mm": strip_mm,
        "gap_mm": gap_mm,
        "sheet_depth_mm": sheet_depth_mm,
        "weakest_part_c": 60,
        "cup_mass_g": 300,
        "cup_peak_c": 30,
        "pot_life_min": 300,
        "mix_fill_min": 40,
        "fill_s": 60,
        "smallest_bubble_um": 40,
        "bow_mm": 0.05,
        "comb_spacing_mm": 100,
        "float_n": 3.2,
        "hold_down_n": 8,
        "resin_needed_g": 500,
        "resin_free_g": 800,
        "scale_step_g": 0.1,
        "part_b_per_cup_g": 93,
        "parts_match": True,
        "part_a_days_left": 200,
        "part_b_days_left": 200,
        "use": "casting",
        "resin_kind": "casting",
        "shop_c": 25,
        "night_low_c": 20,
        "sheet_min_c": 18,
        "sheet_max_c": 30,
        "humidity_percent": 45,
        "dew_margin_k": 11,
        "strip_moisture_percent": 8,
        "service_moisture_percent": 8,
        "moisture_age_h": 3,
        "seal_window": SealWindow(12, 6, 24),
        "mould_checks": dict.fromkeys(MOULD_CHECKS, True),
        "combs_at_ends": True,
        "tint_percent": 0,
    }
    return PourFacts(**{**known, **changed})


def level_of(code, own):
    """The level of the one finding of that code."""
    found = [finding.level for finding in judge_pour(own) if finding.code == code]
    assert len(found) == 1, f"{code} is found {len(found)} times"
    return found[0]


@pytest.mark.parametrize(
    ("minutes", "sheet_depth_mm", "changed", "level"),
    [
        (40, 10, {}, "stop"),
        (360, 25, {}, "caution"),
        (480, 25, {}, "clear"),
        (480, 25, {"weakest_part_c": 50}, "caution"),
        (40, 6, {"depth_mm": 3, "strip_mm": 0, "gap_mm": 0}, "clear"),
    ],
    ids=["40 min", "6 h", "8 h", "8 h with soft combs", "coat"],
)
def test_the_usual_pours_are_judged_by_their_heat(minutes, sheet_depth_mm, changed, level):
    assert level_of("heat", facts(minutes, sheet_depth_mm, **changed)) == level


def test_a_pour_of_which_all_is_known_and_well_is_clear():
    found = judge_pour(facts())
    assert worst(found) == "clear"
    assert {finding.code for finding in found} == set(get_args(Code)) - {
        "lift",
        "lift_window",
        "earlier_pour",
        "missing_reading",
    }


MOVES = [
    ("heat", {"weakest_part_c": 45}, "caution"),
    ("heat", {"weakest_part_c": 30}, "stop"),
    ("heat", {"sheet_depth_mm": 19}, "stop"),
    ("heat", {"sheet_depth_mm": None}, "caution"),
    ("cup_heat", {"cup_peak_c": 120}, "caution"),
    ("pot_life", {"mix_fill_min": 250}, "caution"),
    ("pot_life", {"mix_fill_min": 301}, "stop"),
    ("fill", {"fill_s": 160 * 60}, "caution"),
    ("fill", {"fill_s": 301 * 60}, "stop"),
    ("bubbles", {"smallest_bubble_um": 90}, "caution"),
    ("bubbles", {"smallest_bubble_um": float("inf")}, "caution"),
    ("bow", {"bow_mm": 0.2}, "caution"),
    ("bow", {"bow_mm": 0.6}, "stop"),
    ("float", {"hold_down_n": 4}, "caution"),
    ("float", {"hold_down_n": 3}, "stop"),
    ("quantity", {"resin_free_g": 510}, "caution"),
    ("quantity", {"resin_free_g": 499}, "stop"),
    ("ratio_scale", {"scale_step_g": 5}, "caution"),
    ("ratio_scale", {"scale_step_g": 10}, "stop"),
    ("lots", {"part_b_days_left": 5}, "caution"),
    ("lots", {"part_b_days_left": -1}, "stop"),
    ("lots", {"parts_match": False}, "stop"),
    ("temperature", {"night_low_c": 15}, "caution"),
    ("temperature", {"night_low_c": None}, "caution"),
    ("temperature", {"shop_c": 17}, "stop"),
    ("temperature", {"shop_c": 31}, "stop"),
    ("dew_point", {"dew_margin_k": 3}, "caution"),
    ("dew_point", {"dew_margin_k": 2.7}, "stop"),
    ("strip_moisture", {"strip_moisture_percent": 9.5}, "caution"),
    ("strip_moisture", {"strip_moisture_percent": 5}, "stop"),
    ("strip_moisture", {"moisture_age_h": 25}, "caution"),
    ("seal_coat", {"seal_window": SealWindow(30, 6, 24)}, "caution"),
    ("seal_coat", {"seal_window": SealWindow(3, 6, 24)}, "stop"),
    ("seal_coat", {"seal_window": SealWindow(None)}, "stop"),
    ("mould", {"mould_checks": {**dict.fromkeys(MOULD_CHECKS, True), "levelled": None}}, "caution"),
    ("mould", {"mould_checks": {**dict.fromkeys(MOULD_CHECKS, True), "leak-tested": False}}, "stop"),
    ("combs", {"combs_at_ends": False}, "stop"),
    ("tint", {"tint_percent": 5.5}, "caution"),
    ("tint", {"tint_percent": 8}, "stop"),
    ("tint", {"tint_percent": 3, "tint_limit_percent": 2.8}, "caution"),
    ("kind_of_resin", {"resin_kind": "coating"}, "caution"),
    ("kind_of_resin", {"use": "coating"}, "caution"),
]


@pytest.mark.parametrize(("code", "changed", "level"), MOVES)
def test_one_fact_moves_its_finding_and_no_other(code, changed, level):
    own = replace(facts(), **changed)
    assert level_of(code, own) == level
    others = [finding for finding in judge_pour(own) if finding.code != code]
    assert {finding.level for finding in others} == {"clear"}


def test_each_code_is_moved_by_some_fact():
    moved = {code for code, _, _ in MOVES} | {"lift", "lift_window", "earlier_pour", "missing_reading"}
    assert moved == set(get_args(Code))


def test_every_finding_that_is_not_clear_says_why_and_what_to_do():
    for _, changed, _ in MOVES:
        for finding in judge_pour(replace(facts(), **changed)):
            assert finding.reason
            assert bool(finding.remedy) == (finding.level != "clear")


def test_heat_shows_its_band_from_cool_to_the_safe_side():
    heat = next(finding for finding in judge_pour(facts()) if finding.code == "heat")
    assert heat.low < heat.figure < heat.high < heat.limit == 60


def test_a_depth_fit_alone_is_never_clear():
    # a 40 min resin: expected 88 °C at 10 mm neat, by the fit to the sheet's 10 mm below 60
    own = facts(40, 10, depth_mm=9.9, strip_mm=0, gap_mm=0)
    assert level_of("heat", own) == "caution"


def test_an_uneven_sheet_is_never_traded_for_the_models_word():
    # the model would allow it on the safe side; the sheet does not
    assert level_of("heat", facts(sheet_depth_mm=15)) == "stop"


def test_a_gap_wider_than_six_millimetres_is_said():
    own = facts(480, 25, depth_mm=20, strip_mm=7, gap_mm=7)
    found = next(finding for finding in judge_pour(own) if finding.code == "heat")
    assert (found.level, "wider than 6 mm" in found.reason) == ("caution", True)


def lifts(count, minutes=40, shop_c=25):
    return plan_lifts(resin(minutes), Layup(40, 1, 1, shop_c=shop_c), count)


@pytest.mark.parametrize(("count", "level"), [(5, "clear"), (3, "stop"), (2, "stop")])
def test_lifts_in_a_stack_must_bond_by_themselves(count, level):
    assert level_of("lift", facts(lifts=lifts(count))) == level


def test_on_an_open_face_a_closed_bond_can_be_sanded():
    own = facts(480, 50, strip_mm=0, gap_mm=0, lifts=lifts(3))
    assert level_of("lift", own) == "caution"


def test_lifts_that_a_cold_shop_stalls_say_warm_it():
    own = facts(lifts=replace(lifts(2, 480), total_h=None))
    found = next(finding for finding in judge_pour(own) if finding.code == "lift")
    assert (found.level, found.remedy) == ("caution", "Warm it.")


@pytest.mark.parametrize(("workable_h", "level"), [(2, "clear"), (0.2, "caution"), (0, "stop")])
def test_a_lifts_window_must_fall_in_opening_hours(workable_h, level):
    assert level_of("lift_window", facts(lift_windows=(LiftWindow(1, 3, 6, workable_h),))) == level


@pytest.mark.parametrize(
    ("window", "in_a_stack", "on_an_open_face"),
    [
        (PourWindow(1, 10, 6, 24), "clear", "clear"),
        (PourWindow(1, 10, 6, None), "clear", "clear"),
        (PourWindow(1, 5, 6, 24), "stop", "stop"),
        (PourWindow(1, 3, 6, 24, soft=True), "stop", "stop"),
        (PourWindow(1, 25, 6, 24), "stop", "caution"),
        (PourWindow(1, 0.2, 6, 24, liquid=True), "caution", "caution"),
        (PourWindow(1, 10, 6, 24, soft=True), "caution", "caution"),
        (PourWindow(1, 25, 6, 24, soft=True), "stop", "caution"),
        (PourWindow(1, 10, 6, 24, too_hard=True), "caution", "caution"),
        (PourWindow(1, 10), "caution", "caution"),
        (PourWindow(1, 10, 6, 24, reckoned=False), "caution", "caution"),
        (PourWindow(1, 5, 6, 24, reckoned=False), "stop", "stop"),
    ],
    ids=[
        *(
            "inside",
            "never closes",
            "early",
            "early and soft",
            "late",
            "liquid",
            "soft",
            "late and soft",
            "hard",
            "no window",
        ),
        *("foreign", "foreign early"),
    ],
)
def test_the_pour_below_is_met_inside_its_window_or_not(window, in_a_stack, on_an_open_face):
    neat = {"strip_mm": 0, "gap_mm": 0, "sheet_depth_mm": 50}
    for changed, level in (({}, in_a_stack), (neat, on_an_open_face)):
        (found,) = earlier_pour(facts(pour_window=window, **changed))
        assert found.level == level
        assert bool(found.remedy) == (level != "clear")


def test_a_pour_that_takes_no_other_yet_is_named_with_its_window():
    (found,) = earlier_pour(facts(pour_window=PourWindow(2, 3.5, 6, 24)))
    assert (found.figure, found.low, found.high) == (3.5, 6, 24)
    assert found.reason.startswith("Pour 2 ")


@pytest.mark.parametrize(
    ("since_h", "opens_h", "said"), [(3.5, 6, "2.5"), (5, 6, "1"), (5.99, 6, "0.1"), (1, 121, "120")]
)
def test_of_a_pour_that_takes_no_other_yet_is_said_how_long_to_wait(since_h, opens_h, said):
    (found,) = earlier_pour(facts(pour_window=PourWindow(2, since_h, opens_h)))
    assert found.remedy == f"Wait {said} h more, and check again."


def test_a_fresh_pour_below_counts_towards_the_sheets_depth():
    own = facts(depth_mm=30)
    assert level_of("heat", own) == "clear"
    found = next(f for f in judge_pour(replace(own, fresh_below_mm=21)) if f.code == "heat")
    assert (found.level, found.remedy) == ("stop", "Wait until the pour below takes another.")
    assert found.reason.startswith("51 mm with the fresh pour below is deeper than the sheet allows")


NEEDED = [
    field.name
    for field in fields(PourFacts)
    if field.name
    not in {
        *(
            "predictions",
            "sheet_depth_mm",
            "lifts",
            "lift_windows",
            "cup_peak_c",
            "comb_spacing_mm",
            "held_down",
        ),
        *(
            "night_low_c",
            "sheet_min_c",
            "sheet_max_c",
            "moisture_age_h",
            "tint_percent",
            "tint_limit_percent",
        ),
        *("strip_mm", "pour_window", "fresh_below_mm"),
    }
]


def test_of_strips_that_are_held_down_only_how_hard_is_missing():
    (found,) = missing_readings(replace(facts(), hold_down_n=None, held_down=True))
    assert found.remedy == "Say how heavy what lies on the strips is: they are held down."


@pytest.mark.parametrize("name", NEEDED)
def test_a_missing_reading_is_a_caution_that_says_what_to_do(name):
    found = list(missing_readings(replace(facts(), **{name: None})))
    assert [finding.level for finding in found] == ["caution"]
    assert found[0].remedy.endswith(".")


def test_without_a_pot_life_there_is_at_best_a_caution():
    own = replace(facts(), predictions={})
    assert worst(judge_pour(own)) == "caution"


def test_a_coat_needs_no_word_about_strips():
    own = facts(40, 6, depth_mm=3, strip_mm=0, gap_mm=0, use="coating", resin_kind="coating")
    without = replace(own, bow_mm=None, float_n=None, combs_at_ends=None, seal_window=None)
    assert worst(judge_pour(without)) == "clear"


def test_nothing_known_is_cautions_only():
    assert {finding.level for finding in judge_pour(PourFacts())} == {"caution"}


def test_what_is_not_clear_comes_first():
    own = replace(facts(), dew_margin_k=1, bow_mm=0.2)
    assert [finding.level for finding in judge_pour(own)][:3] == ["stop", "caution", "clear"]


def test_a_short_pot_life_says_into_how_many_cups():
    found = judge_pour(replace(facts(), pot_life_min=30, mix_fill_min=70))[0]
    assert found.remedy == "Mix 4 smaller cups one after the other."


def test_the_scales_shift_a_small_cup_as_worked_out():
    # source: hand calculation: 15 g of B at half of a 1 g step is 3.3 %
    own = replace(facts(), part_b_per_cup_g=15, scale_step_g=1)
    found = next(finding for finding in judge_pour(own) if finding.code == "ratio_scale")
    assert found.figure == pytest.approx(3.3, abs=0.05)
