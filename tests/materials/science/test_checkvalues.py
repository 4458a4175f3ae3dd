"""Each published value is either checked by some test or listed with the reason why it is not."""

import json
from pathlib import Path

import pytest

DATA = Path(__file__).parents[2] / "data"
WITHOUT = json.loads((DATA / "checkvalues_without.json").read_text(encoding="utf-8"))
TABLES = sorted(path for path in DATA.glob("checkvalues_*.json") if path.stem != "checkvalues_without")


def ids_of(path):
    return [row["id"] for row in json.loads(path.read_text(encoding="utf-8"))]


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)
def test_no_value_is_both_checked_and_left_out(path):
    assert not set(ids_of(path)) & {row["id"] for row in WITHOUT}


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)
def test_each_checked_value_names_its_source(path):
    assert all(row["source"] and row["status"] for row in json.loads(path.read_text(encoding="utf-8")))


def test_no_value_is_checked_twice():
    every = [row for path in TABLES for row in ids_of(path)]
    assert len(every) == len(set(every))


def test_each_value_that_is_left_out_says_why():
    assert all(row["reason"] for row in WITHOUT)
