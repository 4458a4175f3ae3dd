"""Plans against OR-Tools CP-SAT, which proves how good a plan can be."""

from dataclasses import replace
from datetime import timedelta

import pytest

from projects.planning.calendar import Calendar
from projects.planning.solver import check_plan, make_plan
from tests.oracles.cp_model import Model
from tests.projects.planning.brute import tiny
from tests.projects.planning.patterson import psplib
from tests.projects.planning.shops import TUESDAY, instance, lamp, shop, task

pytestmark = pytest.mark.oracle


def fixed_windows(case):
    """The case with windows of fixed minutes, which the model can tell."""
    links = []
    for link in case.links:
        if link.cure is not None:
            close = None if link.cure.close_h is None else link.cure.close_h * 60
            link = replace(link, cure=None, open_minutes=link.cure.open_h * 60, close_minutes=close)
        links.append(link)
    return replace(case, links=links, climate=None)


def slots_of(case, plan):
    ends = [end for end in plan.ends.values() if end is not None]
    begin = case.calendar.slot_up(case.start)
    return case.calendar.slot_up(max(ends)) - begin if ends else 0


def proven(case, seconds=5):
    """The best value there is, by the model alone and from a horizon that holds it."""
    horizon = case.calendar.end - case.calendar.slot_up(case.start)
    return Model(case, horizon).solve(seconds)


# published optimum of PSPLIB j301_1 is 43; here the units are hours
def test_the_model_proves_the_published_optimum_of_j301_1():
    case = psplib("j301_1.sm")
    status, value, _ = Model(case, 100 * 12).solve(30)
    assert (status, value / 60) == ("OPTIMAL", 43)
    assert make_plan(case, iterations=200).objective / 60 == 43


@pytest.mark.parametrize("seed", range(80))
def test_small_plans_are_possible_when_the_model_says_so_and_never_better_than_its_best(seed):
    case = tiny(seed, people=1, projects=2)
    status, value, _ = proven(case)
    plan = make_plan(case, iterations=20)
    assert check_plan(case, plan) == []
    if status == "INFEASIBLE":
        assert plan.relaxed or plan.unplaced
        return
    assert status == "OPTIMAL"
    if not (plan.relaxed or plan.unplaced):
        assert plan.objective >= value - 1e-6


def test_small_plans_are_nearly_always_as_good_as_the_model_s_best():
    possible = given_up = same = 0
    for seed in range(200):
        case = tiny(seed, people=1, projects=2)
        status, value, _ = proven(case)
        if status != "OPTIMAL":
            continue
        plan = make_plan(case, iterations=20)
        possible += 1
        given_up += bool(plan.relaxed or plan.unplaced)
        same += not (plan.relaxed or plan.unplaced) and abs(plan.objective - value) < 1e-6
    assert possible > 30
    # serial generation is not complete under resources: one in eighty was missed when it was designed
    assert given_up <= 1
    assert same >= 0.85 * possible


@pytest.mark.parametrize("seed", range(3))
def test_a_single_lamp_is_planned_at_the_proven_best(seed):
    tasks, links, spans = lamp(seed, climate=False)
    case = fixed_windows(shop(1, seed=seed, calendar=shop(1).calendar))
    case = replace(case, tasks=tasks, links=links, spans=spans, due={}, weight={})
    plan = make_plan(case, iterations=50)
    status, value, _ = Model(case, slots_of(case, plan) + 600).solve(30)
    assert status == "OPTIMAL"
    assert plan.objective == pytest.approx(value)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_five_lamps_with_two_people_are_within_one_percent_of_the_proven_best(seed):
    case = fixed_windows(shop(5, people=2, moulds=4, seed=seed))
    plan = make_plan(case, iterations=200)
    assert check_plan(case, plan) == []
    model = Model(case, slots_of(case, plan) + 600)
    model.hint(plan)
    status, value, bound = model.solve(60, workers=2)
    assert bound <= plan.objective + 1e-6
    assert status == "OPTIMAL"
    assert plan.objective <= 1.01 * value


@pytest.mark.slow
def test_five_lamps_with_one_person_are_on_average_within_five_percent_of_the_best_known():
    gaps = []
    for seed in range(3):
        case = fixed_windows(shop(5, people=1, moulds=3, seed=seed))
        plan = make_plan(case, iterations=200)
        model = Model(case, slots_of(case, plan) + 600)
        model.hint(plan)
        _, value, bound = model.solve(40, workers=2)
        assert bound <= plan.objective + 1e-6
        gaps.append(plan.objective / value - 1)
    assert sum(gaps) / len(gaps) <= 0.05, gaps


def test_the_model_knows_that_one_person_can_t_do_two_hours_in_ninety_minutes():
    shop_hours = Calendar([(TUESDAY, TUESDAY + timedelta(minutes=90))])
    both = instance([task("a", 60, project="one"), task("b", 60, project="two")], calendar=shop_hours)
    assert Model(both, 18).solve(5)[0] == "INFEASIBLE"
    assert Model(replace(both, capacities={"people": 2}), 18).solve(5)[0] == "OPTIMAL"
