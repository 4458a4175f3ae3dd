"""Which command goes which way: set up, move inside, or run at once."""

import signal
import subprocess
import sys

import pytest

from config import setup
from config.running.console import CannotGoOnError
from config.running.environment import Environment
from tests.config.running import PROGRAM, clean_environment, manage


@pytest.fixture
def way(monkeypatch):
    """The steps that would have been taken."""
    taken = []
    monkeypatch.delenv("GRAINGLASS_SKIP_SETUP", raising=False)
    monkeypatch.setattr(setup, "inside", lambda: False)
    monkeypatch.setattr(setup, "prepare", lambda words: taken.append("set up"))
    monkeypatch.setattr(setup, "run_inside", lambda environment, words: taken.append("inside"))
    monkeypatch.setattr(setup, "run_here", lambda words: taken.append("here"))
    monkeypatch.setattr(Environment, "identity", lambda self: "3.11.2 there")
    return taken


@pytest.mark.parametrize("word", ["start", "test", "prepare"])
def test_the_commands_set_up_first(way, word):
    setup.choose([word])
    assert way == ["set up", "inside"]


def test_the_commands_set_up_inside_too(way, monkeypatch):
    monkeypatch.setattr(setup, "inside", lambda: True)
    setup.choose(["start"])
    assert way == ["set up", "inside"]


def test_other_commands_move_inside(way):
    setup.choose(["migrate"])
    assert way == ["inside"]


def test_other_commands_run_at_once_inside(way, monkeypatch):
    monkeypatch.setattr(setup, "inside", lambda: True)
    setup.choose(["migrate"])
    assert way == ["here"]


def test_other_commands_say_what_to_type_when_nothing_is_set_up(way, monkeypatch):
    monkeypatch.setattr(Environment, "identity", lambda self: "")
    with pytest.raises(CannotGoOnError, match="Type: python3 manage.py start"):
        setup.choose(["migrate"])


@pytest.mark.parametrize("word", ["start", "migrate"])
def test_set_up_can_be_turned_off(way, monkeypatch, word):
    monkeypatch.setenv("GRAINGLASS_SKIP_SETUP", "1")
    setup.choose([word])
    assert way == ["here"]


@pytest.mark.parametrize("words", [[], ["--help"], ["-h"]])
def test_without_a_command_it_tells_which_there_are(capsys, words):
    assert setup.run(words) == 0
    assert "python3 manage.py start" in capsys.readouterr().out


@pytest.mark.parametrize("word", ["-h", "--help"])
def test_the_options_of_start_are_told_before_anything_is_set_up(way, capsys, word):
    assert setup.run(["start", "--port", "8001", word]) == 0
    assert "--port PORT" in capsys.readouterr().out
    assert way == []


@pytest.mark.parametrize(
    ("words", "block"),
    [(["start"], "run"), (["test", "-x"], "test"), (["test", "--oracles"], "oracles")],
)
def test_each_command_gets_its_block_of_packages(words, block):
    assert setup.block_for(words) == block


def test_djangos_commands_are_reached(tmp_path):
    said = manage("check", GRAINGLASS_DATA=str(tmp_path), GRAINGLASS_SECRET="only for this test")
    assert said.returncode == 0, said.stderr


def test_the_exit_code_of_the_inner_command_is_ours(tmp_path):
    manage_py = tmp_path / "manage.py"
    manage_py.write_text("import os, sys\nsys.exit(7 if os.environ['GRAINGLASS_SKIP_SETUP'] == '1' else 0)")
    with pass_through(tmp_path) as outer:
        assert outer.wait(timeout=20) == 7


def test_a_signal_reaches_the_inner_command(tmp_path):
    (tmp_path / "manage.py").write_text(
        "import signal, sys\nsignal.signal(signal.SIGTERM, lambda *_: sys.exit(9))\n"
        "print('there', flush=True)\nsignal.pause()\n"
    )
    with pass_through(tmp_path) as outer:
        outer.stdout.readline()
        outer.send_signal(signal.SIGTERM)
        assert outer.wait(timeout=20) == 9


def pass_through(folder):
    """The outer process of a program that lies in another folder."""
    code = (
        "import sys; from pathlib import Path; from config import setup; "
        f"setup.PROGRAM = Path({str(folder)!r}); Environment = setup.Environment; "
        "Environment.python = sys.executable; sys.exit(setup.run_inside(Environment(), ['start']))"
    )
    return subprocess.Popen(
        [sys.executable, "-c", code], cwd=PROGRAM, env=clean_environment(), stdout=subprocess.PIPE, text=True
    )
