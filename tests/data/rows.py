"""Check values: published or derived figures, each row with its source and its tolerance."""

import json
from pathlib import Path

import pytest


def rows(topic, **where):
    """The rows of one file whose fields begin as asked, each as a pytest parameter named by its id."""
    with Path(__file__).with_name(f"checkvalues_{topic}.json").open(encoding="utf-8") as file:
        found = [
            row for row in json.load(file) if all(row[key].startswith(start) for key, start in where.items())
        ]
    assert found, f"no row of checkvalues_{topic}.json begins with {where}"
    return [pytest.param(row, id=row["id"]) for row in found]
