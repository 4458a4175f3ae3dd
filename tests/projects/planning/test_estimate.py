from dataclasses import replace
from datetime import timedelta
from math import sqrt

import numpy as np
import pytest

from materials.science.errors import OutOfRange
from projects.planning.estimate import finish_range, learned, own_spread
from projects.planning.network import Cure, Link
from projects.planning.solver import make_plan
from tests.projects.planning.shops import (
    TUESDAY,
    USUAL,
    always,
    calendar,
    instance,
    lamp,
    network,
    shop,
    task,
)

HOUR = timedelta(hours=1)


def ranges(case, **changes):
    return finish_range(case, make_plan(case), **changes)


def chain(count, spread=(0.8, 1, 1.5), **changes):
    steps = [task(f"s{number:02d}", 60, spread=spread) for number in range(count)]
    links = [Link(a.id, b.id) for a, b in zip(steps[:-1], steps[1:], strict=True)]
    return instance(steps, links, **({"calendar": always()} | changes))


def test_without_chance_the_range_is_the_plan():
    case = chain(5, spread=(1, 1, 1))
    assert ranges(case).projects["lamp"] == (make_plan(case).ends["s04"],) * 3


def test_ten_fifty_and_ninety_are_in_order():
    low, middle, high = ranges(chain(5)).projects["lamp"]
    assert low < middle < high


def test_the_mean_of_a_chain_is_the_sum_of_its_triangles():
    # mean (0.8 + 1 + 1.5)/3 = 1.1 h a step, variance (a² + b² + c² − ab − ac − bc)/18 = 0.02167 h²
    low, middle, high = ranges(chain(25), samples=20_000).projects["lamp"]
    assert (middle - TUESDAY) / HOUR == pytest.approx(27.5, abs=0.05)
    assert (high - low) / HOUR == pytest.approx(2 * 1.2816 * sqrt(25 * 0.021667), rel=0.03)


def test_the_same_seed_gives_the_same_range_and_another_one_another():
    case = shop(2, seed=3)
    assert ranges(case, seed=4) == ranges(case, seed=4)
    assert ranges(case, samples=200, seed=4) != ranges(case, samples=200, seed=5)


def test_work_never_ends_while_the_shop_is_shut():
    case = chain(12, calendar=calendar())
    for at in ranges(case).projects["lamp"]:
        assert any(opened <= at <= close for opened, close in case.calendar.sessions)


def test_what_is_over_has_no_chance_in_it():
    over = task("a", 50, fixed_start=TUESDAY - HOUR)
    assert TUESDAY - timedelta(minutes=10) == ranges(instance([over])).projects["lamp"].P90


def test_what_goes_by_itself_takes_its_time():
    case = instance([task("rest", 600, kind="passive")])
    assert ranges(case).projects["lamp"].P10 == TUESDAY + 10 * HOUR


def test_one_person_delays_whoever_comes_second():
    both = [task("a", 60, project="one"), task("b", 60, project="two")]
    case = instance(both, calendar=always(), due={"one": TUESDAY})
    found = ranges(case).projects
    assert found["two"].P50 - found["one"].P50 > 0.9 * HOUR
    apart = ranges(replace(case, capacities={"people": 2})).projects
    assert abs(apart["two"].P50 - apart["one"].P50) < HOUR / 10


def test_a_project_without_a_place_has_no_date():
    case = instance([task("a", 11 * 60), task("b", project="two")])
    assert sorted(ranges(case).projects) == ["two"]


def test_a_window_that_is_always_met_has_no_chance_of_being_missed():
    steps = [task("pour", 45), task("again", 45)]
    case = instance(steps, [Link("pour", "again", cure=Cure(4, 40))], climate=USUAL)
    assert list(ranges(case).windows.values()) == [0]


def test_a_window_with_little_time_is_missed_as_often_as_the_step_before_runs_over():
    # pour 2 must start within 10 minutes of the end of pour 1; combs take 60 min at 0.8 to 1.5: they run
    # over 70 minutes with the chance (90 − 70)²/((90 − 48)(90 − 60)) = 0.3175
    steps = [task("pour 1", 30, people=0, spread=(1, 1, 1)), task("combs", 60, people=0), task("pour 2", 30)]
    links = [Link("pour 1", "pour 2", 0, 10), Link("combs", "pour 2")]
    begun = replace(steps[0], fixed_start=TUESDAY + HOUR / 2)
    case = instance([begun, *steps[1:]], links, calendar=always())
    (chance,) = ranges(case, samples=20_000).windows.values()
    assert chance == pytest.approx(0.3175, abs=0.01)


def test_windows_beyond_ten_days_are_not_judged():
    steps = [task("a", 45, release=TUESDAY + timedelta(days=12)), task("b", 45)]
    assert ranges(instance(steps, [Link("a", "b", 60, 600)])).windows == {}


def test_a_pour_waits_for_a_safe_start_so_that_few_windows_are_missed():
    found = ranges(shop(5, people=1, moulds=3, seed=1))
    assert len(found.windows) > 5
    assert max(found.windows.values()) < 0.1


