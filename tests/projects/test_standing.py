"""How steps stand: which of them are on, what is said of them, and when a route ends."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from projects import standing
from projects.models import Project, Step
from tests.factories import AT, BlockFactory, MemberFactory, ProjectFactory, StepFactory

BERLIN = ZoneInfo("Europe/Berlin")  # AT is there Tuesday 10 March, 10:00
STATE = Step.State


def step(state="to_do", **values):
    return Step(state=state, kind="cut", title="Cut", **values)


def later(**span):
    return AT + timedelta(**span)


# --- the moment that counts ---


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({}, ("takes", "")),
        ({"planned_start": later(hours=2)}, ("planned for", "12:00")),
        ({"planned_start": later(days=2)}, ("planned for", "Thu 10:00")),
        ({"planned_start": later(days=7)}, ("planned for", "Tue 17 Mar")),
        ({"state": "under_way", "started_at": later(hours=-1)}, ("since", "09:00")),
        ({"state": "waiting", "started_at": later(days=-1)}, ("waits since", "Mon 10:00")),
        ({"state": "done", "ended_at": later(days=-9)}, ("done", "Sun 1 Mar")),
        ({"state": "skipped", "ended_at": later(hours=-1)}, ("skipped", "09:00")),
    ],
)
def test_the_moment_that_counts_is_said_with_what_it_is(values, said):
    assert standing.when(step(**values), AT, BERLIN) == said


@pytest.mark.parametrize(
    ("values", "late"),
    [
        ({}, False),
        ({"planned_start": later(minutes=1)}, False),
        ({"planned_start": later(minutes=-1)}, True),
        ({"state": "under_way", "planned_end": later(minutes=-1)}, True),
        ({"state": "under_way", "planned_start": later(days=-1)}, False),
        ({"state": "waiting", "planned_end": later(days=-1)}, False),
        ({"state": "done", "planned_start": later(days=-1)}, False),
    ],
)
def test_a_step_is_late_by_what_was_planned(values, late):
    assert standing.is_late(step(**values), AT) is late


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({}, ""),
        ({"started_at": AT}, "from 10:00"),
        ({"started_at": AT, "ended_at": later(hours=1)}, "10:00–11:00"),
        ({"started_at": later(days=-1), "ended_at": AT}, "Mon 10:00 – Tue 10 Mar 10:00"),
    ],
)
def test_what_a_step_took_is_said_without_a_day_twice(values, said):
    assert standing.took(step(**values), AT, BERLIN) == said


def test_what_was_planned_stands_beside_it():
    planned = {"planned_start": later(hours=-2), "planned_end": later(hours=-1)}
    assert standing.took(step(started_at=AT, **planned), AT, BERLIN) == "from 10:00, planned 08:00–09:00"


@pytest.mark.parametrize(
    ("state", "kind", "said"),
    [
        ("to_do", "cut", ("open", "to do")),
        ("under_way", "cut", ("running", "under way")),
        ("waiting", "rest", ("waiting", "waits")),
        ("waiting", "cure", ("waiting", "waits for its cure")),
        ("done", "cut", ("clear", "done")),
        ("skipped", "cut", ("skipped", "skipped")),
    ],
)
def test_each_state_has_its_shape_and_word(state, kind, said):
    line = standing.step_row(Step(state=state, kind=kind), AT, BERLIN)
    assert (line.shape, line.word) == said


# --- which step is on ---


@pytest.mark.parametrize(
    ("states", "on"),
    [
        ([], None),
        (["done", "skipped"], None),
        (["done", "to_do", "to_do"], 1),
        (["done", "waiting", "to_do"], 1),
        (["to_do", "waiting"], 0),
        (["to_do", "waiting", "under_way"], 2),
        (["done", "waiting"], 1),
    ],
)
def test_the_step_that_is_on_is_begun_or_next_or_waits(states, on):
    steps = [step(state) for state in states]
    assert standing.next_of(steps) is (None if on is None else steps[on])


# --- when it ends ---


def ends(due_on, *steps):
    return standing.ends_of(Project(due_on=due_on), steps)


def test_a_route_ends_with_what_is_still_open_and_planned_last():
    steps = [
        step("done", planned_end=later(days=9)),
        step(planned_end=later(days=2)),
        step("waiting", planned_end=later(days=1)),
        step(),
    ]
    found = ends(date(2026, 3, 15), *steps)
    assert (found.at, found.spare_days, found.open_steps, found.without_date) == (later(days=2), 3, 3, 1)


@pytest.mark.parametrize(("due_on", "spare"), [(None, None), (date(2026, 3, 12), 0), (date(2026, 3, 10), -2)])
def test_days_to_spare_are_counted_to_the_day_it_is_wanted(due_on, spare):
    assert ends(due_on, step(planned_end=later(days=2))).spare_days == spare


def test_a_route_without_dates_has_no_end():
    assert ends(date(2026, 3, 12), step()).at is None


# --- what can be done now ---


def way(shop, *states, due_on=None, state="planned"):
    """The steps of a project in these states."""
    project = ProjectFactory(shop=shop, due_on=due_on, state=state)
    block = BlockFactory(shop=shop, project=project, resin=None)
    return [
        StepFactory(shop=shop, block=block, state=state, position=position)
        for position, state in enumerate(states)
    ]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("states", "now", "bench"),
    [
        (["done", "to_do", "to_do"], [1], [1]),
        (["under_way", "to_do"], [0], [0]),
        (["waiting", "to_do"], [], [0]),
        (["to_do", "waiting"], [0], [0, 1]),
        (["done", "skipped"], [], []),
    ],
)
def test_hands_can_do_what_is_begun_and_what_nothing_holds_up(states, now, bench):
    shop = MemberFactory().shop
    steps = way(shop, *states)
    assert list(Step.objects.can_be_done(shop)) == [steps[number] for number in now]
    assert list(Step.objects.at_the_bench(shop)) == [steps[number] for number in bench]


@pytest.mark.django_db
@pytest.mark.parametrize("state", ["idea", "finished", "set_aside"])
def test_nothing_of_a_project_that_is_not_at_work_can_be_done(state):
    shop = MemberFactory().shop
    way(shop, "under_way", "to_do", state=state)
    assert not Step.objects.at_the_bench(shop).exists()


@pytest.mark.django_db
def test_what_another_shop_does_can_not_be_done_here():
    way(MemberFactory().shop, "under_way", "to_do")
    assert not Step.objects.at_the_bench(MemberFactory().shop).exists()


@pytest.mark.django_db
def test_removed_steps_hold_nothing_up_and_are_not_done():
    shop = MemberFactory().shop
    gone, step_ = way(shop, "waiting", "to_do")
    Step.objects.filter(pk=gone.pk).update(removed_at=AT)
    assert list(Step.objects.at_the_bench(shop)) == [step_]


@pytest.mark.django_db
def test_what_is_begun_comes_first_then_what_is_wanted_soonest_then_what_waits():
    shop = MemberFactory().shop
    [waits], [some_day], [june], [may], [begun] = (
        way(shop, state, due_on=due_on)
        for state, due_on in [
            ("waiting", date(2026, 4, 1)), ("to_do", None), ("to_do", date(2026, 6, 1)),
            ("to_do", date(2026, 5, 1)), ("under_way", None),
        ]
    )  # fmt: skip
    assert list(Step.objects.at_the_bench(shop)) == [begun, may, june, some_day, waits]


@pytest.mark.django_db
def test_each_project_stands_at_one_step():
    shop = MemberFactory().shop
    ways = [way(shop, *states) for states in (["done", "to_do", "to_do"], ["waiting", "under_way"], ["done"])]
    found = Step.objects.where_each_stands([steps[0].project for steps in ways])
    assert set(found) == {ways[0][1], ways[1][1]}


def test_a_moment_of_next_year_keeps_its_month():
    assert standing.short_time(datetime(2027, 1, 9, 8, tzinfo=UTC), AT, BERLIN) == "Sat 9 Jan"
