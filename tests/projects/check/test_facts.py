from datetime import timedelta

import pytest

from materials.science.resin.verdict import HELD
from projects.actions import log, mould, strips
from projects.check import asked, below, facts, told
from projects.checklists import CHECKS, HELD_DOWN, LOOKED_OVER
from projects.models import LogEntry, Need
from tests.factories import AT, BlockFactory, CheckItemFactory, LotFactory, StepFactory, key, moment
from tests.materials.fit.room import fitted
from tests.projects.check.room import CheckedBench

pytestmark = pytest.mark.django_db


def levels(bench, at=AT, **changed):
    """Level of each finding by code, with a seal coat in its window."""
    checked = facts.check(bench.step, bench.answers(**changed), at)
    return {finding.code: finding.level for finding in checked.findings}


def seal(bench, hours_ago=8, due_min=360, closes_min=1440):
    """A seal coat in the log."""
    clock = {"kind": "tack", "due_min": due_min, "closes_min": closes_min}
    return log.write(
        bench.member,
        LogEntry.Kind.SEAL,
        key=key(),
        moment=moment(-60 * hours_ago),
        step=bench.step,
        text="sealed",
        detail={"clocks": [clock]},
    )


# what the trade's cases of 40 mm of 1:1 strips at 25 °C on 18 mm of MDF come to
@pytest.mark.parametrize(
    ("pot_minutes", "sheet_mm", "weakest_c", "level"),
    [(40, 10, 60, "stop"), (360, 25, 60, "caution"), (480, 25, 60, "clear"), (480, 25, 50, "caution")],
)
def test_the_heat_of_a_deep_pour_is_judged_by_resin_sheet_and_combs(pot_minutes, sheet_mm, weakest_c, level):
    bench = CheckedBench(pot_minutes=pot_minutes, max_depth_mm=sheet_mm)
    bench.block.species = None  # wood of the model's own density, as in the published cases
    bench.step.block = bench.block
    assert levels(bench, depth_mm=40.0, weakest_c=float(weakest_c))["heat"] == level


def test_a_cup_that_ran_hotter_than_the_sheet_lets_expect_is_what_the_forecast_rests_on():
    bench = CheckedBench(pot_minutes=480, max_depth_mm=25)
    assert levels(bench)["heat"] == "clear"
    test = fitted(bench.resin, {"heat_j_per_kg": 440_000.0, "c": 0.03})
    outlook = facts.outlook_of(bench.step, bench.answers())
    assert outlook.test == test
    assert outlook.kinetics.heat_j_per_kg == 440_000
    assert outlook.safe_kinetics.heat_j_per_kg == 470_000
    assert levels(bench)["heat"] != "clear"


def test_a_thin_coat_with_a_deeper_sheet_is_clear():
    bench = CheckedBench(use="coating", pot_minutes=40, max_depth_mm=6)
    bench.step.kind = "seal"
    assert levels(bench, depth_mm=3.0)["heat"] == "clear"


def test_when_all_was_looked_at_nothing_stands_against_the_pour():
    bench = CheckedBench()
    seal(bench)
    found = levels(bench)
    assert "stop" not in found.values()
    assert "missing_reading" not in found


def test_what_is_not_known_is_a_caution_that_says_what_to_do():
    bench = CheckedBench()
    checked = facts.check(bench.step, bench.answers(humidity_percent=None, hold_down_g=None), AT)
    missing = [finding.remedy for finding in checked.findings if finding.code == "missing_reading"]
    assert "Read the hygrometer." in missing
    assert "Say what holds the strips down." in missing


def test_without_a_thermometer_the_usual_warmth_of_the_shop_is_reckoned_with():
    bench = CheckedBench()
    checked = facts.check(bench.step, bench.answers(shop_c=None), AT)
    assert checked.outlook.predictions["nominal"].hottest_c[0] == pytest.approx(bench.shop.day_c, abs=0.5)
    assert "Read the thermometer." in [finding.remedy for finding in checked.findings]


def test_a_shop_at_five_degrees_says_warm_it():
    bench = CheckedBench()
    checked = facts.check(bench.step, bench.answers(shop_c=5.0), AT)
    (finding,) = [finding for finding in checked.findings if finding.code == "temperature"]
    assert finding.level == "stop"
    assert "Warm" in finding.remedy


def test_a_resin_whose_sheet_has_only_a_pot_life_is_a_caution_at_best():
    bench = CheckedBench(max_depth_mm=None)
    assert levels(bench)["heat"] == "caution"


def test_a_sheet_that_can_not_be_fitted_gives_the_reason_and_no_picture():
    bench = CheckedBench(pot_minutes=300, pot_meaning="temperature")
    outlook = facts.outlook_of(bench.step, bench.answers())
    assert not outlook.predictions
    assert "no rate gives a pot life" in outlook.why_not


