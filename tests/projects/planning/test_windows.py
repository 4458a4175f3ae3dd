import random
import re
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from materials.science.climate import Climate
from materials.science.errors import OutOfRange
from projects.planning.calendar import Calendar, opening_sessions
from projects.planning.curing import CureCurve
from projects.planning.lifts import ranked_starts
from projects.planning.network import Link
from projects.planning.windows import Lift, advise_pour, cure_window, safer
from tests.projects.planning.shops import BERLIN, TUESDAY, USUAL, instance, task, week

ZONE = ZoneInfo(BERLIN)
LIFTS = [Lift(45, 4, 14)] * 4


def wall(moment):
    return moment.astimezone(ZONE).strftime("%a %H:%M")


def sessions(opens=8, closes=18, days=21):
    return opening_sessions(BERLIN, week(opens, closes), {}, date(2026, 3, 3), days)


def four_o_clock(**changes):
    values = {"open_h": 4, "close_h": 14, "sheet_c": 20, "climate": USUAL, "sessions": sessions()} | changes
    return cure_window(TUESDAY + timedelta(hours=9, minutes=45), **values)


# worked out by hand: 19 °C from 7 to 19 h and 15 °C by night, poured at 16:00 for 45 minutes on 3 March 2026
def test_a_pour_at_four_in_the_afternoon_opens_at_a_quarter_to_ten_at_night():
    assert wall(four_o_clock().opens) == "Tue 21:45"


def test_it_closes_in_the_morning_at_twenty_five_to_eleven():
    assert wall(four_o_clock().closes) == "Wed 10:35"


def test_its_exact_closing_is_rounded_to_the_safe_side():
    shop = Calendar([])
    end = TUESDAY + timedelta(hours=9, minutes=45)
    found = CureCurve(USUAL, TUESDAY, TUESDAY + timedelta(days=3)).ready(shop.position(end), 14)
    assert f"{shop.moment(found).astimezone(ZONE):%a %H:%M}" == "Wed 10:39"


def test_one_is_in_the_shop_for_it_from_eight_to_half_past_ten():
    assert [(wall(a), wall(b)) for a, b in four_o_clock().overlaps] == [("Wed 08:00", "Wed 10:30")]


def test_a_window_while_the_shop_is_shut_overlaps_nothing():
    assert four_o_clock(close_h=10).overlaps == ()


def test_a_window_may_overlap_two_sessions():
    halves = opening_sessions(
        BERLIN, {2: [(time(8), time(9)), (time(9, 30), time(12))]}, {}, date(2026, 3, 3), 3
    )
    assert len(four_o_clock(sessions=halves).overlaps) == 2


def test_a_warmer_shop_opens_and_closes_a_window_earlier():
    warm = four_o_clock(climate=replace(USUAL, night_c=19))
    assert warm.opens < four_o_clock().opens
    assert warm.closes < four_o_clock().closes


def test_arrhenius_closes_it_later_than_the_rule_on_a_cold_night():
    assert four_o_clock(law="arrhenius").closes > four_o_clock().closes - timedelta(minutes=10)


def test_a_window_that_closes_before_it_opens_is_refused():
    with pytest.raises(ValueError, match="can't close at 3 h and open at 4 h"):
        four_o_clock(close_h=3)


def test_a_window_over_the_change_to_summer_counts_real_hours():
    end = datetime(2026, 3, 28, 19, tzinfo=ZONE)
    found = cure_window(end, 11, 24, 20, Climate(20, 20, time(7), time(19), BERLIN), [])
    assert wall(found.opens) == "Sun 07:00"


