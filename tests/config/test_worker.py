"""The worker for long jobs: begun beside the shop, begun anew when it dies, stopped with it."""

import signal
import sys

import pytest

from config.running import worker as workers
from config.running.worker import LONGEST_S, Worker
from tests.config.running import manage, python

ENDS = [sys.executable, "-c", "raise SystemExit(3)"]
STAYS = [sys.executable, "-c", "import time; time.sleep(600)"]


class Clock:
    """A clock that a test moves on."""

    def __init__(self):
        self.at_s = 1000.0

    def __call__(self):
        return self.at_s


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def begun(clock):
    """Workers of a command, ended after the test."""
    all_of_them = []

    def begin(command):
        all_of_them.append(Worker(command, clock))
        return all_of_them[-1]

    yield begin
    for each in all_of_them:
        each.kill()
        if each.process:
            each.process.wait()


def test_one_that_ended_by_itself_is_begun_anew_and_that_is_said(begun, clock, capsys):
    worker = begun(ENDS)
    worker.process.wait()
    worker.tend()
    assert "ended by itself (code 3); it is started again in 1 s" in capsys.readouterr().out
    assert worker.process is None
    clock.at_s += 1
    worker.tend()
    assert worker.process is not None


def test_one_that_keeps_ending_is_begun_more_and_more_slowly(begun, clock):
    worker, waits = begun(ENDS), []
    for _ in range(9):
        worker.process.wait()
        worker.tend()
        waits.append(worker.next_try - clock.at_s)
        clock.at_s = worker.next_try
        worker.tend()
    assert waits == [1, 2, 4, 8, 16, 32, LONGEST_S, LONGEST_S, LONGEST_S]


def test_one_that_lived_well_is_begun_anew_at_once(begun, clock):
    worker = begun(ENDS)
    worker.wait_s = LONGEST_S
    worker.process.wait()
    clock.at_s += 3600
    worker.tend()
    assert worker.next_try - clock.at_s == 1


def test_one_that_was_told_to_stop_is_not_begun_anew(begun, clock):
    worker = begun(STAYS)
    worker.end()
    clock.at_s += 3600
    worker.tend()
    assert worker.process.returncode == -signal.SIGTERM


def test_one_that_does_not_stop_is_ended_and_that_is_said(begun, monkeypatch, capsys):
    worker = begun(STAYS)
    monkeypatch.setattr(workers, "CALM_S", 0.01)
    monkeypatch.setattr(worker, "ask_to_stop", lambda: None)  # as if it did not listen
    worker.end()
    assert worker.process.returncode == -signal.SIGKILL
    assert "is interrupted. It can be started again on its page." in capsys.readouterr().out


def shell(data, *lines):
    """Run lines in the program's own shell; what they print."""
    rows = "from django_tasks_db.models import DBTaskResult as Row"
    said = manage("shell", "-v0", "-c", "\n".join([rows, *lines]), GRAINGLASS_DATA=str(data))
    assert said.returncode == 0, said.stderr
    return said.stdout.strip()


def test_the_worker_does_what_waits_and_its_old_notes_are_forgotten(ready):
    shell(ready, "from workshop.jobs import do", "do.enqueue(123456, 1)")
    assert manage("worker", "--batch", GRAINGLASS_DATA=str(ready)).returncode == 0
    weeks = "from datetime import timedelta; from django.utils import timezone"
    old = "Row.objects.update(finished_at=timezone.now() - timedelta(days=30))"
    assert shell(ready, "print(Row.objects.ready().count(), Row.objects.count())", weeks, old) == "0 1"
    assert manage("prepare", GRAINGLASS_DATA=str(ready)).returncode == 0
    assert shell(ready, "print(Row.objects.count())") == "0"


def test_the_program_of_the_worker_is_there():
    assert "Do the long jobs" in python("manage.py", "worker", "--help", GRAINGLASS_SECRET="x" * 60).stdout
