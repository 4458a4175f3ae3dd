"""What a machine lacks, and how it is told apart from others."""

import pytest

from config.running import machine
from config.running.machine import Machine, kinds

DEBIAN = Machine("Linux", frozenset({"debian"}), apt=True)
UBUNTU = Machine("Linux", frozenset({"ubuntu", "debian"}), apt=True)


@pytest.fixture
def bare(monkeypatch, tmp_path):
    """A machine that has nothing but Python."""
    monkeypatch.setattr(machine, "has_library", lambda name: False)
    monkeypatch.setattr(machine, "find_spec", lambda name: None)
    monkeypatch.setattr(machine, "postgres_folder", lambda: None)
    monkeypatch.setattr(machine, "CHROMIUM", tmp_path / "chromium")
    monkeypatch.setattr(machine, "venv_package", lambda: "python3-venv")


@pytest.mark.usefixtures("bare")
def test_a_bare_debian_lacks_venv_and_the_libraries_of_sheets():
    assert DEBIAN.missing(new=True) == [
        "python3-venv",
        "libpango-1.0-0",
        "libpangoft2-1.0-0",
        "libharfbuzz-subset0",
    ]


@pytest.mark.usefixtures("bare")
def test_an_environment_that_is_there_needs_no_venv():
    assert "python3-venv" not in DEBIAN.missing(new=False)


@pytest.mark.usefixtures("bare")
def test_tests_need_a_browser_and_what_drives_it():
    assert DEBIAN.missing(new=False, test=True)[-2:] == ["libatomic1", "chromium"]


@pytest.mark.usefixtures("bare")
def test_ubuntu_is_not_asked_for_a_chromium_package():
    assert "chromium" not in UBUNTU.missing(new=False, test=True)


@pytest.mark.usefixtures("bare")
def test_only_the_postgres_run_needs_postgres():
    assert "postgresql" not in DEBIAN.missing(new=False, test=True)
    assert "postgresql" in DEBIAN.missing(new=False, test=True, postgres=True)


def test_a_machine_with_everything_lacks_nothing(monkeypatch, tmp_path):
    monkeypatch.setattr(machine, "has_library", lambda name: True)
    monkeypatch.setattr(machine, "find_spec", lambda name: object())
    monkeypatch.setattr(machine, "postgres_folder", lambda: tmp_path)
    monkeypatch.setattr(machine, "CHROMIUM", tmp_path)
    assert DEBIAN.missing(new=True, test=True, postgres=True) == []


def test_a_library_that_no_system_has_is_not_found():
    assert not machine.has_library("libof-no-system.so.7")


@pytest.mark.parametrize(
    ("release", "found"),
    [
        ('NAME="Debian"\nID=debian\n', {"debian"}),
        ('ID="raspbian"\nID_LIKE=debian\n', {"raspbian", "debian"}),
        ("VERSION=1\n", set()),
    ],
)
def test_a_system_is_known_by_its_release_file(release, found):
    assert kinds(release) == found


def test_the_venv_package_is_that_of_this_very_python(monkeypatch):
    monkeypatch.setattr(machine.sys, "executable", "/opt/other/bin/python3")
    assert machine.venv_package() == f"python3.{machine.sys.version_info.minor}-venv"
