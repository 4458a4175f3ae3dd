"""The command `start`: where it serves, what it says, how it stops."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from config import serve
from config.running.console import CannotGoOnError
from tests.config.running import PROGRAM, clean_environment, manage


@pytest.fixture
def free_port():
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


class Started:
    """The shop, started by its command; lines are what it has said so far."""

    def __init__(self, *words, **settings):
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "start", *words],
            cwd=PROGRAM,
            env=clean_environment(**settings),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self.lines = []

    def read_until(self, end):
        """Read what it says up to the line that holds `end`."""
        for line in self.process.stdout:
            self.lines.append(line.rstrip())
            if end in line:
                return
        raise AssertionError("\n".join(self.lines))

    def end_with(self, number):
        """Send a signal and answer the exit code."""
        self.process.send_signal(number)
        self.lines += self.process.communicate(timeout=30)[0].splitlines()
        return self.process.returncode


@pytest.fixture
def start(ready, free_port):
    begun = []

    def begin(*words, **settings):
        words = words or ("--port", str(free_port))
        begun.append(Started(*words, **{"GRAINGLASS_DATA": str(ready), **settings}))
        return begun[-1]

    yield begin
    for each in begun:
        if each.process.poll() is None:
            each.end_with(signal.SIGTERM)
        each.process.stdout.close()


def test_the_shop_answers_at_the_address_that_is_said(start, free_port):
    shop = start()
    shop.read_until("Ctrl-C stops")
    assert f"Grainglass is served at http://127.0.0.1:{free_port}/" in shop.lines
    assert "First start: open it and name your shop." in shop.lines
    with urllib.request.urlopen(f"http://127.0.0.1:{free_port}/health/", timeout=10) as answer:  # noqa: S310
        assert answer.status == 200


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_stops_calmly_when_told_to(start, number):
    shop = start()
    shop.read_until("Ctrl-C stops")
    assert shop.end_with(number) == 0
    assert shop.lines[-1] == "Stopped."


def test_nothing_answers_after_it_stopped(start, free_port):
    shop = start()
    shop.read_until("Ctrl-C stops")
    shop.end_with(signal.SIGTERM)
    until = time.monotonic() + 5
    with socket.socket() as trial:
        assert trial.connect_ex(("127.0.0.1", free_port)) != 0
    assert time.monotonic() < until


def worker_of(shop):
    """The process that does the long jobs, or None while there is none."""
    own = Path(f"/proc/{shop.process.pid}/task/{shop.process.pid}/children")
    for child in own.read_text().split():
        if b"worker" in Path(f"/proc/{child}/cmdline").read_bytes().split(b"\0"):
            return int(child)
    return None


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux tells whose child it is")
def test_the_worker_for_long_jobs_is_started_again_when_it_was_killed_and_stops_with_the_shop(start):
    shop = start()
    shop.read_until("Ctrl-C stops")
    first = worker_of(shop)
    os.kill(first, signal.SIGKILL)
    shop.read_until("The worker for long jobs ended by itself (code -9)")
    until = time.monotonic() + 20
    while worker_of(shop) in {None, first} and time.monotonic() < until:
        time.sleep(0.05)
    second = worker_of(shop)
    assert second not in {None, first}
    assert shop.end_with(signal.SIGINT) == 0
    assert not Path(f"/proc/{second}").exists()
    assert shop.lines[-1] == "Stopped."


def is_there(pid):
    """Whether a process still runs; one that has ended and that nobody asked for does not."""
    try:
        stat = Path(f"/proc/{pid}/stat").read_text()
    except OSError:
        return False
    return stat.rpartition(")")[2].split()[0] != "Z"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux tells whose child it is")
def test_when_the_starter_is_killed_the_server_and_the_worker_end_too(start):
    shop = start()
    shop.read_until("Ctrl-C stops")
    own = Path(f"/proc/{shop.process.pid}/task/{shop.process.pid}/children").read_text().split()
    assert len(own) >= 2  # the web server, the worker, and what Python itself may have begun
    shop.process.kill()
    shop.process.wait(10)
    until = time.monotonic() + 40
    while any(is_there(pid) for pid in own) and time.monotonic() < until:
        time.sleep(0.1)
    assert [pid for pid in own if is_there(pid)] == []


def test_a_port_in_use_is_told_in_a_sentence(tmp_path):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        number = other.getsockname()[1]
        said = manage("start", "--port", str(number), GRAINGLASS_DATA=str(tmp_path))
    assert said.returncode == 1
    assert said.stderr.startswith(f"Port {number} is taken")
    assert "Traceback" not in said.stderr


@pytest.mark.parametrize("text", ["0", "65536", "eighty", "-1"])
def test_what_is_no_port_is_refused(text):
    with pytest.raises(serve.argparse.ArgumentTypeError, match="is not a port"):
        serve.port(text)


@pytest.mark.parametrize("text", ["0", "-2", "many"])
def test_what_is_no_number_of_workers_is_refused(monkeypatch, capsys, text):
    monkeypatch.setenv("WEB_CONCURRENCY", text)
    with pytest.raises(SystemExit, match="2"):
        serve.parser().parse_args([])
    assert "is not a number of workers" in capsys.readouterr().err


def test_a_data_folder_that_can_not_be_is_told_in_a_sentence(tmp_path):
    (tmp_path / "var").write_text("a file in the way")
    said = manage("start", GRAINGLASS_DATA=str(tmp_path / "var"))
    assert said.returncode == 1
    assert "can't be written to" in said.stderr
    assert "Traceback" not in said.stderr


@pytest.mark.slow
def test_the_first_start_loads_the_demo_and_says_so(start, free_port, tmp_path):
    shop = start(GRAINGLASS_DATA=str(tmp_path / "var"))
    shop.read_until("Ctrl-C stops")
    assert "Loading the demo shop, two years of it: up to a minute ..." in shop.lines
    assert "First start: open it and look around the demo, or name your own shop." in shop.lines
    assert len([line for line in shop.lines if "@hollinquay.example  " in line]) == 3
    shop.end_with(signal.SIGTERM)
    again = start(GRAINGLASS_DATA=str(tmp_path / "var"))
    again.read_until("Ctrl-C stops")
    assert "Loading the demo shop, two years of it: up to a minute ..." not in again.lines


@pytest.mark.slow
def test_an_empty_first_start_leaves_the_demo_out(start, free_port, tmp_path):
    shop = start("--empty", "--port", str(free_port), GRAINGLASS_DATA=str(tmp_path / "var"))
    shop.read_until("Ctrl-C stops")
    assert "Loading the demo shop, two years of it: up to a minute ..." not in shop.lines
    assert "First start: open it and name your shop." in shop.lines


def test_a_free_port_is_free(free_port):
    assert serve.must_be_free("127.0.0.1", free_port, "--port") is None


def test_an_address_of_another_machine_can_not_be_served():
    with pytest.raises(CannotGoOnError, match="can't be used"):
        serve.must_be_free("192.0.2.1", 8000, "--port")


def test_windows_gets_a_server_that_runs_there(monkeypatch):
    monkeypatch.setattr(serve.os, "name", "nt")
    assert "waitress" in serve.server_command(serve.Place("127.0.0.1", 8000, ()), workers=2)


def test_a_server_that_ends_by_itself_is_not_called_stopped(monkeypatch):
    monkeypatch.setattr(serve.signal, "signal", lambda number, act: None)
    server = serve.Server([sys.executable, "-c", "raise SystemExit(3)"])
    with pytest.raises(CannotGoOnError, match=r"ended by itself \(code 3\)"):
        server.wait()
