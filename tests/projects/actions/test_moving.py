"""Readings move the clocks that run, and each leaves its trace."""

from datetime import timedelta
from itertools import permutations

import pytest

from projects.actions import bench as acts
from projects.actions import readings, take_back
from projects.models import LogEntry, Timer
from tests.factories import AT, Bench, BlockFactory, MemberFactory, StepFactory, key, moment

pytestmark = pytest.mark.django_db


def read(bench, minutes, temp_c, member=None, **where):
    values = {"kind": "temperature", "value": temp_c, "text": ""}
    return readings.take_reading(member or bench.member, values, key=key(), moment=moment(minutes), **where)


def poured(room_c=25.0, **resin):
    """A pour ten minutes after the morning, at the warmth for which its sheet gives 4 h, 14 h and 24 h."""
    bench = Bench(**resin)
    bench.weigh_b(bench.meet(room_c=room_c))
    bench.pour(minutes=10)
    return bench


def clock(kind="recoat"):
    return Timer.objects.get(kind=kind)


def hours(moment_, since=AT + timedelta(minutes=10)):
    return (moment_ - since).total_seconds() / 3600


def test_a_warmer_shop_brings_the_window_forward():
    bench = poured()
    read(bench, 70, 35.0)  # an hour in: three more become one and a half, thirteen six and a half
    recoat = clock()
    assert (hours(recoat.due_at), hours(recoat.closes_at)) == (2.5, 7.5)
    assert hours(clock("demould").due_at) == 1 + 11.5


def test_a_reading_leaves_a_trace_with_its_name():
    bench = poured()
    read(bench, 70, 35.0, MemberFactory(shop=bench.shop, name="Tove"))
    (move,) = clock().figures["moves"]
    assert (move["temp_c"], move["who"]) == (35.0, "Tove")
    assert move["was"] == (AT + timedelta(minutes=250)).isoformat()
    assert move["now"] == (AT + timedelta(minutes=160)).isoformat()


def test_the_next_cup_in_the_project_is_a_reading_too():
    bench = poured()
    bench.meet(minutes=70, room_c=35.0)
    assert hours(clock().due_at) == 2.5


def test_a_reading_in_another_project_says_nothing_about_this_one():
    bench = poured()
    other = BlockFactory(shop=bench.shop)
    read(bench, 70, 35.0, step=StepFactory(shop=bench.shop, block=other))
    assert hours(clock().due_at) == 4


def test_a_reading_of_another_shop_moves_nothing():
    poured()
    read(Bench(), 70, 35.0)
    assert hours(clock().due_at) == 4


def test_a_reading_of_something_else_moves_nothing():
    bench = poured()
    values = {"kind": "block", "value": 41.0, "text": ""}
    readings.take_reading(bench.member, values, key=key(), moment=moment(70), step=bench.step)
    assert hours(clock().due_at) == 4


@pytest.mark.parametrize("order", list(permutations([0, 1, 2])))
def test_readings_give_the_same_clocks_in_whatever_order_they_arrive(order):
    bench, taken = poured(), [(70, 31.0), (130, 18.5), (200, 27.0)]
    for number in order:
        read(bench, *taken[number])
    # 1 h at 25, 1 h at 31 (1.5157), 70 min at 18.5 (0.6373 an hour), the rest of four at 27 (1.1487)
    used = 1 + 2**0.6 + 70 / 60 * 2**-0.65
    assert hours(clock().due_at) == pytest.approx(2 + 70 / 60 + (4 - used) / 2**0.2, abs=0.001)
    assert [move["temp_c"] for move in clock().figures["moves"]] == [31.0, 18.5, 27.0]


def test_an_act_that_arrives_late_counts_what_was_read_since():
    bench = Bench()
    read(bench, 70, 35.0)
    bench.weigh_b(bench.meet(room_c=25.0))
    bench.pour(minutes=10)
    assert hours(clock().due_at) == 2.5


def test_a_clock_that_was_answered_counts_no_reading_after_it():
    bench = poured()
    acts.settle(bench.member, clock(), "none is wanted", key=key(), moment=moment(60))
    read(bench, 70, 35.0)
    assert hours(clock().due_at) == 4


def test_an_answer_that_arrives_after_a_later_reading_gives_the_same_clock():
    bench = poured()
    read(bench, 70, 35.0)
    acts.settle(bench.member, clock(), "none is wanted", key=key(), moment=moment(60))
    assert (hours(clock().due_at), clock().figures.get("moves")) == (4, None)


def test_a_reading_that_is_taken_back_moves_the_clock_back():
    bench = poured()
    entry = read(bench, 70, 35.0)
    take_back.take_back(bench.member, entry, "wrong digit", key=key(), moment=moment(75))
    assert (hours(clock().due_at), clock().figures.get("moves")) == (4, None)


def test_a_second_reading_does_not_touch_rows_that_stay_as_they_are(django_assert_max_num_queries):
    bench = poured()
    read(bench, 70, 25.0)
    with django_assert_max_num_queries(12):
        read(bench, 80, 25.0)


def test_a_clock_without_a_law_stays_as_it_was_set():
    bench = Bench()
    LogEntry.objects.all().delete()
    from projects.actions import free_clock

    timer = free_clock.set_clock(bench.member, name="kettle", minutes=10, key=key(), moment=moment())
    read(bench, 5, 40.0)
    timer.refresh_from_db()
    assert timer.due_at == AT + timedelta(minutes=10)


def test_a_sheet_that_names_full_cure_starts_a_clock_for_it():
    poured(full_cure_h=168)
    assert hours(clock("full_cure").due_at) == 168


def test_a_clock_that_tells_only_leaves_half_a_day_after_it_rang():
    poured(full_cure_h=20)
    rang = clock("full_cure").due_at
    shown = {
        wait: clock("full_cure") in Timer.objects.shown(rang + timedelta(hours=wait)) for wait in (1, 13)
    }
    assert shown == {1: True, 13: False}
    assert clock("demould") in Timer.objects.shown(rang + timedelta(days=9))
