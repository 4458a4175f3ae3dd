"""A pour on a pour: what the log holds of the mould goes into the check."""

from datetime import timedelta

import pytest
from django.template.loader import render_to_string

from materials.models import Batch
from projects import sheets
from projects.actions import check as acts
from projects.check import below, facts, printed, told
from projects.models import Pour, Timer
from tests.factories import AT, ResinFactory, StepFactory, key, moment
from tests.projects.check.room import CheckedBench

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    """A fast resin, 20 of 40 mm of it poured ten minutes after the tests' morning."""
    return poured(CheckedBench(pot_minutes=40, max_depth_mm=25, recoat_open_h=6, recoat_close_h=24))


def poured(made, depth_mm=20.0, minutes=10):
    made.weigh_b(made.meet(minutes=minutes - 10, room_c=25.0), minutes=minutes - 8)
    made.pour(minutes=minutes, depth_mm=depth_mm)
    made.step.refresh_from_db()
    return made


def checked(bench, hours, **answers):
    """The check so many hours after the first pour."""
    at = AT + timedelta(minutes=10, hours=hours)
    return facts.check(bench.step, bench.answers(depth_mm=20.0, **answers), at)


def finding(found, code="earlier_pour"):
    return next((each for each in found.findings if each.code == code), None)


@pytest.mark.parametrize(("hours", "level"), [(0.1, "caution"), (3, "stop"), (25, "stop"), (200, "stop")])
def test_the_pour_below_is_still_liquid_too_fresh_or_too_old(bench, hours, level):
    assert finding(checked(bench, hours)).level == level


def test_past_its_pot_life_a_pour_is_too_fresh_though_the_model_calls_it_liquid():
    slow = poured(CheckedBench(pot_minutes=90, recoat_open_h=8, recoat_close_h=36))
    found = checked(slow, 2)
    assert found.facts.pour_window.soft
    assert finding(found).level == "stop"


def test_inside_the_window_of_a_slow_resin_nothing_stands_against_it():
    slow = poured(CheckedBench(recoat_open_h=16, recoat_close_h=36))
    found = finding(checked(slow, 20))
    assert (found.level, found.reason) == ("clear", "Inside the window of pour 1.")


def test_where_the_surface_is_too_hard_by_the_model_an_open_window_is_a_caution(bench):
    found = finding(checked(bench, 8))
    assert found.level == "caution"
    assert "too hard to bond by itself" in found.reason


def test_without_a_window_on_the_sheet_the_check_says_so():
    silent = poured(CheckedBench(recoat_open_h=None, recoat_close_h=None))
    found = finding(checked(silent, 20))
    assert (found.level, found.limit) == ("caution", None)


def test_an_empty_mould_has_nothing_below():
    found = checked(CheckedBench(), 1)
    assert finding(found) is None
    assert below.says(found.mould, found.outlook, AT, found.mould) == ()


def test_the_window_is_that_of_the_clock_as_the_thermometer_moved_it(bench):
    Timer.objects.filter(kind="recoat").update(due_at=AT + timedelta(minutes=10, hours=2))
    assert finding(checked(bench, 3)).low == pytest.approx(2)


def test_a_warm_pour_below_makes_the_next_one_hotter(bench):
    soon, late = checked(bench, 2), checked(bench, 30)
    assert finding(soon, "heat").figure > finding(late, "heat").figure + 20
    assert soon.outlook.predictions["nominal"].hottest_c[0] > 40
    assert soon.outlook.alone_c > finding(late, "heat").figure  # a cold block takes up heat


def test_a_pour_that_takes_no_other_yet_counts_towards_the_sheets_depth(bench):
    assert checked(bench, 2).facts.fresh_below_mm == 20
    assert checked(bench, 7).facts.fresh_below_mm == 0


def test_lifts_on_a_warm_pour_are_planned_on_its_heat(bench):
    soon, late = (checked(bench, hours, lifts=2).facts.lifts for hours in (1.5, 30))
    assert soon.lifts[0].peak_c > late.lifts[0].peak_c + 5


def test_a_pour_of_later_is_not_below(bench):
    assert finding(facts.check(bench.step, bench.answers(), AT)) is None


def test_a_step_whose_pour_is_done_has_nothing_below(bench):
    bench.step.state = "done"
    assert finding(checked(bench, 3)) is None


def test_a_film_has_nothing_below(bench):
    seal = StepFactory(shop=bench.shop, block=bench.block, kind="seal", title="Seal")
    found = facts.check(seal, bench.answers(depth_mm=0.3), AT + timedelta(hours=3))
    assert finding(found) is None


def test_a_pour_in_a_step_of_its_own_lies_on_that_of_the_step_before(bench):
    bench.step = StepFactory(shop=bench.shop, block=bench.block, title="Pour the rest")
    assert finding(checked(bench, 3)).level == "stop"


def test_the_heat_of_another_resin_is_not_reckoned_and_that_is_said(bench):
    Batch.objects.update(resin=ResinFactory(shop=bench.shop))
    found = checked(bench, 7)
    assert found.outlook.lies is None
    assert "another resin" in finding(found).reason
    assert finding(found).level == "caution"
    assert any("not reckoned" in said for said in says(found))


def test_a_pour_of_days_ago_has_no_heat_left(bench):
    found = checked(bench, 130)
    assert found.outlook.lies is None
    assert any("nothing of its heat is left" in said for said in says(found))


def test_what_lies_below_is_told_with_its_clocks_and_what_is_not_reckoned(bench):
    said = " ".join(says(checked(bench, 3)))
    assert "Below lies pour 1: 20\xa0mm, poured 10:10" in said
    assert "takes another from 16:10 on, until Wed 10:10" in said
    assert "Alone, this pour would come to" in said
    assert "Not reckoned: what flows" in said


def says(found):
    at = AT + timedelta(minutes=10, hours=3)
    return below.says(found.mould, found.outlook, at, found_shop())


def found_shop():
    return Pour.objects.get().shop


def test_the_finding_has_its_name_and_its_figure_beside_its_limit(bench):
    row = told.row_of(finding(checked(bench, 3)), "metric")
    assert row.name == "The pour below does not take another"
    assert f"{row.number} {row.unit} {row.against}" == "3 h since it was poured; takes another at 6 h"
    assert "It is firm and still tacky" in row.reasons


def test_a_kept_check_holds_what_lay_below_and_the_sheet_prints_it(bench, monkeypatch):
    found = checked(bench, 3)
    acts.keep_check(bench.member, bench.step, bench.answers(), found, key=key(), moment=moment(190))
    assert printed.check_of(bench.block)["below"] == list(says(found))
    monkeypatch.setattr("workshop.paper.pdf", render_to_string)
    made = {"key": key(), "moment": moment(200), "paper_size": "a4", "origin": "http://127.0.0.1"}
    sheet = sheets.make_sheet(bench.member, bench.block, **made)
    assert "Below lies pour 1" in sheets.render(sheet)


def test_after_two_pours_the_newest_is_the_one_that_is_met(bench):
    bench.weigh_b(bench.meet(minutes=420, room_c=25.0), minutes=422)
    bench.pour(minutes=430, depth_mm=5.0)
    bench.step.refresh_from_db()
    found = checked(bench, 8)
    assert found.facts.pour_window.lift == 2
    assert found.facts.pour_window.since_h == pytest.approx(1)
    assert [pour.depth_mm for pour in found.mould.reckoned] == [20, 5]
