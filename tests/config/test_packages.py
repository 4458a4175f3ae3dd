"""System packages: installed where we may, asked for at a terminal, else named in one line."""

from subprocess import CompletedProcess

import pytest

from config.running import packages
from config.running.console import CannotGoOnError
from config.running.machine import Machine

ROOT = Machine("Linux", apt=True, root=True)
SUDOER = Machine("Linux", apt=True, sudo=True)
GUEST = Machine("Linux", apt=True)


def nothing_asked(question):
    raise AssertionError(f"asked: {question}")


@pytest.fixture
def ran(monkeypatch):
    """The commands that would have been run, all of them with success."""
    commands: list[list[str]] = []

    def note(command, **options):
        commands.append(command)
        return CompletedProcess(command, 0, "", "")

    monkeypatch.setattr(packages.subprocess, "run", note)
    return commands


@pytest.mark.parametrize(
    ("machine", "line"),
    [
        (ROOT, "apt-get update && apt-get install -y --no-install-recommends chromium"),
        (SUDOER, "sudo apt-get update && sudo apt-get install -y --no-install-recommends chromium"),
        (GUEST, "su -c 'apt-get update && apt-get install -y --no-install-recommends chromium'"),
    ],
)
def test_the_line_to_type_fits_who_types_it(machine, line):
    assert packages.line_to_type(["chromium"], machine) == line


def test_root_is_not_asked(monkeypatch):
    monkeypatch.setattr("builtins.input", nothing_asked)
    assert packages.allowed(["chromium"], ROOT, yes=False)


def test_yes_stands_for_the_answer(monkeypatch):
    monkeypatch.setattr("builtins.input", nothing_asked)
    assert packages.allowed(["chromium"], SUDOER, yes=True)


def test_without_a_terminal_nothing_is_installed_unasked():
    assert not packages.allowed(["chromium"], SUDOER, yes=False)


@pytest.mark.parametrize(("answer", "may"), [("y", True), ("Yes", True), ("", False), ("no", False)])
def test_a_person_at_a_terminal_is_asked(monkeypatch, answer, may):
    monkeypatch.setattr("builtins.input", lambda question: answer)
    terminal = Machine("Linux", apt=True, sudo=True, terminal=True)
    assert packages.allowed(["chromium"], terminal, yes=False) is may


def test_who_may_not_install_gets_the_one_line(ran):
    with pytest.raises(CannotGoOnError, match="Type this line.*\n  su -c 'apt-get update"):
        packages.ensure(GUEST, lambda: ["chromium"], yes=False)
    assert ran == []


def test_nothing_is_run_when_nothing_is_missing(ran):
    packages.ensure(ROOT, list, yes=False)
    assert ran == []


def test_what_is_missing_is_installed_once(ran):
    answers = iter([["chromium"], []])
    packages.ensure(ROOT, lambda: next(answers), yes=False)
    assert [command[2:] for command in ran] == [[*packages.APT, "chromium"]]


def test_an_install_that_did_not_help_is_not_called_done(ran):
    with pytest.raises(CannotGoOnError, match="This machine lacks chromium"):
        packages.ensure(ROOT, lambda: ["chromium"], yes=False)


def test_old_lists_of_packages_are_fetched_anew(monkeypatch):
    commands = []

    def fail_first(command, **options):
        commands.append(command[3])
        return CompletedProcess(command, 100 if len(commands) == 1 else 0, "", "not found")

    monkeypatch.setattr(packages.subprocess, "run", fail_first)
    packages.install(["chromium"], ROOT)
    assert commands == ["install", "update", "install"]


@pytest.mark.parametrize("system", ["Darwin", "Windows", "Linux"])
def test_a_system_without_apt_gets_a_sentence_and_goes_on(capsys, system):
    packages.ensure(Machine(system), lambda: ["libpango-1.0-0"], yes=False)
    assert "Pango" in capsys.readouterr().out
