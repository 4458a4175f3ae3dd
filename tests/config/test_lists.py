"""The pinned lists: three blocks of direct pins, and a full hashed list for each."""

import re

import pytest

from config.running import lists

TEXT = """# a remark
# --- run ---
Django==5.2.19
gunicorn==27.0.1; sys_platform != "win32"

# --- test ---
pytest==9.2.0
"""


def locked(block):
    """Name to versions, as the full list has them."""
    found: dict[str, set[str]] = {}
    for name, version in re.findall(r"^([\w.-]+)==([\w.]+)", lists.lock(block).read_text(), re.MULTILINE):
        found.setdefault(name.lower(), set()).add(version)
    return found


def name_and_version(pin):
    name, version = re.match(r"([\w.-]+)(?:\[\w+\])?==([\w.]+)", pin).groups()
    return name.lower(), version


def test_a_block_holds_the_pins_under_its_name():
    assert lists.pins("run", TEXT) == ["Django==5.2.19", 'gunicorn==27.0.1; sys_platform != "win32"']


def test_a_block_without_a_heading_is_empty():
    assert lists.pins("oracles", TEXT) == []


@pytest.mark.parametrize("block", lists.BLOCKS)
def test_every_direct_pin_stands_in_the_full_list(block):
    wanted = dict(name_and_version(pin) for part in lists.up_to(block) for pin in lists.pins(part))
    missing = {
        name: version for name, version in wanted.items() if version not in locked(block).get(name, ())
    }
    assert not missing, "run config/locks/make.py"


@pytest.mark.parametrize(("smaller", "larger"), [("run", "test"), ("test", "oracles")])
def test_a_larger_list_keeps_the_versions_of_the_smaller(smaller, larger):
    changed = {name: found for name, found in locked(smaller).items() if not found <= locked(larger)[name]}
    assert not changed


@pytest.mark.parametrize("block", lists.BLOCKS)
def test_every_package_of_a_full_list_has_a_hash(block):
    entries = re.split(r"^(?=\w)", lists.lock(block).read_text(), flags=re.MULTILINE)[1:]
    assert not [entry for entry in entries if "--hash=sha256:" not in entry]


@pytest.mark.parametrize("block", lists.BLOCKS)
def test_a_full_list_names_no_place_to_fetch_from(block):
    assert "://" not in lists.lock(block).read_text()


def test_the_checksum_changes_with_the_list(monkeypatch, tmp_path):
    monkeypatch.setattr(lists, "LOCKS", tmp_path)
    (tmp_path / "run.txt").write_text("django==1")
    before = lists.checksum("run")
    (tmp_path / "run.txt").write_text("django==2")
    assert lists.checksum("run") != before
