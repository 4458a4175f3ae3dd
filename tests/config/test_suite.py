"""The command `test`: which parts run, and when it fails."""

import subprocess
import sys

import pytest

from config.running import parent, suite
from tests.config.running import PROGRAM, clean_environment

ORACLE = """
import pytest

@pytest.mark.oracle
def test_compared():
    {body}
"""


def marks(part):
    return part.command[part.command.index("-m", 3) + 1] if "-m" in part.command[3:] else ""


def test_our_options_are_kept_from_pytest():
    assert suite.split(["--yes", "tests/config", "-x", "--postgres"]) == (
        {"--yes", "--postgres"},
        ["tests/config", "-x"],
    )


def test_the_fast_tests_come_before_the_browser():
    parts = suite.tests([], oracles=False, browser=True, database="")
    assert [marks(part) for part in parts] == ["not browser and not oracle", "browser and not oracle"]


def test_oracles_run_when_asked_for():
    parts = suite.tests([], oracles=True, browser=True, database="")
    assert [marks(part) for part in parts] == [
        "not browser and not oracle",
        "oracle",
        "browser and not oracle",
    ]
    assert parts[1].environment == {"GRAINGLASS_ORACLES": "1"}


def test_a_second_database_is_spared_what_touches_none():
    fast = suite.tests([], oracles=False, browser=True, database="PostgreSQL")[0]
    assert [word for word in fast.command if word.startswith("--ignore=")] == [
        f"--ignore={folder}" for folder in suite.NO_DATABASE
    ]


def test_everything_that_is_spared_stands_there():
    spared = [*suite.NO_DATABASE, *suite.LOOKS_ONLY]
    assert [place for place in spared if not (suite.PROGRAM / place).exists()] == []


def test_own_arguments_go_to_one_run_of_pytest():
    (part,) = suite.tests(["tests/config", "-x"], oracles=False, browser=True, database="")
    assert part.command[-2:] == ["tests/config", "-x"]


def test_a_failing_part_fails_the_suite_and_the_others_still_run(monkeypatch, capsys):
    parts = [
        suite.Part(name, suite.python("-c", f"raise SystemExit({code})"))
        for name, code in [("a", 1), ("b", 0)]
    ]
    monkeypatch.setattr(suite, "checks", lambda: parts)
    monkeypatch.setattr(suite, "tests", lambda own, **options: [])
    monkeypatch.setattr(suite, "have_browser", lambda yes: "")
    monkeypatch.setattr(suite, "forget_shop", lambda: None)
    assert suite.test([]) == 1
    said = capsys.readouterr().out
    assert "--- a: FAILED (1) in" in said
    assert "--- b: passed in" in said
    assert "failed: a;" in said


def test_without_a_browser_it_says_so_and_fails(monkeypatch, capsys):
    monkeypatch.setattr(suite, "checks", list)
    monkeypatch.setattr(suite, "tests", lambda own, **options: [])
    monkeypatch.setattr(suite, "have_browser", lambda yes: "no browser could be fetched.")
    monkeypatch.setattr(suite, "forget_shop", lambda: None)
    assert suite.test([]) == 1
    assert "The browser tests did not run: no browser could be fetched." in capsys.readouterr().out


def test_the_shops_own_settings_are_forgotten(monkeypatch):
    for name in ("DJANGO_SETTINGS_MODULE", "DATABASE_URL", "GRAINGLASS_DATA", "GRAINGLASS_PRODUCTION"):
        monkeypatch.setenv(name, "the shop's")
    suite.forget_shop()
    assert "the shop's" not in suite.os.environ.values()


def compare(folder, body, *arguments):
    """Run one comparison with the plugin that `--oracles` adds."""
    (folder / "test_oracle.py").write_text(ORACLE.format(body=body))
    return with_plugin(folder, *arguments)


def with_plugin(folder, *arguments):
    """Run the tests of a folder with the plugin that `--oracles` adds."""
    command = [sys.executable, "-m", "pytest", "-p", "config.running.oracles", "-c", "/dev/null", *arguments]
    return subprocess.run(
        [*command, "--rootdir", folder, folder],
        cwd=PROGRAM,
        env=clean_environment(PYTEST_DISABLE_PLUGIN_AUTOLOAD="1"),
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_comparison_that_ran_passes(tmp_path):
    assert compare(tmp_path, "assert True").returncode == 0


@pytest.mark.parametrize(
    ("body", "arguments"),
    [
        ("pytest.skip('no library')", []),
        ("pytest.importorskip('no_such_library')", []),
        ("pass", ["-k", "other"]),
    ],
    ids=["skipped", "without its library", "deselected"],
)
def test_a_comparison_that_did_not_run_fails(tmp_path, body, arguments):
    said = compare(tmp_path, body, *arguments)
    assert said.returncode != 0
    assert "NOT COMPARED: " in said.stdout


def test_a_file_that_skips_itself_fails(tmp_path):
    (tmp_path / "test_other.py").write_text("import pytest\npytest.importorskip('no_such_library')\n")
    assert compare(tmp_path, "assert True").returncode != 0


def test_no_comparison_at_all_fails(tmp_path):
    (tmp_path / "test_plain.py").write_text("def test_plain():\n    pass\n")
    said = with_plugin(tmp_path)
    assert "no comparison with a reference library was found" in said.stdout
    assert said.returncode != 0


def test_the_check_of_a_change_asks_for_everything():
    script = (PROGRAM / ".ci" / "run").read_text()
    assert "python3 manage.py test --yes --oracles --postgres\n" in script
    assert "python3 manage.py check --deploy --fail-level WARNING" in script
    assert "set -euo pipefail" in script


CLUSTER = """
import signal, sys, time
from contextlib import contextmanager
from config.running import parent, suite

@contextmanager
def cluster():
    try:
        yield "postgres:///", "0"
    finally:
        print("torn down", flush=True)

suite.private_cluster = cluster
suite.have_browser = lambda yes: ""
suite.checks = list
waits = suite.Part("waits", suite.python("-c", "import time; print('runs', flush=True); time.sleep(60)"))
suite.tests = lambda own, database, **options: [waits] if database else []
suite.test(["--postgres"])
"""


def test_told_to_end_it_takes_its_database_server_with_it():
    command = [sys.executable, "-c", CLUSTER]
    with subprocess.Popen(
        command,
        cwd=PROGRAM,
        env=clean_environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as begun:
        lines = iter(begun.stdout.readline, "")
        assert "runs\n" in lines
        begun.terminate()
        assert "torn down\n" in lines
        assert begun.wait(timeout=20) != 0


def test_the_tests_do_not_end_with_whoever_began_the_command(monkeypatch):
    monkeypatch.setenv(parent.PARENT, "2")
    show = suite.Part(
        "shows it", [sys.executable, "-c", f"import os; assert {parent.PARENT!r} not in os.environ"]
    )
    assert list(suite.run_parts([show])) == [("shows it", True)]
