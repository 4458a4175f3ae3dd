"""The private environment: installed once, again when its list or its Python changes."""

import json

import pytest

from config.running import environment, lists
from config.running.console import CannotGoOnError
from config.running.environment import Environment


@pytest.fixture
def made(tmp_path):
    """An environment whose Python is a script that answers as pip and Python would."""
    home = Environment(tmp_path / "venv")
    home.python.parent.mkdir(parents=True)
    home.python.write_text(f'#!/bin/sh\n[ "$1" = -c ] && echo "3.11.2 here"\necho "$@" >> {tmp_path}/calls\n')
    home.python.chmod(0o755)
    return home


def installs(made):
    calls = (made.folder.parent / "calls").read_text().splitlines()
    return [call for call in calls if "install" in call]


def test_nothing_is_held_before_it_is_installed(made):
    assert not made.holds("run")


def test_what_was_installed_is_held(made):
    made.install("run")
    assert made.holds("run")


def test_packages_are_installed_by_their_hashes(made):
    made.install("run")
    assert "--require-hashes" in installs(made)[0]


def test_the_list_of_tests_brings_that_of_running(made):
    made.install("test")
    assert made.holds("run")
    assert not made.holds("oracles")


def test_a_changed_list_is_installed_again(made, monkeypatch):
    made.install("run")
    monkeypatch.setattr(lists, "checksum", lambda block: "another")
    assert not made.holds("run")


def test_another_python_makes_it_invalid(made):
    made.install("run")
    made.python.write_text("#!/bin/sh\necho '3.13.0 here'\n")
    assert not made.holds("run")


def test_a_python_that_is_gone_makes_it_invalid(made):
    made.install("run")
    made.python.unlink()
    made.python.symlink_to("/nowhere/python3")
    assert not made.holds("run")


def test_a_broken_one_is_made_anew(made, monkeypatch):
    made.python.unlink()
    monkeypatch.setattr(Environment, "make", lambda self: (self.folder / "made-anew").touch())
    monkeypatch.setattr(
        Environment, "identity", lambda self: "new" if (self.folder / "made-anew").exists() else ""
    )
    made.python.write_text("#!/bin/sh\n")
    made.python.chmod(0o755)
    made.install("run")
    assert made.holds("run")


def test_an_install_that_fails_leaves_no_stamp(made):
    made.install("run")
    made.python.write_text(
        '#!/bin/sh\n[ "$1" = -c ] && echo 3.11.2 && exit\necho "no such version" >&2; exit 1\n'
    )
    with pytest.raises(CannotGoOnError, match="no such version\nThe packages could not be installed"):
        made.install("run")
    assert not made.stamp.exists()


def test_an_unreadable_stamp_counts_as_none(made):
    made.stamp.write_text("{half a")
    assert not made.holds("run")


def test_a_stamp_without_a_python_is_not_trusted(made):
    made.stamp.write_text(json.dumps({"identity": "", "lists": {"run": lists.checksum("run")}}))
    made.python.unlink()
    assert not made.holds("run")


def test_this_process_knows_where_it_runs(monkeypatch):
    monkeypatch.setattr(environment.sys, "prefix", str(environment.ENVIRONMENT))
    assert environment.inside()
    monkeypatch.setattr(environment.sys, "prefix", "/usr")
    assert not environment.inside()
