"""A pour that nobody checked: what stops it is found at the cup, and only that."""

from datetime import timedelta

import pytest

from projects import against
from projects.actions import check as acts
from projects.check import asked, facts, unkept
from projects.models import LogEntry
from tests.factories import AT, ResinFactory, key, moment
from tests.projects.check.room import CheckedBench

pytestmark = pytest.mark.django_db
H = timedelta(hours=1)


@pytest.fixture
def bench():
    """All looked at but the seal coat, which somebody overruled."""
    return sealed(CheckedBench())


def sealed(bench):
    acts.overrule(bench.member, bench.step, "seal_coat", "It is dry", key=key(), moment=moment(-30))
    return bench


def keep(bench, hours=0, **changed):
    checked = facts.check(bench.step, bench.answers(**changed), AT)
    at = moment(60 * hours)
    return acts.keep_check(bench.member, bench.step, bench.answers(**changed), checked, key=key(), moment=at)


def stops(bench, **warmth):
    return [row.code for row in unkept.stops(bench.step, None, AT, **{"room_c": 25.0, **warmth})]


def test_a_harmless_pour_is_stopped_by_nothing(bench):
    assert stops(bench) == []


def test_what_is_not_known_stops_nothing(bench):
    assert asked.first_answers(bench.step, at=AT)["humidity_percent"] is None
    assert stops(bench) == []


def test_a_quick_resin_in_a_deep_mould_is_stopped_for_its_heat():
    quick = sealed(CheckedBench(pot_minutes=40, max_depth_mm=10))
    assert "heat" in stops(quick)


def test_the_sentence_has_the_figure_and_its_limit():
    quick = sealed(CheckedBench(pot_minutes=40, max_depth_mm=10))
    found = {each.of_check: each for each in against.of_cup(quick.step, {"room_c": 25.0}, AT)}
    assert "This pour was not checked. Reckoned now: it gets too hot inside, " in found["heat"].sentence
    assert "limit 60 °C, the weakest part" in found["heat"].sentence
    assert "This resin ran cooler in a cup" in found["heat"].reasons


def test_it_is_reckoned_at_the_warmth_of_the_cup(bench):
    assert stops(bench, room_c=9.0) == ["temperature"]


def test_a_bottle_past_its_time_stops_it(bench):
    bench.lot_b.use_by = (AT - timedelta(days=300)).date()
    bench.lot_b.save()
    assert stops(bench) == ["lots"]


def test_what_was_overruled_is_not_asked_again(bench):
    acts.overrule(bench.member, bench.step, "temperature", "Warming", key=key(), moment=moment(-5))
    assert stops(bench, room_c=9.0) == []


@pytest.mark.parametrize(("hours", "fresh"), [(0, True), (-23, True), (-25, False)])
def test_a_check_of_the_last_day_still_speaks(bench, hours, fresh):
    keep(bench, hours)
    assert unkept.is_fresh(asked.last_check(bench.step), bench.resin, AT) == fresh


def test_a_check_of_another_resin_does_not_speak(bench):
    keep(bench, resin=ResinFactory(shop=bench.shop))
    assert not unkept.is_fresh(asked.last_check(bench.step), bench.resin, AT)


def test_a_step_that_was_never_checked_has_no_fresh_check(bench):
    assert not unkept.is_fresh(None, bench.resin, AT)


def test_after_a_fresh_check_nothing_is_reckoned_at_the_cup(bench, monkeypatch):
    keep(bench, -1)
    monkeypatch.setattr(unkept, "stops", lambda *rest, **warmth: pytest.fail("reckoned though checked"))
    assert against.of_cup(bench.step, {"room_c": 25.0}, AT) == []


def test_an_old_check_hands_on_its_answers():
    quick = sealed(CheckedBench(pot_minutes=40, max_depth_mm=10))
    keep(quick, -30, weakest="resin", weakest_c=80.0)
    old = LogEntry.objects.get(kind="check")
    limits = [
        next(row.against for row in unkept.stops(quick.step, last, AT, room_c=25.0) if row.code == "heat")
        for last in (None, old)
    ]
    assert limits == ["limit 60 °C, the weakest part", "limit 80 °C, the weakest part"]
