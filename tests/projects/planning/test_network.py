import random
from datetime import timedelta

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as some

from materials.science.errors import OutOfRange, UnknownName
from projects.planning.grid import on_grid
from projects.planning.network import (
    Cure,
    CycleError,
    Link,
    Task,
    earliest,
    latest,
    ready_now,
    slack,
)
from projects.planning.passes import backward, forward
from projects.planning.relief import Missed, Relief
from tests.projects.planning.brute import all_schedules, tiny
from tests.projects.planning.shops import TUESDAY, always, calendar, instance, network, task

HOUR = timedelta(hours=1)


def slowly(seeds):
    return [pytest.param(seed, marks=pytest.mark.slow) for seed in seeds]


def times(case, unit=HOUR):
    """Earliest and latest starts in units from the start, the projects due as early as can be."""
    first = earliest(case)
    ends = {step.id: first[step.id] + timedelta(minutes=step.minutes) for step in case.tasks}
    due = {"lamp": max(ends.values())}
    last = latest(instance(case.tasks, case.links, calendar=case.calendar, due=due))
    return {
        name: ((first[name] - TUESDAY) / unit, (last[name] - TUESDAY) / unit) for name in sorted(first)
    }, (due["lamp"] - TUESDAY) / unit


def arrows(rows):
    """A network of arrows: each row an arrow (from, to, duration, …)."""
    names = [f"{a}-{b}" for a, b, *_ in rows]
    durations = dict(zip(names, (row[2] for row in rows), strict=True))
    pairs = [(x, y) for x in names for y in names if x.split("-")[1] == y.split("-")[0]]
    return network(durations, pairs)


# B. W. Taylor, Introduction to Management Science, chapter 8, problems 5 and 6 with their solutions:
# from, to, duration, earliest start, earliest finish, latest start, latest finish, slack
PROBLEM_5 = [
    (1, 2, 7, 0, 7, 2, 9, 2),
    (1, 3, 10, 0, 10, 0, 10, 0),
    (2, 4, 6, 7, 13, 9, 15, 2),
    (3, 4, 5, 10, 15, 10, 15, 0),
    (3, 5, 4, 10, 14, 14, 18, 4),
    (4, 5, 3, 15, 18, 15, 18, 0),
    (5, 6, 2, 18, 20, 18, 20, 0),
]
PROBLEM_6 = [
    (1, 2, 8, 0, 8, 1, 9, 1),
    (1, 3, 10, 0, 10, 0, 10, 0),
    (1, 4, 9, 0, 9, 6, 15, 6),
    (2, 5, 6, 8, 14, 9, 15, 1),
    (2, 6, 4, 8, 12, 16, 20, 8),
    (3, 5, 5, 10, 15, 10, 15, 0),
    (4, 5, 0, 9, 9, 15, 15, 6),
    (4, 7, 7, 9, 16, 20, 27, 11),
    (5, 7, 12, 15, 27, 15, 27, 0),
    (5, 8, 15, 15, 30, 16, 31, 1),
    (6, 9, 18, 12, 30, 20, 38, 8),
    (7, 8, 4, 27, 31, 27, 31, 0),
    (8, 9, 7, 31, 38, 31, 38, 0),
]


@pytest.mark.parametrize(("rows", "length"), [(PROBLEM_5, 20), (PROBLEM_6, 38)], ids=["5", "6"])
def test_the_networks_of_taylor_s_chapter_8_have_their_length(rows, length):
    assert times(arrows(rows))[1] == length


@pytest.mark.parametrize(
    ("rows", "row"),
    [(rows, row) for rows in (PROBLEM_5, PROBLEM_6) for row in rows],
    ids=lambda value: f"{value[0]}-{value[1]}" if isinstance(value, tuple) else "",
)
def test_every_row_of_taylor_s_chapter_8_comes_out(rows, row):
    a, b, duration, *printed = row
    first, last = times(arrows(rows))[0][f"{a}-{b}"]
    assert [first, first + duration, last, last + duration, last - first] == printed


# a textbook's example: activity, duration, what it waits for, slack
SEVEN = {"A": (6, "", 0), "B": (2, "A", 0), "C": (2, "F", 1), "D": (3, "B", 0), "E": (4, "CD", 0)} | {
    "F": (2, "A", 1),
    "G": (1, "E", 0),
}
# F. S. Hillier and G. J. Lieberman, Introduction to Operations Research, "Reliable Construction": durations
# as published; what each waits for, and the duration of H, from memory; the slack worked out
RELIABLE = (
    {"A": (2, "", 0), "B": (4, "A", 0), "C": (10, "B", 0), "D": (6, "C", 4), "E": (4, "C", 0)}
    | {"F": (5, "E", 0), "G": (7, "D", 4), "H": (9, "EG", 4), "I": (7, "C", 2), "J": (8, "FI", 0)}
    | {"K": (4, "J", 1), "L": (5, "J", 0), "M": (2, "H", 4), "N": (6, "KL", 0)}
)


