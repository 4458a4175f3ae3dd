"""By which rules a clock goes: the sheet's until a cup was read, then sheet and model on the safe side."""

import pytest

from materials.fit import advice as fits
from materials.fit import clocks as fit
from materials.fit.advice import figures_of
from materials.science.resin.calibration import Calibration
from materials.science.resin.layup import Layup
from materials.science.resin.through import cup_life_through, pour_through
from projects import clock_model
from projects.actions import readings, seal
from projects.actions.moving import warmths_of
from projects.clock_figures import figures_of as page_of
from projects.clocks import marked, source
from projects.models import Timer
from tests.factories import AT, Bench, CupTestFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db


def fit_to_a_cup(bench, faster=1.0):
    """A cup of the bench's resin was read, and cures so many times as fast as its sheet says."""
    from dataclasses import replace

    own = fits.by_sheet(fits.sheet_of(bench.resin)).kinetics["nominal"]
    quick = replace(own, k_ref_per_s=own.k_ref_per_s * faster)
    calibration = Calibration(quick, 2.0, (), 1, None, fits.sheet_of(bench.resin), "nominal", True)
    CupTestFactory(shop=bench.shop, resin=bench.resin, fitted=figures_of(calibration))
    return quick


def poured(bench, room_c=25.0, a_g=68.0):
    bench.weigh_b(bench.meet(room_c=room_c, a_g=a_g), grams=30.7)
    bench.pour(minutes=10)


def minutes_of(kind):
    timer = Timer.objects.get(kind=kind)
    return (timer.due_at - timer.started_at).total_seconds() / 60


def test_without_a_cup_test_every_clock_goes_by_the_sheet():
    poured(Bench())
    assert set(Timer.objects.values_list("kind", "law")) == {
        ("pot_life", "ten_degree"), ("recoat", "ten_degree"), ("demould", "ten_degree"),
    }  # fmt: skip


def test_with_a_cup_test_they_go_by_it_and_the_gel_has_a_clock():
    bench = Bench(full_cure_h=168)
    fit_to_a_cup(bench)
    poured(bench)
    assert dict(Timer.objects.values_list("kind", "law")) == {
        "pot_life": "cup_test", "recoat": "cup_test", "demould": "cup_test", "gel": "cup_test",
        "full_cure": "ten_degree",
    }  # fmt: skip


def test_a_cup_that_the_test_knows_to_be_quicker_rings_by_the_test():
    bench = Bench()
    fit_to_a_cup(bench, faster=2.0)
    timer = bench.meet(room_c=25.0, a_g=68.0).timers.get()
    bands = fit.frozen(bench.resin)
    lives = [cup_life_through(kinetics, 98.6, [(0, 25.0)]) for _, kinetics in fit.thawed(bands)]
    minutes = (timer.due_at - timer.started_at).total_seconds() / 60
    assert minutes == pytest.approx(min(lives), abs=0.02)
    assert minutes < 60  # the sheet says 90
    assert (timer.early_at - timer.started_at).total_seconds() / 60 == pytest.approx(
        0.75 * min(lives), abs=0.02
    )


def test_a_cup_that_the_test_knows_to_be_slower_still_rings_by_the_sheet():
    bench = Bench()
    fit_to_a_cup(bench, faster=0.3)
    timer = bench.meet(room_c=25.0, a_g=68.0).timers.get()
    assert (timer.due_at - timer.started_at).total_seconds() == 90 * 60


def test_a_cure_waits_for_the_later_of_sheet_and_model():
    slow, quick = Bench(), Bench()
    kinetics = fit_to_a_cup(slow, faster=0.2)
    poured(slow)
    late = minutes_of("demould")
    lay = Layup(13.0, slow.block.strip_mm, slow.block.gap_mm)
    expected = pour_through(kinetics, lay, [(0, 25.0)]).handling_min
    assert late >= expected > 24 * 60
    Timer.objects.all().delete()
    fit_to_a_cup(quick, faster=3.0)
    poured(quick)
    assert minutes_of("demould") == 24 * 60


def test_a_window_opens_at_the_later_and_closes_at_the_earlier_of_sheet_and_model():
    bench = Bench()
    fit_to_a_cup(bench)
    poured(bench)
    recoat = Timer.objects.get(kind="recoat")
    lay = Layup(13.0, bench.block.strip_mm, bench.block.gap_mm)
    model = [pour_through(each, lay, [(0, 25.0)]) for _, each in fit.thawed(recoat.figures["model"])]
    opens, closes = max(each.next_min for each in model), min(each.bond_closes_min for each in model)
    assert minutes_of("recoat") == pytest.approx(max(opens, 240), abs=0.02)
    assert (recoat.closes_at - recoat.started_at).total_seconds() / 60 == pytest.approx(closes, abs=0.02)
    assert closes < 14 * 60


