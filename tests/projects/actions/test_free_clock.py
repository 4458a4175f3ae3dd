from datetime import timedelta

import pytest

from projects.actions import bench as acts
from projects.actions import free_clock
from projects.models import LogEntry, Timer
from tests.factories import AT, Bench, key, moment

pytestmark = pytest.mark.django_db


def set_clock(bench, name="Kettle", minutes=90.0, **where):
    return free_clock.set_clock(bench.member, name=name, minutes=minutes, key=key(), moment=moment(), **where)


def test_a_free_clock_has_its_name_and_its_time():
    timer = set_clock(Bench())
    assert (timer.kind, timer.name, timer.due_at, timer.law) == (
        Timer.Kind.FREE,
        "Kettle",
        AT + timedelta(minutes=90),
        "wall",
    )


def test_several_free_clocks_run_at_once():
    bench = Bench()
    for name in ("Kettle", "Oven", "Oven"):
        set_clock(bench, name)
    assert Timer.objects.running().count() == 3


def test_the_log_says_how_long_it_is():
    entry = set_clock(Bench(), minutes=150).entry
    assert (entry.kind, entry.text) == (LogEntry.Kind.TIMER, "Kettle: a clock of 2:30\u00a0h")


def test_a_free_clock_of_a_project_stands_in_its_log():
    bench = Bench()
    assert set_clock(bench, project=bench.project).entry.project == bench.project


def test_a_free_clock_of_no_step_can_be_answered():
    bench = Bench()
    timer = set_clock(bench, project=bench.project)
    acts.settle(bench.member, timer, "done", key=key(), moment=moment(90))
    entry = LogEntry.objects.get(kind=LogEntry.Kind.CLOCK)
    assert (entry.text, entry.project, entry.step) == ("Kettle: done", bench.project, None)


def test_a_free_clock_of_a_step_leaves_the_steps_state_alone():
    bench = Bench()
    timer = set_clock(bench, step=bench.step)
    acts.settle(bench.member, timer, "done", key=key(), moment=moment(90))
    bench.step.refresh_from_db()
    assert bench.step.state == "to_do"
