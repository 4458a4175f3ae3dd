"""How long planning takes, as ratios to OR-Tools CP-SAT in the same run.

Run it by `python -m tests.benchmarks.bench_planning`. CP-SAT gets the same case (windows of fixed minutes)
and two workers. It is timed with the building of its model until its first solution, and until one as good
as the plan of the six rules (or the end of its time): once by itself, with sixty days to plan in, and once
helped, its starts bounded by our earliest times and by our plan's end plus two days.
"""

import statistics
import sys
import time

from ortools.sat.python import cp_model

from projects.planning.estimate import finish_range
from projects.planning.network import earliest
from projects.planning.solver import check_plan, make_plan
from projects.planning.windows import Lift, advise_pour
from tests.oracles.cp_model import Model
from tests.oracles.test_planning_oracle import fixed_windows, slots_of
from tests.projects.planning.shops import TUESDAY, USUAL, calendar, shop

CP_SECONDS = 20


class Watch(cp_model.CpSolverSolutionCallback):
    """Notes when the first solution came, and when one at least as good as a value."""

    def __init__(self, began, goal):
        super().__init__()
        self.began, self.goal, self.first, self.equal = began, goal, None, None

    def on_solution_callback(self):
        now = time.perf_counter() - self.began
        self.first = self.first or now
        if self.objective_value <= self.goal + 1e-6:
            self.equal = self.equal or now
            self.stop_search()


def best_of(count, work):
    """The least time of so many runs, in s, and the last result."""
    times = []
    for _ in range(count):
        began = time.perf_counter()
        found = work()
        times.append(time.perf_counter() - began)
    return min(times), found


def model_times(case, plan, helped):
    """Seconds until CP-SAT's first solution, until one as good as the plan, and its status."""
    began = time.perf_counter()
    begin = case.calendar.slot_up(case.start)
    least, horizon = {}, 60 * 24 * 60 // case.calendar.minutes
    if helped:
        least = {name: case.calendar.slot_up(at) - begin for name, at in earliest(case).items()}
        horizon = slots_of(case, plan) + 2 * 24 * 60 // case.calendar.minutes
    model = Model(case, horizon, least=least)
    watch = Watch(began, plan.objective / case.calendar.minutes)
    status, _, _ = model.solve(CP_SECONDS, workers=2, watch=watch)
    return watch.first, watch.equal, status


def ratio(other, ours):
    return "none in time" if other is None else f"{other / ours:.0f} times"


def say(*words):
    sys.stdout.write(" ".join(words) + "\n")
    sys.stdout.flush()


def compare(projects, people, moulds, seeds, days=200):
    for helped in (False, True):
        firsts, equals = [], []
        for seed in seeds:
            case = fixed_windows(
                shop(projects, people=people, moulds=moulds, seed=seed, calendar=calendar(days))
            )
            ours, plan = best_of(20, lambda case=case: make_plan(case))
            assert check_plan(case, plan) == []
            first, equal, status = model_times(case, plan, helped)
            firsts.append((first or CP_SECONDS) / ours)
            equals.append((equal or CP_SECONDS) / ours)
            how = "helped" if helped else "by itself"
            say(f"{projects} projects, {people} people, {moulds} moulds, seed {seed}: {ours * 1000:.1f} ms;")
            say(f"  CP-SAT {how}: first {ratio(first, ours)}, as good {ratio(equal, ours)} ({status})")
        say(f"  median: first {statistics.median(firsts):.0f}, as good {statistics.median(equals):.0f} times")


def advisor(projects=5):
    case = shop(projects)
    plan, _ = best_of(20, lambda: make_plan(case))
    lifts, sessions = [Lift(45, 4, 14)] * 4, calendar(30).sessions
    advice, _ = best_of(20, lambda: advise_pour(lifts, TUESDAY, 14, sessions, USUAL)[0])
    say(f"advisor, 4 lifts over 14 days: {advice * 1000:.2f} ms, {advice / plan:.2f} of a plan of {projects}")
    found = make_plan(case)
    span, _ = best_of(3, lambda: finish_range(case, found))
    say(f"finish range, 2000 runs: {span * 1000:.1f} ms, {span / plan:.2f} of a plan of {projects}")


def large(projects, people, moulds, days, iterations):
    case = shop(projects, people=people, moulds=moulds, calendar=calendar(days))
    plain, plan = best_of(1, lambda: make_plan(case))
    say(f"{projects} projects, {people} people, {moulds} moulds: six rules {plain * 1000:.0f} ms")
    longer, better = best_of(1, lambda: make_plan(case, iterations=iterations))
    gain = 1 - better.objective / plan.objective
    say(f"  {iterations} iterations {longer:.1f} s, {gain:.2%} better than the six rules")
    checked, faults = best_of(1, lambda: check_plan(case, plan))
    say(f"  checked in {checked * 1000:.0f} ms, {len(faults)} faults")


if __name__ == "__main__":
    advisor()
    compare(5, 2, 4, seeds=(1, 2, 3))
    compare(5, 1, 3, seeds=(1, 2, 3))
    large(30, 2, 8, 900, iterations=20)
    large(100, 3, 10, 900, iterations=3)