def test_a_window_that_the_model_closes_before_it_opens_keeps_the_sheets_end_and_says_so():
    bench = Bench()
    fit_to_a_cup(bench, faster=6.0)
    poured(bench)
    recoat = Timer.objects.get(kind="recoat")
    assert (recoat.closes_at - recoat.started_at).total_seconds() == 14 * 3600
    assert "too hard at 10:27" in marked(recoat)


def test_a_reading_moves_a_clock_of_the_model_through_the_core():
    bench = Bench()
    fit_to_a_cup(bench, faster=2.0)
    timer = bench.meet(room_c=25.0, a_g=68.0).timers.get()
    values = {"kind": "temperature", "value": 35.0, "text": ""}
    readings.take_reading(bench.member, values, key=key(), moment=moment(20))
    moved = Timer.objects.get(pk=timer.pk)
    lives = [
        cup_life_through(kinetics, 98.6, [(0, 25.0), (20.0, 35.0)])
        for _, kinetics in fit.thawed(timer.figures["model"])
    ]
    assert (moved.due_at - moved.started_at).total_seconds() / 60 == pytest.approx(min(lives), abs=0.02)
    assert moved.due_at < timer.due_at
    assert [move["temp_c"] for move in moved.figures["moves"]] == [35.0]


def test_a_test_that_is_taken_away_later_leaves_the_clock_its_rules():
    bench = Bench()
    fit_to_a_cup(bench, faster=2.0)
    timer = bench.meet(room_c=25.0, a_g=68.0).timers.get()
    bench.resin.cup_tests.update(removed_at=AT)
    readings.take_reading(
        bench.member, {"kind": "temperature", "value": 25.0, "text": ""}, key=key(), moment=moment(20)
    )
    assert Timer.objects.get(pk=timer.pk).due_at == pytest.approx(
        timer.due_at, abs=moment(0.1).happened_at - AT
    )


def test_a_seal_coat_gets_a_clock_until_it_can_be_sanded():
    bench = Bench()
    fit_to_a_cup(bench)
    step = StepFactory(shop=bench.shop, block=bench.block, kind="seal", title="Seal")
    values = {"resin": bench.resin, "coat": 1, "temp_c": 25.0, "open_h": 4.0, "close_h": 14.0}
    seal.seal_coat(bench.member, step, values, key=key(), moment=moment())
    assert dict(Timer.objects.values_list("kind", "law")) == {"tack": "ten_degree", "sand": "cup_test"}


def test_what_a_clock_freezes_of_a_fit_gives_the_fit_again():
    bench = Bench()
    fit_to_a_cup(bench, faster=1.3)
    assert dict(fit.thawed(fit.frozen(bench.resin))) == fits.bands_of(bench.resin).kinetics


# --- what the page of a clock says ---


def figures(kind, now=AT):
    timer = Timer.objects.with_story().select_related("shop").get(kind=kind)
    return page_of(timer, warmths_of(timer), now, timer.shop.tz)


def test_a_clock_by_the_sheet_shows_the_model_beside_it():
    poured(Bench())
    (line,) = figures("pot_life").lines
    assert line.what == "too thick"
    assert line.sheet == "11:30"  # 90 min at 25 °C from 10:00 on
    assert line.model.startswith("11:")  # the model is fitted to that very cup
    assert " to " in line.band


def test_the_figures_hold_for_the_temperatures_that_were_read():
    bench = Bench()
    poured(bench)
    readings.take_reading(
        bench.member, {"kind": "temperature", "value": 35.0, "text": ""}, key=key(), moment=moment(70)
    )
    found = figures("recoat")
    assert found.temps == "25\u00a0°C at the start, 35\u00a0°C from 11:10"
    assert [(line.what, line.sheet) for line in found.lines] == [
        ("begins to gel", ""), ("next pour from", "12:40"), ("next pour until", "17:40"),
    ]  # fmt: skip
    assert all(line.model for line in found.lines)


def test_a_page_says_what_the_model_rests_on():
    bench = Bench()
    poured(bench)
    assert "guesses about what no sheet states" in figures("demould").rests_on
    Timer.objects.all().delete()
    fit_to_a_cup(bench)
    bench.meet(minutes=30, room_c=25.0, a_g=68.0)
    assert "rests on a cup test of 10 March 2026" in figures("pot_life").rests_on


def test_a_clock_of_the_model_says_where_it_comes_from():
    bench = Bench()
    fit_to_a_cup(bench)
    timer = bench.meet(room_c=25.0, a_g=68.0).timers.get()
    assert source(timer).endswith("the sheet beside the model, which rests on a cup test of 10 March 2026.")


def test_a_clock_that_was_set_by_hand_has_no_figures():
    from projects.actions import free_clock

    bench = Bench()
    free_clock.set_clock(bench.member, name="kettle", minutes=10, key=key(), moment=moment())
    assert figures("free").lines == ()


def test_the_safe_side_of_no_word_at_all_is_the_sheet():
    assert clock_model.SAFE["recoat"]({}) is None
