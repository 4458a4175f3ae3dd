"""Two starts at once: the second waits, and a dead one holds nobody up."""

import subprocess
import sys
from pathlib import Path

import pytest

from config.running.console import CannotGoOnError
from config.running.locks import alone

PROGRAM = Path(__file__).resolve().parents[2]
HOLD = """
import sys, time
from pathlib import Path
from config.running.locks import alone
with alone(Path(sys.argv[1]), "waiting"):
    print("held", flush=True)
    sys.stdin.readline()
print("let go", flush=True)
"""


def holder(path):
    """Another process that holds the lock until it is told to let go."""
    return subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)],
        cwd=PROGRAM,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def test_the_second_waits_for_the_first(tmp_path):
    with holder(tmp_path / "lock") as first, holder(tmp_path / "lock") as second:
        lines = {process: process.stdout.readline().strip() for process in (first, second)}
        ahead, behind = (first, second) if lines[first] == "held" else (second, first)
        assert lines == {ahead: "held", behind: "waiting"}
        ahead.communicate("\n")
        assert behind.stdout.readline().strip() == "held"
        behind.communicate("\n")


def test_a_dead_holder_holds_nobody_up(tmp_path, capsys):
    with holder(tmp_path / "lock") as dead:
        dead.stdout.readline()
        dead.kill()
        dead.communicate()
    with alone(tmp_path / "lock", "waiting"):
        assert capsys.readouterr().out == ""


def test_a_folder_without_rights_is_told_in_a_sentence(tmp_path):
    with pytest.raises(CannotGoOnError, match="can't be written to"), alone(tmp_path / "no" / "lock", ""):
        pass