@pytest.mark.parametrize(("hours_ago", "level"), [(8, "clear"), (2, "stop"), (48, "caution")])
def test_the_seal_coat_is_early_in_its_window_or_late(hours_ago, level):
    bench = CheckedBench()
    seal(bench, hours_ago)
    assert levels(bench)["seal_coat"] == level


def test_without_a_seal_coat_in_the_log_the_strips_will_bubble():
    assert levels(CheckedBench())["seal_coat"] == "stop"


def test_what_other_projects_want_is_not_free():
    bench = CheckedBench()
    before = facts.facts_of(bench.step, bench.answers(), facts.Outlook(), AT, below.Mould()).resin_free_g
    other = BlockFactory(shop=bench.shop, resin=bench.resin).project
    Need.objects.create(
        shop=bench.shop,
        created_at=AT,
        project=other,
        resin=bench.resin,
        part="A",
        thousandths=4_000_000,
        unit="g",
    )
    after = facts.facts_of(bench.step, bench.answers(), facts.Outlook(), AT, below.Mould()).resin_free_g
    assert before == pytest.approx(5000 * 145 / 100)
    assert after == pytest.approx(1000 * 145 / 100)


def test_an_empty_shelf_is_a_stop():
    bench = CheckedBench()
    for lot in (bench.lot_a, bench.lot_b):
        lot.removed_at = AT
        lot.save()
    assert levels(bench)["quantity"] == "stop"


def test_a_bottle_open_too_long_is_past_its_time():
    bench = CheckedBench(shelf_months_open=6)
    bench.lot_b.opened_on = (AT - timedelta(days=250)).date()
    bench.lot_b.save()
    assert levels(bench)["lots"] == "stop"


def test_a_bottle_without_a_date_is_counted_from_its_coming_in():
    bench = CheckedBench(shelf_months_closed=12)
    lot = LotFactory(
        shop=bench.shop, resin=bench.resin, part="A", received_on=(AT - timedelta(days=400)).date()
    )
    assert asked.days_left([lot], AT.date()) == pytest.approx(-36, abs=1)


def test_the_depth_still_to_be_poured_is_what_no_pour_has_filled():
    bench = CheckedBench()
    assert asked.depth_left_mm(bench.block) == 40
    bench.weigh_b(bench.meet())
    bench.pour(depth_mm=15.0)
    assert asked.depth_left_mm(bench.block) == 25


def test_in_two_lifts_the_first_alone_is_half_as_deep_and_its_window_is_looked_at():
    bench = CheckedBench()
    checked = facts.check(bench.step, bench.answers(lifts=2), AT)
    assert checked.outlook.predictions["nominal"].depth_mm == 20
    assert {"lift", "lift_window"} <= {finding.code for finding in checked.findings}


def test_a_window_at_night_has_no_hour_in_opening_hours():
    bench = CheckedBench()
    morning = AT.replace(hour=8)
    assert facts.workable_h(bench.shop, morning, 1, 3) == pytest.approx(2)
    assert facts.workable_h(bench.shop, morning, 11, 14) == 0


def test_the_time_to_mix_and_fill_is_the_middle_of_the_last_pours():
    bench = CheckedBench()
    assert asked.usual_mix_fill_min(bench.shop) == asked.USUAL_MIX_FILL_MIN
    for number, took in enumerate((12, 30, 18)):
        bench.meet(minutes=1000 * number)
        bench.pour(minutes=1000 * number + took, depth_mm=1.0)
    assert asked.usual_mix_fill_min(bench.shop) == 18


def test_a_coat_asks_nothing_of_a_mould_or_of_strips():
    bench = CheckedBench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="seal", title="Seal the strips")
    codes = {finding.code for finding in facts.check(step, bench.answers(depth_mm=0.3), AT).findings}
    assert not codes & {"mould", "combs", "float", "bow", "bubbles", "seal_coat"}


# --- the seal coat in figures ---


def said_of_the_coat(bench, at=AT):
    """The finding about the seal coat as the page has it: figure, what stands below it, the sentence."""
    checked = facts.check(bench.step, bench.answers(), at)
    rows = told.rows_of(checked.findings, "metric")
    row = next(row for row in rows if row.code == "seal_coat")
    return f"{row.number} {row.unit} {row.against}", row.reason.replace("\u00a0", " ")


def test_a_wet_coat_is_told_with_its_age_when_it_is_dry_and_by_the_clock():
    bench = CheckedBench()
    seal(bench, hours_ago=0.2, due_min=316)
    figures, reason = said_of_the_coat(bench)
    assert figures == "12 min old; dry at 5:16 h"
    assert reason == "The seal coat is still wet: 12 min old, dry at 5:16 h, by its clock 15:04."


