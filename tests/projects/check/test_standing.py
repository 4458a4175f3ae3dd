from datetime import timedelta

import pytest

from projects.actions import check as acts
from projects.check import asked, facts, picture, printed
from projects.check.standing import Standing, standing_of
from tests.factories import AT, LotFactory, StepFactory, key, moment
from tests.projects.check.room import CheckedBench

pytestmark = pytest.mark.django_db


def keep(bench, minutes=0, **changed):
    """A check that is kept; without a seal coat in the log it has a stop."""
    answers = bench.answers(**changed)
    checked = facts.check(bench.step, answers, AT)
    return acts.keep_check(bench.member, bench.step, answers, checked, key=key(), moment=moment(minutes))


def overrule(bench, code="seal_coat", minutes=5):
    return acts.overrule(bench.member, bench.step, code, "It is dry", key=key(), moment=moment(minutes))


def test_a_step_before_which_nothing_is_mixed_wants_no_check():
    bench = CheckedBench()
    assert standing_of(StepFactory(shop=bench.shop, block=bench.block, kind="cut", title="Cut")) is None


def test_a_step_that_nobody_checked_says_so():
    assert standing_of(CheckedBench().step) == Standing()


def test_the_open_stops_of_the_last_check_are_named():
    bench = CheckedBench()
    keep(bench)
    found = standing_of(bench.step)
    assert found.open_stops == (("seal_coat", "The seal coat is not ready"),)
    assert (found.level, found.who) == ("stop", bench.member.name)


@pytest.mark.parametrize(
    ("state", "is_past"), [("to_do", False), ("under_way", False), ("done", True), ("skipped", True)]
)
def test_of_a_step_that_is_over_a_check_is_past(state, is_past):
    bench = CheckedBench()
    bench.step.state = state
    assert standing_of(bench.step) == Standing(is_past=is_past)
    keep(bench)
    assert standing_of(bench.step).is_past == is_past


def test_what_was_overruled_is_no_longer_open():
    bench = CheckedBench()
    keep(bench)
    overrule(bench)
    assert standing_of(bench.step).open_stops == ()


def test_the_newest_check_counts():
    bench = CheckedBench()
    keep(bench, combs_at_ends="no")
    keep(bench, minutes=30)
    assert [code for code, _ in standing_of(bench.step).open_stops] == ["seal_coat"]


def test_a_sheet_prints_the_check_with_what_was_overruled():
    bench = CheckedBench()
    keep(bench)
    overrule(bench)
    found = printed.check_of(bench.block)
    (stop,) = [row for row in found["rows"] if row["level"] == "stop"]
    assert stop["overruled"] == f"{bench.member.name}: It is dry"
    assert "Pot life" in found["fine"]


def test_a_block_that_nobody_checked_prints_no_check():
    assert printed.check_of(CheckedBench().block) is None


def test_the_picture_on_paper_is_drawn_from_what_was_kept():
    bench = CheckedBench()
    entry = keep(bench)
    svg = picture.paper_svg(entry.detail["picture"], "metric")
    assert "expected at the hottest" in svg
    assert "sheet-draw" in svg


def test_a_bottle_past_its_time_is_taken_last():
    bench = CheckedBench()
    old = LotFactory(shop=bench.shop, resin=bench.resin, part="A", use_by=(AT - timedelta(days=20)).date())
    found = asked.bottles(bench.resin, "A", AT.date())
    assert found == [bench.lot_a, old]
