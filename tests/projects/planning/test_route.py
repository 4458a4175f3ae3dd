from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as some

from materials.science.errors import OutOfRange
from projects.planning.lifts import Lift
from projects.planning.route import (
    BlockFacts,
    Making,
    glue_up_parts,
    placing_minutes,
    propose_route,
)
from projects.planning.solver import check_plan, make_plan
from tests.projects.planning.shops import USUAL, calendar, instance

LIFT = Lift(45, 4, 18)


def making(lifts=1, **changes):
    return Making("007", [BlockFacts("A", 50, (LIFT,) * lifts)], **changes)


def names(route):
    return [task.name for task in route.tasks]


def planned(route):
    case = instance(
        route.tasks,
        route.links,
        route.spans,
        capacities={"mould": 1},
        climate=USUAL,
        calendar=calendar(days=200),
    )
    plan = make_plan(case)
    assert check_plan(case, plan) == []
    return plan


def at(route, plan, name):
    (found,) = [task.id for task in route.tasks if task.name == name]
    return plan.starts[found]


# 280 pieces at 15 to 20 s each (worked out)
@pytest.mark.parametrize(("per_minute", "minutes"), [(4, 70), (3, 93)])
def test_two_hundred_and_eighty_pieces_take_an_hour_and_more(per_minute, minutes):
    assert round(placing_minutes(280, per_minute)) == minutes


@given(
    pieces=some.integers(1, 2000),
    per_minute=some.floats(0.5, 10),
    open_minutes=some.floats(10, 120),
)
def test_parts_of_a_glue_up_are_even_and_fit_the_open_time(pieces, per_minute, open_minutes):
    parts = glue_up_parts(pieces, per_minute, open_minutes)
    assert sum(parts) == pieces
    assert max(parts) - min(parts) <= 1
    assert placing_minutes(max(parts), per_minute) <= 0.7 * open_minutes + 1e-6


def test_a_glue_too_fast_for_a_single_piece_is_refused():
    with pytest.raises(OutOfRange, match="pieces in the open time"):
        glue_up_parts(10, 0.1, 10)


def test_a_route_runs_from_buying_to_packing():
    found = names(propose_route(making()))
    assert (found[0], found[-1]) == ("Buy what is missing", "Pack")


def test_the_order_of_the_bench_is_kept():
    found = names(propose_route(making()))
    words = [
        "condition",
        "seal strips",
        "print combs",
        "Load strips",
        "Check for",
        "Set out",
        "Pour",
        "Demould",
    ]
    places = [next(i for i, name in enumerate(found) if word in name) for word in words]
    assert places == sorted(places)


def test_the_mould_is_tested_empty_before_strips_are_loaded():
    route = propose_route(making())
    plan = planned(route)
    assert at(route, plan, "Leak-test the empty mould of block A") < at(
        route, plan, "Load strips of block A, hold down, level"
    )


def test_the_check_is_made_the_evening_before_the_pour():
    route = propose_route(making())
    plan = planned(route)
    check = at(route, plan, "Check for pouring block A, the evening before")
    assert at(route, plan, "Pour block A") - check >= timedelta(hours=8)


def test_lifts_inside_a_stack_have_hard_windows():
    hard = [link for link in propose_route(making(lifts=3)).links if link.hard]
    assert [link.label for link in hard] == ["lift 1 to 2 of block A", "lift 2 to 3 of block A"]
    assert all(link.has_window for link in hard)


def test_a_mould_is_held_from_its_building_to_demoulding():
    route = propose_route(making())
    (span,) = route.spans
    known = {task.id: task.name for task in route.tasks}
    assert (known[span.first], known[span.last]) == (
        "Build and seal the mould of block A",
        "Demould block A",
    )


def test_demoulding_waits_for_the_later_of_sheet_and_temperature():
    cold = making()
    route = propose_route(cold)
    plan = planned(route)
    waited = at(route, plan, "Demould block A") - at(route, plan, "Pour block A")
    # 72 h at 20 °C take longer at 19 °C by day and 15 °C by night
    assert waited > timedelta(hours=85)


def test_two_blocks_share_one_mould_one_after_the_other():
    facts = [BlockFacts(letter, 30, (LIFT,)) for letter in "AB"]
    planned(propose_route(Making("008", facts)))


def test_a_glue_up_comes_in_parts_each_with_its_rest():
    found = names(propose_route(making(pieces=280, part_name="ring")))
    glued = [name for name in found if name.startswith(("Glue up", "Clamped"))]
    assert glued[:4] == [
        "Glue up ring 1, 94 pieces",
        "Clamped ring 1",
        "Glue up ring 2, 93 pieces",
        "Clamped ring 2",
    ]


def test_a_small_glue_up_is_one_step():
    assert "Glue up, 20 pieces" in names(propose_route(making(pieces=20)))


def test_coats_of_finish_have_a_window_that_may_be_sanded():
    windows = [link for link in propose_route(making(coats=3)).links if link.close_minutes]
    assert [link.hard for link in windows] == [False, False]


def test_a_shop_s_own_minutes_replace_the_usual_ones():
    route = propose_route(making(minutes={"saw": 33}))
    assert [task.minutes for task in route.tasks if task.name == "Saw block A"] == [33]


def test_a_block_without_lifts_is_refused():
    with pytest.raises(OutOfRange, match="lifts is 0 lifts"):
        BlockFacts("A", 50, ())


def test_a_route_of_every_kind_can_be_planned():
    facts = [BlockFacts("A", 40, (LIFT, LIFT)), BlockFacts("B", 60, (LIFT,))]
    plan = planned(propose_route(Making("009", facts, pieces=280, coats=3)))
    assert not plan.unplaced
    assert not plan.blocked