def test_a_step_that_by_chance_outlasts_any_opening_still_ends():
    steps = [task("a", 9 * 60), task("b")]
    case = instance(steps, [Link("a", "b")])
    assert TUESDAY + timedelta(days=10) > ranges(case).projects["lamp"].P90


def test_a_lamp_of_twenty_five_steps_has_a_lumpy_but_ordered_range():
    tasks, links, spans = lamp(1)
    case = instance(tasks, links, spans, capacities={"mould": 1, "planer": 1}, climate=USUAL)
    low, middle, high = ranges(case).projects["p001"]
    assert low <= middle <= high
    assert high - low < timedelta(days=7)


@pytest.mark.parametrize("count", [0, 3, 4])
def test_under_five_records_the_default_stays(count):
    assert learned(30, (0.8, 1, 1.5), [60] * count).own is False
    assert learned(30, (0.8, 1, 1.5), [60] * count).minutes == 30


@pytest.mark.parametrize(("count", "minutes"), [(5, 45), (15, 52.5), (45, 57)])
def test_more_records_draw_the_time_nearer_to_the_shop_s_own(count, minutes):
    # n/(n + 5) of 60 and the rest of 30
    assert learned(30, (0.8, 1, 1.5), [60] * count).minutes == minutes


def test_records_that_are_alike_narrow_the_spread():
    low, likely, high = learned(30, (0.8, 1, 1.5), [60] * 45).spread
    assert 0.8 < low <= likely <= high < 1.5


USUAL_SPREAD = (0.8, 1, 1.5)


def test_a_spread_is_drawn_as_a_variance_by_hand():
    # a triangle of 0.8, 1, 1.5: (0.64 + 1 + 2.25 - 0.8 - 1.2 - 1.5)/18 = 0.39/18 = 0.0216667
    # factors on the median 40: 0.5, 0.75, 1, 1.25, 1.5; their variance 0.625/4 = 0.15625
    # drawn: (5 x 0.0216667 + 4 x 0.15625)/9 = 0.0814815; arms longer by sqrt(3.760684) = 1.939249
    low, likely, high = own_spread(USUAL_SPREAD, [20, 30, 40, 50, 60])
    assert (low, likely, high) == pytest.approx((1 - 0.2 * 1.939249, 1, 1 + 0.5 * 1.939249), abs=1e-4)


@pytest.mark.parametrize("count", [0, 1, 4])
def test_under_five_records_the_spread_is_the_default(count):
    assert own_spread(USUAL_SPREAD, [10 * (1 + number) for number in range(count)]) == USUAL_SPREAD


@pytest.mark.parametrize(("count", "arm"), [(5, (5 / 9) ** 0.5), (20, (5 / 24) ** 0.5)])
def test_records_without_any_difference_leave_the_share_of_the_default(count, arm):
    low, _, high = own_spread(USUAL_SPREAD, [40] * count)
    assert (low, high) == pytest.approx((1 - 0.2 * arm, 1 + 0.5 * arm), abs=1e-4)


def test_many_records_that_vary_as_the_default_does_leave_it():
    drawn = np.random.default_rng(3).triangular(0.8, 1, 1.5, 5000) * 60
    low, _, high = own_spread(USUAL_SPREAD, list(drawn))
    # over the median 1.079 instead of the likeliest 1, so a little narrower
    assert (low, high) == pytest.approx((1 - 0.2 / 1.079, 1 + 0.5 / 1.079), abs=0.01)


def test_the_spread_does_not_hang_on_the_unit_or_the_order_of_the_records():
    records = [31, 44, 52, 38, 40, 61]
    spread = own_spread(USUAL_SPREAD, records)
    assert own_spread(USUAL_SPREAD, [60 * minutes for minutes in reversed(records)]) == spread


def test_one_record_beyond_all_measure_stretches_the_arms_to_nothing_at_most():
    assert own_spread(USUAL_SPREAD, [40, 40, 40, 40, 4000]) == (0.0, 1, 3.5)


def test_what_never_varies_stays_so():
    assert own_spread((1, 1, 1), [20, 30, 40, 50, 60]) == (1, 1, 1)


@pytest.mark.parametrize("minutes", [0, -5, float("nan"), float("inf")])
def test_a_record_of_no_time_is_refused(minutes):
    with pytest.raises(OutOfRange, match="logged"):
        own_spread(USUAL_SPREAD, [40, 40, 40, 40, minutes])


def test_a_wider_spread_makes_a_wider_range():
    wide = own_spread(USUAL_SPREAD, [20, 30, 40, 50, 60])
    narrow = own_spread(USUAL_SPREAD, [40] * 20)
    usual, wider, narrower = (
        (found["lamp"].P90 - found["lamp"].P10) / HOUR
        for found in (ranges(chain(5, spread)).projects for spread in (USUAL_SPREAD, wide, narrow))
    )
    assert narrower < usual < wider


def test_a_network_of_means_in_sixths_of_a_unit_keeps_them_exact():
    # three-point means come in sixths: a unit of 30 minutes makes them whole slots
    case = network({"a": 305 / 6}, [], unit=30)
    assert (make_plan(case).ends["a"] - TUESDAY) / (HOUR / 2) == pytest.approx(50.833, abs=5e-4)