# worked out with the recursion by hand for the last two lifts, and by enumeration
@pytest.mark.parametrize(
    ("minutes", "safety", "starts", "margin"),
    [
        (15, (1, 1), ["Tue 10:00", "Tue 15:15", "Wed 08:00", "Wed 13:15"], 105),
        (5, (1.25, 0.9), ["Tue 09:05", "Tue 15:15", "Wed 08:00", "Wed 14:10"], 20),
    ],
    ids=["nominal", "safe"],
)
def test_the_best_start_of_four_lifts_in_an_eight_hour_day(minutes, safety, starts, margin):
    best = ranked_starts(LIFTS, TUESDAY, 3, Calendar(sessions(closes=16), minutes), USUAL, safety)[0]
    assert [wall(at) for at in best.starts] == starts
    assert best.margin_minutes == margin


def test_the_advice_is_on_the_safe_side_by_default():
    best = advise_pour(LIFTS, TUESDAY, 14, sessions(closes=16), USUAL)[0]
    assert [wall(at) for at in best.starts] == ["Tue 09:05", "Tue 15:15", "Wed 08:00", "Wed 14:10"]


def test_starts_are_ranked_by_their_end_and_then_by_their_margin():
    found = list(advise_pour(LIFTS, TUESDAY, 14, sessions(closes=16), USUAL))
    assert found == sorted(found, key=lambda way: (way.finish, -way.margin_minutes, way.starts[0]))


def test_a_start_is_never_before_now():
    now = TUESDAY + timedelta(hours=5)
    assert min(way.starts[0] for way in advise_pour(LIFTS[:2], now, 5, sessions(), USUAL)) >= now


def test_a_single_lift_may_start_whenever_it_fits_and_has_no_margin():
    found = advise_pour(LIFTS[:1], TUESDAY, 0, sessions(), USUAL)
    assert not found
    (first, *_) = advise_pour(LIFTS[:1], TUESDAY, 1, sessions(), USUAL)
    assert (wall(first.starts[0]), first.margin_minutes) == ("Tue 08:00", None)


def test_ways_are_told_by_slice_as_well_as_one_by_one():
    found = advise_pour(LIFTS, TUESDAY, 14, sessions(closes=16), USUAL)
    assert found[:2] == [found[0], found[1]]


def test_more_lifts_than_anyone_pours_are_refused():
    with pytest.raises(OutOfRange, match="lifts is 21 lifts"):
        advise_pour(LIFTS[:1] * 21, TUESDAY, 3, sessions(), USUAL)


def chains(count):
    """Random pours, each with its shop: lifts, calendar, climate, safety."""
    for seed in range(count):
        chance = random.Random(seed)
        lifts = []
        for _ in range(chance.randint(2, 4)):
            opens = chance.uniform(2, 7)
            lifts.append(Lift(chance.choice([25, 30, 45, 50]), opens, opens + chance.uniform(2, 14)))
        opens, closes = chance.randint(6, 10), chance.randint(14, 21)
        hours = {day: [(time(opens), time(closes))] for day in range(7)}
        shop = Calendar(opening_sessions(BERLIN, hours, {}, date(2026, 3, 3), 9), 15)
        readings = tuple(
            (TUESDAY + timedelta(hours=chance.randint(0, 100)), chance.uniform(12, 28)) for _ in range(6)
        )
        climate = Climate(chance.uniform(16, 26), chance.uniform(10, 20), time(7), time(19), BERLIN, readings)
        yield lifts, shop, climate, chance.choice([(1, 1), (1.25, 0.9)])


