"""Reads a file of the PSPLIB single-mode format."""

import re
from pathlib import Path

from projects.planning.network import Link
from tests.projects.planning.shops import always, instance, task

DATA = Path(__file__).resolve().parents[2] / "data"
UNIT_MINUTES = 60


def psplib(name):
    """An instance whose unit of time is an hour, in a shop that never shuts."""
    text = (DATA / name).read_text(encoding="ascii")
    block = re.split(r"\*{10,}\n", text)
    numbers = [[int(word) for word in line.split()] for line in block[4].splitlines()[2:]]
    requests = [[int(word) for word in line.split()] for line in block[5].splitlines()[3:]]
    available = [int(word) for word in block[6].splitlines()[2].split()]
    tasks = [
        task(f"{job:02d}", duration * UNIT_MINUTES, people=0, resources=resources(amounts))
        for job, _, duration, *amounts in requests
    ]
    links = [Link(f"{job:02d}", f"{later:02d}") for job, _, _, *after in numbers for later in after]
    return instance(tasks, links, calendar=always(days=30), capacities=resources(available))


def resources(amounts):
    return {f"R{number}": amount for number, amount in enumerate(amounts, start=1)}
