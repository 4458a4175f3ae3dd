from datetime import timedelta

import pytest

from materials import actions as shelf
from materials.models import Batch, Movement, Reading
from projects.actions import bench as acts
from projects.models import LogEntry, Project, Step, Timer
from tests.factories import AT, Bench, LotFactory, key, moment
from workshop.models import Event

pytestmark = pytest.mark.django_db

# the sheet of the tests: pot life 90 min for 100 g at 25 C; the shop is at 20 C, so that a cup lasts
# 2^((25 - 20)/10) = 2^0.5 = 1.41421356 times as long
POT_LIFE_MIN = 127.2792  # 90 * 1.41421356


def lines(lot):
    """The ledger of a lot: kind and grams, in the order written."""
    return [(line.kind, line.amount) for line in lot.movements.order_by("pk")]


# --- the parts meet ---


def test_a_cup_wants_the_b_that_goes_with_its_a():
    assert Bench().meet(a_g=314.5).target_b_g == 141.525  # 314.5 * 45 / 100


def test_a_cup_keeps_the_a_that_was_wanted_beside_the_a_that_was_weighed():
    batch = Bench().meet(a_g=314.5, wanted_a_g=313.5)
    assert (batch.target_a_g, batch.actual_a_g, batch.actual_b_g) == (313.5, 314.5, None)


def test_a_cup_lasts_as_the_sheet_says_carried_to_the_warmth_of_the_shop():
    assert Bench().meet(room_c=20).pot_life_min == pytest.approx(POT_LIFE_MIN, abs=1e-4)


def test_a_cup_says_where_its_pot_life_comes_from():
    bench = Bench()
    assert bench.meet().pot_life_source == (
        f"{bench.resin.name} sheet: 90 min for 100 g at 25 °C; ten-degree rule to 20 °C"
    )


def test_the_pot_life_clock_runs_from_the_moment_the_parts_met():
    timer = Bench().meet(minutes=7).timers.get()
    assert (timer.kind, timer.started_at) == (Timer.Kind.POT_LIFE, AT + timedelta(minutes=7))


def test_the_clock_of_a_cup_heavier_than_the_sheets_runs_for_half_its_time():
    timer = Bench().meet(a_g=69).timers.get()  # 69 g and 31.05 g of B: 100.05 g
    assert timer.due_at - timer.started_at == timedelta(seconds=3818)  # 63.6396 min
    assert timer.early_at is None
    assert timer.figures["heavier"] is True


def test_a_cup_no_heavier_than_the_sheets_rings_at_three_quarters():
    timer = Bench().meet(a_g=68).timers.get()  # 68 g and 30.6 g of B: 98.6 g
    assert timer.early_at - timer.started_at == timedelta(seconds=5728)  # 95.4594 min
    assert timer.due_at - timer.started_at == timedelta(seconds=7637)  # 127.2792 min
    assert timer.figures["heavier"] is False


def test_a_heavier_cup_is_marked_as_lasting_less():
    assert [Bench().meet(a_g=a_g).pot_life_heavier for a_g in (68, 69)] == [False, True]


def test_another_ratio_on_the_sheet_later_leaves_the_cup_as_it_was_mixed():
    bench = Bench()
    batch = bench.meet()
    shelf.change_resin(bench.member, bench.resin, {"parts_b": 50.0, "ratio_tolerance_percent": 9.0}, at=AT)
    batch = Batch.objects.get(pk=batch.pk)
    assert (batch.parts_a, batch.parts_b, batch.tolerance_percent, batch.target_b_g) == (100, 45, 2, 141.525)


def test_another_pot_life_on_the_sheet_later_leaves_the_cup_and_its_clock_as_they_were():
    bench = Bench()
    batch = bench.meet()
    due_at = batch.timers.get().due_at
    shelf.change_resin(bench.member, bench.resin, {"pot_minutes": 30.0, "pot_mass_g": 500.0}, at=AT)
    batch = Batch.objects.get(pk=batch.pk)
    assert batch.pot_life_min == pytest.approx(POT_LIFE_MIN, abs=1e-4)
    assert batch.pot_life_heavier
    assert batch.timers.get().due_at == due_at