def led_through(lifts, shop, climate, safety, start):
    """Every way on from a start, looked at one by one: does any lead through all lifts?"""
    slots = -(-lifts[0].minutes // shop.minutes)
    if not any(a <= start and start + slots <= b for a, b in zip(shop.opens, shop.closes, strict=True)):
        return False
    if len(lifts) == 1:
        return True
    lift = lifts[0]
    first = shop.moment(start) - timedelta(days=3)
    curve = CureCurve(climate, first, first + timedelta(days=60), lift.sheet_c, minutes=shop.minutes)
    real_end = start + lift.minutes / shop.minutes
    opens = int(np.ceil(curve.ready(start + slots, lift.open_h * safety[0]) - 1e-6))
    closes = int(np.floor(curve.ready(real_end, lift.close_h * safety[1]) + 1e-6))
    return any(led_through(lifts[1:], shop, climate, safety, at) for at in range(opens, closes + 1))


@pytest.mark.parametrize("case", range(20))
def test_the_advice_is_what_trying_every_start_finds(case):
    lifts, shop, climate, safety = list(chains(20))[case]
    found = ranked_starts(lifts, TUESDAY, 1, shop, climate, safety)
    first = shop.slot_up(TUESDAY)
    tried = [s for s in range(first, first + 97) if led_through(lifts, shop, climate, safety, s)]
    assert sorted(shop.slot_up(way.starts[0]) for way in found) == tried


@pytest.mark.slow
@pytest.mark.parametrize("case", range(60))
def test_the_advice_is_what_trying_every_start_of_four_days_finds(case):
    lifts, shop, climate, safety = list(chains(60))[case]
    found = ranked_starts(lifts, TUESDAY, 4, shop, climate, safety)
    first = shop.slot_up(TUESDAY)
    tried = [s for s in range(first, first + 385) if led_through(lifts, shop, climate, safety, s)]
    assert sorted(shop.slot_up(way.starts[0]) for way in found) == tried


# a window of 3.5 to 10 h with a night of 14 h: no start leads through four lifts
TIGHT = [Lift(45, 3.5, 10)] * 4


def test_where_no_start_leads_through_the_advice_counts_as_false():
    assert not advise_pour(TIGHT, TUESDAY, 14, sessions(), USUAL)


def test_it_says_which_lift_is_missed_and_when():
    none = advise_pour(TIGHT, TUESDAY, 14, sessions(), USUAL)
    told = (
        r"Pour 3 can't follow pour 2: poured Tue 17:15, its window is open Tue .* to Wed 06:20, .* Wed 08:00"
    )
    assert re.match(told, none.why)
    assert none.lift == 3


def test_every_remedy_that_it_names_gives_a_start():
    helps = " / ".join(advise_pour(TIGHT, TUESDAY, 14, sessions(), USUAL).helps)
    cooler, slower = re.search(r"(\d) °C cooler", helps), re.search(r"resin ([\d.]+) times", helps)
    longer = re.search(r"(\d) h longer on Tue 03 Mar", helps)
    cold = replace(USUAL, day_c=19 - int(cooler[1]), night_c=15 - int(cooler[1]))
    assert advise_pour(TIGHT, TUESDAY, 14, sessions(), cold)
    factor = float(slower[1])
    slow = [replace(lift, open_h=3.5 * factor, close_h=10 * factor) for lift in TIGHT]
    assert advise_pour(slow, TUESDAY, 14, sessions(), USUAL)
    (opened, close), *rest = sessions()
    evening = [(opened, close + timedelta(hours=int(longer[1]))), *rest]
    assert advise_pour(TIGHT, TUESDAY, 14, evening, USUAL)


def test_without_openings_it_says_that_none_is_long_enough():
    none = advise_pour(LIFTS, TUESDAY, 3, [], USUAL)
    assert none.why == "In the next 3 days no opening is long enough to pour for 45 minutes."
    assert (none.lift, none.helps) == (1, ())


def test_a_pour_longer_than_the_shop_is_open_says_so():
    assert advise_pour([Lift(650, 4, 14)], TUESDAY, 3, sessions(), USUAL).lift == 1


def test_a_safer_instance_opens_later_and_closes_earlier():
    link = Link("a", "b", 240, 600, hard=True)
    (found,) = safer(instance([task("a"), task("b")], [link])).links
    assert (found.open_minutes, found.close_minutes, found.hard) == (300, 540, True)


def test_a_window_that_a_reserve_would_close_stays_as_it_is():
    link = Link("a", "b", 240, 270)
    assert safer(instance([task("a"), task("b")], [link])).links == (link,)


def test_a_link_without_a_window_needs_no_reserve():
    link = Link("a", "b", 240)
    assert safer(instance([task("a"), task("b")], [link])).links == (link,)
