from datetime import date

import pytest

from materials import actions as shelf
from materials.models import Lot
from projects.actions import failures as acts
from projects.models import Failure, LogEntry
from tests.factories import AT, Bench, MovementFactory, StepFactory, key, moment
from tests.projects.pages import photo
from workshop import pictures
from workshop.models import Event

pytestmark = pytest.mark.django_db


def record(bench, pour=None, picture=None, **typed):
    values = {
        "kind": "soft",
        "where": "Along one edge",
        "severity": "repair",
        "pour": pour,
        "done": "",
        **typed,
    }
    return acts.record_failure(
        bench.member, bench.project, values, key=key(), moment=moment(3000), picture=picture
    )


def a_pour(bench):
    """One cup of 314.5 g of A at 20 C, B weighed 142 g, poured ten minutes after the parts met."""
    Lot.objects.filter(pk=bench.lot_a.pk).update(use_by=date(2026, 2, 1))
    bench.weigh_b(bench.meet(humidity_percent=61.0), grams=142)
    return bench.pour(minutes=10, depth_mm=13)


def test_a_failure_keeps_what_was_said_of_it():
    failure = record(Bench(), where="Along one edge", done="Scraped and poured again")
    assert (failure.kind, failure.severity) == (Failure.Kind.SOFT, Failure.Severity.REPAIR)
    assert (failure.where, failure.done) == ("Along one edge", "Scraped and poured again")
    assert failure.noticed_at == moment(3000).happened_at


def test_a_failure_is_an_entry_of_the_log():
    entry = record(Bench()).entry
    assert (entry.kind, entry.text) == (LogEntry.Kind.FAILURE, "tacky or soft: Along one edge")


def test_a_failure_of_a_pour_is_an_entry_of_its_step():
    bench = Bench()
    assert record(bench, a_pour(bench)).entry.step == bench.step


def test_a_failure_without_a_pour_gathers_nothing():
    assert record(Bench()).gathered == {}


def test_a_failure_gathers_the_facts_of_its_pour():
    bench = Bench()
    gathered = record(bench, a_pour(bench)).gathered
    assert (gathered["lift"], gathered["block"], gathered["depth_mm"]) == (1, "Block A", 13)
    assert gathered["sheet_depth_mm"] == 25
    assert gathered["poured_at"] == "2026-03-10T09:10:00+00:00"


def test_a_failure_gathers_the_masses_and_bottles_of_its_cup():
    bench = Bench()
    cup = record(bench, a_pour(bench)).gathered["cups"][0]
    assert (cup["cup"], cup["resin"], cup["a_g"], cup["b_g"]) == (1, bench.resin.name, 314.5, 142)
    assert (cup["lot_a"], cup["lot_b"]) == (bench.lot_a.code, bench.lot_b.code)
    assert (cup["use_by_a"], cup["use_by_b"]) == ("2026-02-01", None)


def test_a_failure_gathers_ratio_air_and_times_of_its_cup():
    bench = Bench()
    cup = record(bench, a_pour(bench)).gathered["cups"][0]
    # 142 / 314.5 over 45 / 100 is 1.003356
    assert (cup["ratio_off_percent"], cup["ratio_level"]) == (pytest.approx(0.3356, abs=1e-4), "clear")
    assert (cup["room_c"], cup["humidity_percent"], cup["minutes_to_pour"]) == (20, 61, 10)
    assert cup["pot_life_min"] == pytest.approx(127.2792, abs=1e-4)  # 90 * 2^0.5
    assert cup["pot_life_heavier"] is True


def test_a_cup_whose_b_was_not_weighed_says_so():
    bench = Bench()
    bench.meet()
    cup = record(bench, bench.pour()).gathered["cups"][0]
    assert (cup["b_g"], cup["ratio_off_percent"], cup["ratio_level"]) == (None, None, "")


def test_all_cups_of_a_pour_are_gathered_in_order():
    bench = Bench()
    bench.meet()
    bench.meet(minutes=1, a_g=100)
    cups = record(bench, bench.pour()).gathered["cups"]
    assert [(cup["cup"], cup["a_g"]) for cup in cups] == [(1, 314.5), (2, 100)]


def test_another_weighing_later_leaves_the_gathered_facts_alone():
    bench = Bench()
    failure = record(bench, a_pour(bench))
    before = failure.gathered
    bench.weigh_b(failure.pour.batches.get(), grams=190, minutes=4000)
    assert Failure.objects.get(pk=failure.pk).gathered == before


def test_another_bottle_and_sheet_later_leave_the_gathered_facts_alone():
    bench = Bench()
    failure = record(bench, a_pour(bench))
    before = failure.gathered
    Lot.objects.filter(pk=bench.lot_a.pk).update(code="T-999", use_by=date(2030, 1, 1))
    shelf.change_resin(bench.member, bench.resin, {"name": "Tarn 91", "max_depth_mm": 60.0}, at=AT)
    MovementFactory(shop=bench.shop, lot=bench.lot_a, kind="waste", thousandths=-1000)
    assert Failure.objects.get(pk=failure.pk).gathered == before


def test_a_photo_stands_in_the_entry_with_what_it_shows():
    bench = Bench()
    picture = pictures.take_in(photo(), bench.member, at=AT)
    shown = record(bench, picture=picture).entry.entry_pictures.get()
    assert (shown.picture, shown.caption) == (picture, "Along one edge")