def nodes_of(table):
    durations = {name: row[0] for name, row in table.items()}
    return network(durations, [(before, name) for name, row in table.items() for before in row[1]])


@pytest.mark.parametrize(
    ("table", "length", "path"), [(SEVEN, 16, "ABDEG"), (RELIABLE, 44, "ABCEFJLN")], ids=["seven", "reliable"]
)
def test_the_textbook_s_length_path_and_slack_come_out(table, length, path):
    found, end = times(nodes_of(table))
    assert end == length
    assert "".join(name for name, (first, last) in found.items() if first == last) == path
    assert {name: last - first for name, (first, last) in found.items()} == {
        n: r[2] for n, r in table.items()
    }


@pytest.mark.parametrize("seed", [*range(60), *slowly(range(60, 300))])
def test_the_earliest_end_is_the_longest_path_of_a_random_network(seed):
    chance = random.Random(seed)
    count = chance.randint(2, 25)
    durations = {f"n{number:02d}": chance.randint(0, 20) for number in range(count)}
    names = list(durations)
    pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :] if chance.random() < 0.2]
    graph = networkx.DiGraph()
    graph.add_nodes_from([("begin", 0)])
    graph.add_weighted_edges_from([("begin", name, 0) for name in names])
    graph.add_weighted_edges_from([(a, b, durations[a]) for a, b in pairs])
    graph.add_weighted_edges_from([(name, "end", durations[name]) for name in names])
    assert times(network(durations, pairs))[1] == networkx.dag_longest_path_length(graph)


@pytest.mark.parametrize("warm", [False, True], ids=["plain", "warm"])
@pytest.mark.parametrize("seed", range(40))
def test_earliest_and_latest_are_what_looking_at_every_schedule_finds(seed, warm):
    compare_with_every_schedule(seed, warm)


@pytest.mark.slow
@pytest.mark.parametrize("warm", [False, True], ids=["plain", "warm"])
@pytest.mark.parametrize("seed", range(40, 200))
def test_earliest_and_latest_are_what_looking_at_many_more_schedules_finds(seed, warm):
    compare_with_every_schedule(seed, warm)


def compare_with_every_schedule(seed, warm):
    case = tiny(seed, warm)
    grid, relief = on_grid(case), Relief.of(case.calendar)
    found = list(all_schedules(case))
    if not found:
        with pytest.raises(Missed):
            forward(grid, case.calendar, relief)
        return
    assert forward(grid, case.calendar, relief) == [min(starts) for starts in zip(*found, strict=True)]
    ends = [case.calendar.end] * grid.nodes
    inside = [s for s in found if all(at + grid.slots[n] <= ends[n] for n, at in enumerate(s))]
    if inside:
        most = [max(starts) for starts in zip(*inside, strict=True)]
        assert backward(grid, case.calendar, relief, ends) == most


def test_small_cases_are_both_possible_and_impossible():
    possible = [next(all_schedules(tiny(seed, warm)), None) for seed in range(40) for warm in (False, True)]
    assert 8 < sum(found is None for found in possible) < 72


def test_a_cycle_names_its_steps_in_order():
    steps = [task("a"), task("b"), task("c"), task("d")]
    links = [Link("a", "b"), Link("b", "c"), Link("c", "a"), Link("c", "d")]
    with pytest.raises(CycleError, match="these steps wait for each other: a → b → c → a"):
        instance(steps, links)


def test_a_step_that_waits_for_itself_is_a_cycle():
    with pytest.raises(CycleError, match="each other: a → a"):
        instance([task("a")], [Link("a", "a")])


@given(some.integers(0, 10_000))
def test_every_cycle_that_is_named_is_one(seed):
    chance = random.Random(seed)
    names = [f"s{n}" for n in range(chance.randint(2, 8))]
    links = [Link(chance.choice(names), chance.choice(names)) for _ in range(chance.randint(1, 14))]
    graph = networkx.DiGraph([(link.before, link.after) for link in links])
    try:
        instance([task(name) for name in names], links)
    except CycleError as error:
        circle = [*error.names, error.names[0]]
        assert all(graph.has_edge(a, b) for a, b in zip(circle[:-1], circle[1:], strict=True))
    else:
        assert networkx.is_directed_acyclic_graph(graph)


def test_two_steps_of_one_id_are_refused():
    with pytest.raises(ValueError, match="the same id"):
        instance([task("a"), task("a")])


def test_a_link_to_nothing_names_the_steps_there_are():
    with pytest.raises(UnknownName, match='no step is called "b"; known are: a'):
        instance([task("a")], [Link("a", "b")])