def test_a_resin_by_volume_is_frozen_by_mass():
    batch = Bench(parts_a=2, parts_b=1, basis="volume").meet(a_g=200)
    # 2 : 1 by volume at 1.12 and 0.98 g/ml is 2 : 0.875 by mass
    assert (batch.parts_a, batch.parts_b, batch.target_b_g) == pytest.approx((2, 0.875, 87.5), abs=1e-9)


def test_the_air_at_the_cup_becomes_readings_of_the_shop():
    batch = Bench().meet(minutes=3, room_c=19.5, humidity_percent=54.0)
    found = (
        Reading.objects.filter(batch=batch).order_by("kind").values_list("kind", "value", "unit", "taken_at")
    )
    at = AT + timedelta(minutes=3)
    assert list(found) == [("humidity", 54.0, "%", at), ("temperature", 19.5, "°C", at)]


def test_without_a_humidity_only_the_warmth_is_a_reading():
    assert Reading.objects.get(batch=Bench().meet()).kind == "temperature"


def test_a_is_taken_from_its_bottle_when_the_parts_meet():
    bench = Bench()
    bench.meet(a_g=314.5)
    assert lines(bench.lot_a) == [("receive", 5000), ("use", -314.5)]


def test_b_stays_in_its_bottle_until_it_is_weighed():
    bench = Bench()
    bench.meet()
    assert lines(bench.lot_b) == [("receive", 5000)]


def test_the_line_in_the_ledger_names_its_act():
    bench, act = Bench(), key()
    bench.meet(act=act)
    assert bench.lot_a.movements.get(kind="use").act_key == act


def test_a_cup_takes_more_than_the_ledger_holds_since_it_has_happened():
    bench = Bench()
    few = LotFactory(shop=bench.shop, resin=bench.resin, part="A", grams=100)
    bench.meet(a_g=314.5, lot_a=few)
    assert few.on_hand == -214.5
    assert few.short == 214.5


def test_cups_are_numbered_in_their_step():
    bench = Bench()
    assert [bench.meet(minutes=minutes).cup for minutes in (0, 20)] == [1, 2]


def test_a_mixed_cup_puts_step_and_project_under_way():
    bench = Bench()
    bench.meet(minutes=4)
    step = Step.objects.get(pk=bench.step.pk)
    assert (step.state, step.started_at) == (Step.State.UNDER_WAY, AT + timedelta(minutes=4))
    assert Project.objects.get(pk=bench.project.pk).state == Project.State.UNDER_WAY


def test_the_log_says_that_the_parts_met():
    bench = Bench()
    batch = bench.meet()
    entry = LogEntry.objects.get(batch=batch)
    assert (entry.kind, entry.project, entry.member) == (LogEntry.Kind.MIX, bench.project, bench.member)
    assert entry.text == f"Cup 1 of {bench.resin.name}: 314.5\u00a0g of A, then B went in"


def test_a_shop_of_inches_reads_ounces_in_its_log():
    bench = Bench()
    bench.shop.units = "inch"
    assert "11.094\u00a0oz of A" in LogEntry.objects.get(batch=bench.meet()).text  # 314.5 / 28.3495


# --- weighing ---


def test_b_is_taken_from_its_bottle_when_it_is_weighed():
    bench = Bench()
    bench.weigh_b(bench.meet(), grams=142)
    assert lines(bench.lot_b) == [("receive", 5000), ("use", -142)]


def test_b_weighed_again_is_taken_back_by_a_second_line():
    bench = Bench()
    batch = bench.meet()
    bench.weigh_b(batch, grams=142)
    bench.weigh_b(batch, grams=140.5, minutes=3)
    assert lines(bench.lot_b) == [("receive", 5000), ("use", -142), ("reverse", 142), ("use", -140.5)]
    assert bench.lot_b.on_hand == 4859.5