def test_a_long_description_fits_below_its_photo():
    bench = Bench()
    picture = pictures.take_in(photo(), bench.member, at=AT)
    failure = record(bench, picture=picture, where="x" * 300)
    assert failure.where == "x" * 300
    failure.entry.entry_pictures.get().clean_fields()


def test_a_removed_failure_is_kept_with_its_history():
    bench = Bench()
    failure = record(bench)
    acts.remove_failure(bench.member, failure, at=AT, removed=True)
    assert Failure.objects.get(pk=failure.pk).removed_at == AT
    assert not Failure.objects.kept().exists()
    assert [event.verb for event in Event.objects.filter(target_key=failure.key).order_by("pk")] == [
        "recorded",
        "removed",
    ]


def test_a_removed_failure_can_be_brought_back():
    bench = Bench()
    failure = record(bench)
    acts.remove_failure(bench.member, failure, at=AT, removed=True)
    acts.remove_failure(bench.member, failure, at=AT, removed=False)
    assert Failure.objects.kept().get() == failure


def test_a_failure_removed_twice_writes_history_once():
    bench = Bench()
    failure = record(bench)
    stale = Failure.objects.get(pk=failure.pk)
    acts.remove_failure(bench.member, failure, at=AT, removed=True)
    acts.remove_failure(bench.member, stale, at=AT, removed=True)
    assert Event.objects.filter(target_key=failure.key, verb="removed").count() == 1


# --- at a step, and said better ---


def test_a_failure_without_a_pour_can_be_one_of_a_step():
    bench = Bench()
    assert record(bench, step=bench.step).entry.step == bench.step


def test_the_step_of_its_pour_overrules_another():
    bench = Bench()
    other = StepFactory(shop=bench.shop, block=bench.block, kind="sand")
    assert record(bench, a_pour(bench), step=other).entry.step == bench.step


def test_a_failure_gathers_the_limits_of_its_sheet_beside_the_facts():
    bench = Bench(min_c=15, max_c=30, max_humidity_percent=65)
    gathered = record(bench, a_pour(bench)).gathered
    cup = gathered["cups"][0]
    assert gathered["allowed_mm"] == pytest.approx(50, abs=1)  # 25 mm neat, about half of the stack is resin
    assert (cup["sheet_min_c"], cup["sheet_max_c"], cup["sheet_max_humidity_percent"]) == (15, 30, 65)
    assert cup["tolerance_percent"] == 2


def change(bench, failure, picture=None, **typed):
    values = {
        "kind": "soft",
        "where": "Along one edge",
        "severity": "repair",
        "pour": failure.pour,
        "done": "",
    }
    return acts.change_failure(bench.member, failure, {**values, **typed}, at=AT, picture=picture)


def test_a_failure_can_be_said_better_later():
    bench = Bench()
    failure = change(
        bench, record(bench), kind="haze", where="In the middle", severity="lost", done="Scrapped"
    )
    failure.refresh_from_db()
    assert (failure.kind, failure.where, failure.severity) == ("haze", "In the middle", "lost")
    assert failure.done == "Scrapped"


def test_the_log_says_a_changed_failure_as_it_is_now():
    bench = Bench()
    entry = change(bench, record(bench), kind="haze", where="In the Middle", step=bench.step).entry
    entry.refresh_from_db()
    assert (entry.text, entry.search) == ("milky or hazy: In the Middle", "milky or hazy: in the middle")
    assert (entry.step, entry.detail) == (bench.step, {"kind": "haze", "severity": "repair"})


def test_history_keeps_what_a_changed_failure_was():
    bench = Bench()
    failure = change(bench, record(bench), where="In the middle")
    event = Event.objects.get(target_key=failure.key, verb="changed")
    assert (event.before, event.after) == ({"where": "Along one edge"}, {"where": "In the middle"})


def test_a_failure_kept_as_it_was_writes_no_history():
    bench = Bench()
    failure = change(bench, record(bench))
    assert not Event.objects.filter(target_key=failure.key, verb="changed").exists()


def test_a_failure_given_its_pour_later_gathers_the_facts_then():
    bench = Bench()
    failure = change(bench, record(bench), pour=a_pour(bench))
    failure.refresh_from_db()
    assert failure.gathered["cups"][0]["a_g"] == 314.5
    assert change(bench, failure, pour=None).gathered == {}


def test_a_changed_failure_of_the_same_pour_keeps_what_was_gathered():
    bench = Bench()
    failure = record(bench, a_pour(bench))
    bench.weigh_b(failure.pour.batches.get(), grams=190, minutes=4000)
    assert change(bench, failure, where="All over").gathered == failure.gathered


def test_more_photos_stand_after_the_first():
    bench = Bench()
    first, second = (pictures.take_in(photo(size=(64, high)), bench.member, at=AT) for high in (40, 48))
    failure = change(bench, record(bench, picture=first), picture=second, where="From the side")
    shown = failure.entry.entry_pictures.all()
    assert [(item.picture, item.caption) for item in shown] == [
        (first, "Along one edge"),
        (second, "From the side"),
    ]


def test_history_tells_a_changed_kind_in_words():
    bench = Bench()
    failure = change(bench, record(bench), kind="haze", severity="lost")
    event = Event.objects.get(target_key=failure.key, verb="changed")
    assert event.before == {"kind": "tacky or soft", "severity": "wants repair"}
    assert event.after == {"kind": "milky or hazy", "severity": "the block is lost"}
