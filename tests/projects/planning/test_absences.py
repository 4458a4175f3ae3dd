"""Hours of work while somebody is away, and ranges of ends that keep to them."""

from datetime import UTC, datetime, timedelta

from projects.planning.absences import hours_of_work
from projects.planning.calendar import Calendar
from projects.planning.estimate import finish_range
from projects.planning.grid import on_grid
from projects.planning.network import Cure, Instance, Link, Task
from projects.planning.solver import check_plan, make_plan

MONDAY = datetime(2026, 3, 2, 8, tzinfo=UTC)
HOURS = [(MONDAY + timedelta(days=n), MONDAY + timedelta(days=n, hours=9)) for n in range(20)]


def away(name, first, days, resource="member 1"):
    start = MONDAY.replace(hour=0) + timedelta(days=first)
    return Task(
        name, "away", f"{name} is away", "passive", days * 1440, people=1,
        resources={resource: 1}, fixed_start=start, spread=(1, 1, 1),
    )  # fmt: skip


def instance(*tasks, people=1, links=()):
    capacities = {"people": people, "member 1": 1, "member 2": 1}
    return Instance(MONDAY, tasks, links, [], capacities, Calendar(HOURS), None, {}, {})


def days_of(found, *needs):
    """On which days work that needs this can be done."""
    return [(opened - MONDAY).days for opened, _ in found[needs].sessions]


def test_with_nobody_away_there_is_nothing_to_tell():
    found = instance(Task("saw", "lamp", "Saw", "hands_on", 60))
    assert hours_of_work(found, on_grid(found)) == {}


def test_one_of_two_away_leaves_all_hours_to_one_and_fewer_to_both():
    one = Task("saw", "lamp", "Saw", "hands_on", 60)
    both = Task("lift", "lamp", "Lift", "hands_on", 60, people=2)
    found = instance(away("Joris", 1, 3), one, both, people=2)
    grid = on_grid(found)
    people = grid.resources.index("people")
    hours = hours_of_work(found, grid)
    assert ((people, 1),) not in hours
    assert days_of(hours, (people, 2)) == [0, *range(4, 20)]


def test_absences_that_overlap_count_together():
    found = instance(
        away("Joris", 1, 3), away("Maud", 3, 3, "member 2"), Task("saw", "lamp", "Saw", "hands_on", 60),
        people=2,
    )  # fmt: skip
    grid = on_grid(found)
    assert days_of(hours_of_work(found, grid), (grid.resources.index("people"), 1)) == [
        *range(3), *range(4, 20),
    ]  # fmt: skip


def test_work_that_comes_out_longer_waits_until_somebody_is_back():
    saw = Task("saw", "lamp", "Saw", "hands_on", 500, spread=(0.8, 1, 1.2))
    glue = Task("glue", "lamp", "Glue", "hands_on", 30, spread=(1, 1, 1))
    found = instance(away("Joris", 1, 10), saw, glue, links=[Link("saw", "glue")])
    plan = make_plan(found)
    assert check_plan(found, plan) == []
    assert plan.ends["glue"] == MONDAY + timedelta(minutes=530)
    ends = finish_range(found, plan, samples=500).projects["lamp"]
    assert MONDAY + timedelta(hours=9) >= ends.P10
    assert MONDAY + timedelta(days=11) <= ends.P90


def test_a_chain_of_windows_does_not_begin_in_days_away():
    pours = [Task(name, "lamp", name, "hands_on", 60, spread=(1, 1, 1.2)) for name in ("first", "second")]
    link = Link("first", "second", cure=Cure(2, 5))
    found = instance(away("Joris", 0, 5), *pours, links=[link])
    plan = make_plan(found)
    assert check_plan(found, plan) == []
    assert plan.starts["first"] >= MONDAY + timedelta(days=5)
    told = finish_range(found, plan, samples=300)
    assert MONDAY + timedelta(days=5) <= told.projects["lamp"].P10
    assert told.windows[link] == 0