def test_a_resource_that_the_shop_lacks_is_named():
    with pytest.raises(UnknownName, match='no resource is called "planer"'):
        instance([task("a", resources={"planer": 1})])


def test_a_window_can_t_close_before_it_opens():
    with pytest.raises(ValueError, match="can't close"):
        Cure(4, 3)


def test_minutes_below_none_are_refused():
    with pytest.raises(OutOfRange, match="minutes is -1 min"):
        task("a", -1)


def test_a_kind_of_step_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match='not "cure"'):
        Task("a", "lamp", "A", "cure", 10)


def test_a_cause_starts_later_for_the_sake_of_its_window():
    # poured at eight, the window closes at noon; the other cause ends at two
    steps = [task("pour", 60), task("print combs", 6 * 60), task("pour again", 60)]
    links = [Link("pour", "pour again", 60, 180), Link("print combs", "pour again")]
    found = earliest(instance(steps, links))
    assert found["pour again"] - found["pour"] == timedelta(hours=4)


def test_a_passive_step_is_latest_when_its_cause_ends_at_the_latest():
    steps = [task("pour", 60), task("cure", 600, kind="passive"), task("saw", 60)]
    links = [Link("pour", "cure"), Link("cure", "saw")]
    last = latest(instance(steps, links, due={"lamp": TUESDAY + timedelta(days=3)}))
    assert last["cure"] == last["pour"] + timedelta(hours=1)


def test_a_step_longer_than_any_opening_has_no_earliest_start():
    assert earliest(instance([task("a", 11 * 60)])) == {"a": None}


def test_a_step_that_can_be_done_in_parts_needs_no_long_opening():
    found = earliest(instance([task("a", 15 * 60, splittable=True), task("b")], [Link("a", "b")]))
    assert found["b"] - found["a"] == timedelta(days=1, hours=5)


def test_slack_is_below_zero_where_the_date_has_passed():
    case = instance([task("a", 60)], due={"lamp": TUESDAY - timedelta(days=2)})
    assert slack(case, TUESDAY)["a"] < 0


def test_what_can_wait_least_comes_first():
    steps = [task("slow", 60, project="one"), task("soon", 60, project="two")]
    due = {"one": TUESDAY + timedelta(days=9), "two": TUESDAY + timedelta(days=2)}
    found = ready_now(instance(steps, due=due), TUESDAY + HOUR, [])
    assert [step.id for step in found] == ["soon", "slow"]


def test_what_waits_for_something_not_done_is_not_ready():
    case = instance([task("a"), task("b")], [Link("a", "b")])
    assert [step.id for step in ready_now(case, TUESDAY + HOUR, [])] == ["a"]
    assert [step.id for step in ready_now(case, TUESDAY + HOUR, ["a"])] == ["b"]


def poured(minutes_ago, now, **window):
    pour = task("pour", 30, fixed_start=now - timedelta(minutes=30 + minutes_ago))
    return instance([pour, task("again", 30)], [Link("pour", "again", **window)])


def test_a_window_that_is_not_open_yet_is_not_ready():
    now = TUESDAY + 3 * HOUR
    case = poured(100, now, open_minutes=120, close_minutes=300)
    assert ready_now(case, now, ["pour"]) == []
    assert [step.id for step in ready_now(case, now + HOUR, ["pour"])] == ["again"]


def test_a_window_that_closes_shortens_the_wait():
    now = TUESDAY + 3 * HOUR
    (step,) = ready_now(poured(200, now, open_minutes=120, close_minutes=300), now, ["pour"])
    assert (step.slack_minutes, step.wait_until) == (100, now + timedelta(minutes=100))


def test_work_that_would_run_past_closing_is_ready_but_does_not_fit():
    case = instance([task("a", 90)])
    half_past_four = TUESDAY + 9.5 * HOUR
    assert [step.fits_before_closing for step in ready_now(case, half_past_four, [])] == [True]
    assert [step.fits_before_closing for step in ready_now(case, half_past_four + HOUR, [])] == [False]


def test_what_goes_by_itself_is_nothing_to_do_now():
    case = instance([task("rest", kind="passive"), task("a")])
    assert [step.id for step in ready_now(case, TUESDAY, [])] == ["a"]


def test_a_release_keeps_a_step_from_being_ready():
    case = instance([task("a", release=TUESDAY + HOUR)])
    assert ready_now(case, TUESDAY, []) == []


def test_times_of_a_shop_that_never_shuts_are_as_given():
    case = instance([task("a", 45)], calendar=always(), start=TUESDAY + timedelta(minutes=3))
    assert earliest(case)["a"] == TUESDAY + timedelta(minutes=5)


def test_without_any_opening_nothing_has_an_earliest_start():
    assert earliest(instance([task("a")], calendar=calendar(days=0))) == {"a": None}