def test_the_line_that_takes_back_names_the_one_it_takes_back():
    bench = Bench()
    batch = bench.meet()
    bench.weigh_b(batch, grams=142)
    first = bench.lot_b.movements.get(kind="use")
    bench.weigh_b(batch, grams=140.5, minutes=3)
    assert bench.lot_b.movements.get(kind="reverse").reverses == first


def test_b_weighed_a_third_time_leaves_the_ledger_right():
    bench = Bench()
    batch = bench.meet()
    for minutes, grams in enumerate((142, 140.5, 141), 2):
        bench.weigh_b(batch, grams=grams, minutes=minutes)
    assert bench.lot_b.on_hand == 5000 - 141
    assert Batch.objects.get(pk=batch.pk).actual_b_g == 141


def test_weighing_b_leaves_the_bottle_of_a_alone():
    bench = Bench()
    bench.weigh_b(bench.meet(a_g=314.5))
    assert lines(bench.lot_a) == [("receive", 5000), ("use", -314.5)]


def test_weighing_one_cup_again_leaves_the_draw_of_another_alone():
    bench = Bench()
    first, second = bench.meet(), bench.meet(minutes=1)
    bench.weigh_b(first, grams=142)
    bench.weigh_b(second, grams=141)
    bench.weigh_b(first, grams=140)
    assert bench.lot_b.on_hand == 5000 - 140 - 141


def test_a_changed_a_is_set_right_in_the_ledger():
    bench = Bench()
    batch = bench.meet(a_g=314.5)
    acts.weigh(bench.member, bench.step, batch, "A", 312.0, key=key(), moment=moment(1))
    assert lines(bench.lot_a) == [("receive", 5000), ("use", -314.5), ("reverse", 314.5), ("use", -312)]


def test_a_changed_a_leaves_the_clock_that_was_said():
    bench = Bench()
    batch = bench.meet(a_g=314.5)
    before = batch.timers.get()
    acts.weigh(bench.member, bench.step, batch, "A", 30.0, key=key(), moment=moment(1))
    after = batch.timers.get()
    assert (after.early_at, after.due_at) == (before.early_at, before.due_at)
    assert Batch.objects.get(pk=batch.pk).pot_life_heavier


def test_a_weighing_keeps_in_history_what_was_there_before():
    bench = Bench()
    batch = bench.meet()
    bench.weigh_b(batch, grams=142)
    bench.weigh_b(batch, grams=140.5)
    event = Event.objects.filter(target_key=batch.key, verb="weighed").order_by("pk").last()
    assert (event.before, event.after) == ({"actual_b_g": 142}, {"actual_b_g": 140.5})


def test_the_log_says_how_far_the_ratio_is_off():
    bench = Bench()
    batch = bench.weigh_b(bench.meet(a_g=314.5), grams=142)
    entry = LogEntry.objects.get(batch=batch, kind=LogEntry.Kind.WEIGH)
    # 142 / 314.5 = 0.451510; over 0.45 that is 1.003356
    assert entry.text == "Cup 1: 142\u00a0g of B weighed; 100 : 45.2, B is +0.3 % off"


def test_a_hair_too_little_is_not_called_minus_nothing():
    bench = Bench()
    bench.weigh_b(bench.meet(a_g=314.5), grams=141.5)  # 0.017 % short
    assert "B is +0.0 % off" in LogEntry.objects.get(kind=LogEntry.Kind.WEIGH).text


def test_an_a_weighed_before_b_says_no_ratio():
    bench = Bench()
    batch = bench.meet()
    acts.weigh(bench.member, bench.step, batch, "A", 312.0, key=key(), moment=moment(1))
    assert LogEntry.objects.get(kind=LogEntry.Kind.WEIGH).text == "Cup 1: 312\u00a0g of A weighed"


def test_a_cup_without_a_bottle_is_weighed_all_the_same():
    bench = Bench()
    batch = bench.meet()
    Batch.objects.filter(pk=batch.pk).update(lot_b=None)
    bench.weigh_b(batch, grams=142)
    assert Batch.objects.get(pk=batch.pk).actual_b_g == 142
    assert not Movement.objects.filter(lot=bench.lot_b, kind="use").exists()