def test_a_coat_in_its_window_has_both_figures_too():
    bench = CheckedBench()
    seal(bench, hours_ago=10, due_min=316)
    assert said_of_the_coat(bench) == (
        "10 h old; dry at 5:16 h",
        "Sealed, and ready for the pour: 10 h old, dry at 5:16 h.",
    )


def test_a_coat_that_is_too_old_says_when_its_window_closed():
    bench = CheckedBench()
    seal(bench, hours_ago=30)
    assert said_of_the_coat(bench)[1].endswith("30 h old, dry at 6 h, its window closed at 24 h.")


def test_a_coat_of_two_weeks_ago_is_told_in_days():
    bench = CheckedBench()
    seal(bench, hours_ago=360)
    assert said_of_the_coat(bench)[0] == "15 days old; dry at 6 h"


def test_a_coat_without_a_window_has_its_age_alone():
    bench = CheckedBench()
    seal(bench, hours_ago=3, due_min=0, closes_min=None)
    assert said_of_the_coat(bench) == ("3 h ", "Sealed, and ready for the pour: 3 h old.")


def test_a_clock_that_the_thermometer_moved_says_when_the_coat_is_dry():
    bench = CheckedBench()
    entry = seal(bench, hours_ago=1, due_min=60)
    log.start_clocks(entry)
    entry.timers.update(due_at=AT + timedelta(hours=2))
    assert levels(bench)["seal_coat"] == "stop"
    assert said_of_the_coat(bench)[0] == "60 min old; dry at 3 h"


# --- what was ticked or said before ---


def ticked(bench, kind, text):
    """A line of the checklist of a step of the same block that is ticked."""
    step = StepFactory(shop=bench.shop, block=bench.block, kind=kind, title=kind)
    CheckItemFactory(step=step, shop=bench.shop, text=text, ticked_at=AT)
    return step


@pytest.mark.parametrize(("text", "looks"), LOOKED_OVER.items())
def test_a_line_that_was_ticked_is_not_asked_again(text, looks):
    bench = CheckedBench()
    ticked(bench, "mould", text)
    assert set(asked.first_answers(bench.step, at=AT)["mould_checks"]) == set(looks)


def test_lines_that_say_something_of_the_mould_are_lines_of_checklists():
    lines = {text for kind in CHECKS.values() for text in kind}
    assert {*LOOKED_OVER, *HELD_DOWN} <= lines


def test_level_with_a_tray_under_it_is_both_looks():
    bench = CheckedBench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="mould", title="mould")
    mould.build_mould(bench.member, step, {"level": True}, key=key(), moment=moment(-60))
    assert set(asked.first_answers(bench.step, at=AT)["mould_checks"]) == {"levelled", "tray under it"}


def test_sealant_whose_clock_runs_is_not_dry_whatever_was_ticked():
    bench = CheckedBench()
    step = ticked(bench, "mould", "Dry inside")
    values = {"sealed": True, "sealant_h": 12.0}
    mould.build_mould(bench.member, step, values, key=key(), moment=moment(-60))
    assert asked.first_answers(bench.step, at=AT)["mould_checks"] == ["sealed"]


def test_a_line_of_another_block_says_nothing_of_this_mould():
    bench = CheckedBench()
    ticked(CheckedBench(), "mould", "Dry inside")
    assert asked.first_answers(bench.step, at=AT)["mould_checks"] == []


def asks_about_holding(bench):
    """What the check wants to know of what holds the strips down."""
    answers = {**bench.answers(), **asked.first_answers(bench.step, at=AT), "hold_down_g": None}
    remedies = [finding.remedy for finding in facts.check(bench.step, answers, AT).findings]
    return [remedy for remedy in remedies if remedy in {"Say what holds the strips down.", HELD}]


def test_nothing_said_the_check_asks_what_holds_the_strips():
    assert asks_about_holding(CheckedBench()) == ["Say what holds the strips down."]


@pytest.mark.parametrize("text", HELD_DOWN)
def test_held_down_by_a_tick_only_the_mass_is_asked_for(text):
    bench = CheckedBench()
    ticked(bench, "load", text)
    assert asks_about_holding(bench) == [HELD]


def test_held_down_as_the_strips_went_in_only_the_mass_is_asked_for():
    bench = CheckedBench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="load", title="load")
    strips.load_strips(bench.member, step, {"count": 20, "done": True}, key=key(), moment=moment(-60))
    assert asks_about_holding(bench) == [HELD]


def test_strips_of_which_more_are_to_come_are_not_held_down_yet():
    bench = CheckedBench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="load", title="load")
    strips.load_strips(bench.member, step, {"count": 10, "done": False}, key=key(), moment=moment(-60))
    assert asks_about_holding(bench) == ["Say what holds the strips down."]
