"""What README and DEVELOPERS say about running is what the program does."""

import re

import pytest
from django.core.management import get_commands

from config import serve, setup
from config.running import suite
from config.running.copies import KEPT
from config.running.machine import LIBRARIES, TEST_LIBRARIES
from tests.config.running import PROGRAM

README, DEVELOPERS = (PROGRAM / "README.md").read_text(), (PROGRAM / "DEVELOPERS.md").read_text()
SETTING = re.compile(r"GRAINGLASS_[A-Z_]+")
NOT_FOR_SHOPS = {"GRAINGLASS_DEBUG", "GRAINGLASS_ORACLES"}
"""Read by the program, for those who change it."""


def settings_read():
    sources = [PROGRAM / "config" / "settings.py", *(PROGRAM / "config" / "running").glob("*.py")]
    sources += [PROGRAM / "config" / "setup.py", PROGRAM / "config" / "lan.py"]
    return {name for source in sources for name in SETTING.findall(source.read_text())} - NOT_FOR_SHOPS


def table_of_settings(text):
    return set(re.findall(r"^\| `(GRAINGLASS_[A-Z_]+)`", text, re.MULTILINE))


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_setting_is_told_and_none_that_is_not_there(text):
    assert table_of_settings(text) == settings_read()


def test_the_readme_names_the_options_of_start():
    named = set(re.findall(r"`start (--[a-z]+)", README))
    assert named == {"--empty", "--lan", "--port"}
    assert named <= set(serve.parser()._option_string_actions)


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_command_that_is_named_is_there(text):
    named = set(re.findall(r"python3 manage\.py ([a-z_]+)", text))
    assert named <= {*setup.SET_UP, *get_commands()}


@pytest.mark.parametrize("option", sorted(set(re.findall(r"`start (--\w+)", README + DEVELOPERS))))
def test_every_option_of_start_that_is_named_is_there(option):
    assert option in serve.parser().format_help()


def test_the_options_of_test_are_told():
    assert all(f"`{option}`" in README + DEVELOPERS for option in suite.OPTIONS)


def test_the_system_packages_are_those_that_are_looked_for():
    told = f"`{' '.join(LIBRARIES.values())}`"
    assert told in DEVELOPERS
    assert all(f"`{package}`" in DEVELOPERS for package in TEST_LIBRARIES.values())


def test_the_number_of_copies_is_told():
    words = {10: "the newest ten"}
    assert words[KEPT] in DEVELOPERS


def test_the_full_lists_that_are_named_are_there():
    named = set(re.findall(r"config/locks/[\w.]+", README + DEVELOPERS))
    assert named
    assert not [name for name in named if not (PROGRAM / name.rstrip(".")).exists()]
