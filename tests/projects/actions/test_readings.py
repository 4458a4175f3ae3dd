import pytest

from materials.models import Reading
from projects.actions import readings, take_back
from projects.models import LogEntry, Step
from tests.factories import AT, Bench, BundleFactory, ShopFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db


def take(bench, kind="temperature", value=21.5, lot=None, text="", **where):
    values = {"kind": kind, "value": value, "lot": lot, "text": text}
    return readings.take_reading(bench.member, values, key=key(), moment=moment(), **where)


def test_a_reading_stands_in_its_entry():
    entry = take(Bench(), "hardness", 72.0)
    reading = entry.readings.get()
    assert (reading.kind, reading.value, reading.unit, reading.taken_at) == ("hardness", 72.0, "Shore D", AT)
    assert entry.text == "hardness (Shore D): 72 Shore D"


def test_a_reading_belongs_to_its_bundle():
    bench = Bench()
    bundle = BundleFactory(shop=bench.shop)
    entry = take(bench, "moisture", 8.4, lot=bundle)
    assert Reading.objects.get().lot == bundle
    assert entry.text == f"moisture of the wood: 8.4\u00a0%, {bundle.code}"


def test_a_reading_of_no_project_is_the_shops():
    entry = take(Bench())
    assert (entry.project, entry.step, entry.kind) == (None, None, LogEntry.Kind.READING)


def test_a_reading_begins_a_step_that_is_measuring():
    bench = Bench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="measure", title="Measure")
    take(bench, "thickness", 2.02, step=step)
    assert step.state == Step.State.UNDER_WAY


def test_a_reading_leaves_a_step_that_is_done_as_it_is():
    bench = Bench()
    step = StepFactory(shop=bench.shop, block=bench.block, kind="measure", title="Measure")
    LogEntry.objects.create(
        shop=bench.shop, kind="work", step=step, project=step.project, member=bench.member, happened_at=AT,
        raw_happened_at=AT, received_at=AT, created_at=AT, detail={"step": "done"},
    )  # fmt: skip
    take(bench, "thickness", 2.02, step=step)
    assert step.state == Step.State.DONE


def test_a_reading_at_a_pour_does_not_begin_it():
    bench = Bench()
    entry = take(bench, step=bench.step)
    assert bench.step.state == Step.State.TO_DO
    assert entry.project == bench.project


def test_a_reading_is_said_in_the_shops_units():
    bench = Bench()
    bench.member.shop = ShopFactory(units="inch")
    assert readings.said("temperature", 20.0, "inch") == "68\u00a0°F"


def test_the_air_at_a_cup_stands_in_its_entry():
    bench = Bench()
    bench.meet(humidity_percent=45.0)
    entry = LogEntry.objects.get(kind="mix")
    assert [row.kind for row in entry.readings.order_by("pk")] == ["temperature", "humidity"]


def test_many_readings_are_told_by_how_far_they_spread():
    entry = take(Bench(), "thickness", [1.95 + 0.01 * step for step in range(13)])
    assert entry.text == "thickness: 13 readings from 1.95\u00a0mm to 2.07\u00a0mm, 2.01\u00a0mm on average"
    assert entry.readings.count() == 13


def test_readings_of_one_act_are_taken_back_together():
    bench = Bench()
    entry = take(bench, "moisture", [8.2, 9.1])
    take_back.take_back(bench.member, entry, "Another bundle", key=key(), moment=moment(5))
    assert not Reading.objects.kept().exists()
