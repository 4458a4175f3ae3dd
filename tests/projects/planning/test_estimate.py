from dataclasses import replace
from datetime import timedelta
from math import sqrt

import pytest

from projects.planning.estimate import finish_range, learned
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


def test_a_network_of_means_in_sixths_of_a_unit_keeps_them_exact():
    # three-point means come in sixths: a unit of 30 minutes makes them whole slots
    case = network({"a": 305 / 6}, [], unit=30)
    assert (make_plan(case).ends["a"] - TUESDAY) / (HOUR / 2) == pytest.approx(50.833, abs=5e-4)
