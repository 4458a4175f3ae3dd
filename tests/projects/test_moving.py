"""Clocks that follow the thermometer, against figures reckoned by hand."""

from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest

from projects import moving
from projects.fold import Happened
from projects.moving import Warmth

NOON = datetime(2026, 3, 10, 12, 0, tzinfo=UTC)


def after(minutes, temp_c, who="Tove"):
    return Warmth(NOON + timedelta(minutes=minutes), temp_c, who)


def entry(**clock):
    """An act at noon that starts one clock: four hours at 20 °C, its window closed after ten."""
    figures = {"law": "ten_degree", "temp_c": 20.0, **clock.pop("figures", {})}
    whole = {"kind": "recoat", "due_min": 240.0, "closes_min": 600.0, "figures": figures, **clock}
    return Happened("pour", NOON, "a", {"clocks": [whole]})


def followed(*warmths, **clock):
    return moving.clocks_of(entry(**clock), warmths)[0]


def minutes_of(moment):
    return (moment - NOON).total_seconds() / 60


def test_without_a_reading_a_clock_stays_as_it_was_set():
    clock, moves = followed()
    assert (minutes_of(clock.due_at), minutes_of(clock.closes_at), moves) == (240, 600, [])


@pytest.mark.parametrize(
    ("warmths", "due", "closes"),
    [
        # one of four hours is gone, the other three take half as long; likewise nine of ten
        ([after(60, 30)], 60 + 90, 60 + 270),
        # ten degrees colder: what is left takes twice as long
        ([after(60, 10)], 60 + 360, 60 + 1080),
        # five degrees warmer: 2 ** 0.5 times as fast, 180 / 1.414214 = 127.279
        ([after(60, 25)], 60 + 127.279, 60 + 381.838),
        # an hour at 20, an hour at 30 that counts for two, the last of four at 20
        ([after(60, 30), after(120, 20)], 180, 120 + 420),
        # as warm as before: nothing moves
        ([after(60, 20)], 240, 600),
        # read once it is open: its end alone moves, six hours at twice the pace
        ([after(240, 30)], 240, 240 + 180),
        # read after its end: nothing is left to move
        ([after(600, 30)], 240, 600),
    ],
)
def test_readings_move_a_clock_by_the_share_that_is_left(warmths, due, closes):
    clock, _ = followed(*warmths)
    assert minutes_of(clock.due_at) == pytest.approx(due, abs=0.01)
    assert minutes_of(clock.closes_at) == pytest.approx(closes, abs=0.01)


def test_the_early_ring_moves_with_its_clock():
    # 60 of 90 minutes are gone, the other 30 take 15
    clock, _ = followed(after(60, 30), kind="pot_life", early_min=90.0, due_min=120.0, closes_min=None)
    assert (minutes_of(clock.early_at), minutes_of(clock.due_at), clock.closes_at) == (75, 90, None)


def test_a_reading_before_the_act_says_nothing_about_its_clock():
    clock, moves = followed(after(-5, 35), after(0, 35))
    assert (minutes_of(clock.due_at), moves) == (240, [])


def test_in_whatever_order_readings_come_the_clock_is_the_same():
    warmths = [after(30, 26), after(95, 31), after(140, 17)]
    found = [followed(*order) for order in permutations(warmths)]
    assert all(each == found[0] for each in found)
    assert len(found[0][1]) == 3


def test_a_move_says_what_it_was_and_what_it_is_now():
    _, moves = followed(after(60, 30))
    assert [(minutes_of(move.was), minutes_of(move.now), move.temp_c, move.who) for move in moves] == [
        (240, 150, 30, "Tove")
    ]


def test_a_move_of_less_than_a_minute_is_not_told():
    assert followed(after(239, 21), closes_min=None)[1] == []


def test_once_a_window_is_open_a_move_tells_of_its_end():
    _, moves = followed(after(300, 30))
    assert [(minutes_of(move.was), minutes_of(move.now), move.closes) for move in moves] == [(600, 450, True)]


def test_a_clock_that_somebody_set_does_not_follow_the_thermometer():
    clock, moves = followed(after(60, 35), figures={"law": "wall"})
    assert (minutes_of(clock.due_at), moves) == (240, [])


def test_a_temperature_that_no_rule_reaches_moves_nothing():
    assert minutes_of(followed(after(60, 75))[0].due_at) == 240


def test_what_lies_under_a_pour_holds_it_back_and_follows_the_thermometer_too():
    # poured at 10:00 for 8 h at 20 °C, so out at 18:00; from 13:00 on at 30 °C the other five take 2:30
    below = {"started_at": (NOON - timedelta(hours=2)).isoformat(), "clock": {
        "kind": "demould", "due_min": 480.0, "figures": {"law": "ten_degree", "temp_c": 20.0},
    }}  # fmt: skip
    figures = {"below": [below]}
    still, _ = followed(kind="demould", due_min=60.0, closes_min=None, figures=figures)
    assert minutes_of(still.due_at) == 360
    warm, _ = followed(after(60, 30), kind="demould", due_min=60.0, closes_min=None, figures=figures)
    assert minutes_of(warm.due_at) == 60 + 150


def test_a_move_is_kept_and_read_again():
    move = followed(after(60, 30))[1][0]
    assert moving.read(moving.kept(move)) == move
