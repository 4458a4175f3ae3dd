"""Cup after cup of one pour, wet on wet."""

from datetime import timedelta

import pytest

from projects import against
from projects.actions import bench as acts
from projects.actions import take_back
from projects.liquid import liquid_pour
from projects.models import LogEntry, Pour, Timer
from tests.factories import AT, Bench, key, moment
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    """A first cup of 456 g in the mould, 4 mm deep, ten minutes after its parts met; more is to come."""
    bench = Bench()
    bench.weigh_b(bench.meet())
    pour(bench, 10, depth_mm=4.0)
    return bench


def pour(bench, minutes, **more):
    given = {"depth_mm": 3.0, "text": "", "more": True, **more}
    return acts.pour(bench.member, bench.step, key=key(), moment=moment(minutes), **given)


def second_cup(bench, minutes=20):
    batch = bench.meet(minutes=minutes)
    bench.weigh_b(batch, minutes=minutes + 1)
    return [batch]


def after(minutes):
    return AT + timedelta(minutes=minutes)


def test_a_pour_flows_for_the_pot_life_of_its_last_cup(bench):
    # 90 min at 25 °C are 127.3 min at 20 °C
    liquid = liquid_pour(bench.block, after(20))
    assert (liquid.lift, liquid.depth_mm) == (1, 4.0)
    assert round((liquid.until - AT).total_seconds() / 60, 1) == 127.3
    assert liquid_pour(bench.block, after(128)) is None


def test_nothing_flows_in_an_empty_mould():
    assert liquid_pour(Bench().block, AT) is None


def test_the_next_cup_of_the_same_pour_waits_for_no_window(bench):
    cups = second_cup(bench)
    liquid = liquid_pour(bench.block, after(25))
    values = {"depth_mm": 3.0, "same": True}
    assert against.of_pour(bench.step, values, after(25), cups=cups, liquid=liquid) == []
    apart = against.of_pour(bench.step, {**values, "same": False}, after(25), cups=cups, liquid=liquid)
    assert [each.code for each in apart] == ["recoat_soon"]


def test_both_cups_together_are_measured_against_the_sheets_depth(bench):
    cups = second_cup(bench)
    bench.resin.max_depth_mm = 3
    bench.resin.save()
    cups[0].refresh_from_db()
    bench.step.block.refresh_from_db()
    liquid = liquid_pour(bench.block, after(25))
    said = against.of_pour(bench.step, {"depth_mm": 3.0, "same": True}, after(25), cups=cups, liquid=liquid)
    assert [each.sentence[:14] for each in said if each.code == "deep"] == ["7\u00a0mm is deeper"]


def test_a_cup_of_the_same_pour_keeps_its_number_and_renews_its_clocks(bench):
    second_cup(bench)
    pour(bench, 25, same=True)
    assert list(Pour.objects.order_by("pk").values_list("lift", "depth_mm")) == [(1, 4.0), (1, 3.0)]
    assert LogEntry.objects.filter(kind="pour").last().text.startswith("More of pour 1 on Block A: 456")
    (recoat,) = Timer.objects.running().filter(kind="recoat")
    assert recoat.started_at == after(25)


def test_a_cup_of_its_own_pour_gets_the_next_number(bench):
    second_cup(bench)
    pour(bench, 25)
    second_cup(bench, 30)
    pour(bench, 35, same=True)
    assert list(Pour.objects.order_by("pk").values_list("lift", flat=True)) == [1, 2, 2]


def test_the_cup_that_went_in_last_is_taken_back_first(bench):
    second_cup(bench)
    last = pour(bench, 25, same=True)
    first = Pour.objects.order_by("pk").first()
    with pytest.raises(Refused, match="More of pour 1 lies on it"):
        take_back.take_back(bench.member, first.entry, "Wrong block", key=key(), moment=moment(30))
    take_back.take_back(bench.member, last.entry, "Wrong block", key=key(), moment=moment(30))
    assert Pour.objects.get() == first
