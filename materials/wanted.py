"""What the rooms above want from the shelf; the shelf itself knows no projects."""

from dataclasses import dataclass
from datetime import date
from typing import Any


@dataclass(frozen=True)
class Want:
    """An amount of one thing that a project still wants, in the unit of that thing, and by when."""

    key: Any
    """The row that says so."""
    project: str
    project_key: Any
    unit: str
    amount: float
    resin: Any = None
    part: str = ""
    species: Any = None
    supply: Any = None
    thickness_mm: float | None = None
    width_mm: float | None = None
    length_mm: float | None = None
    block: str = ""
    """The block that it is for, where it is for one."""
    step: str = ""
    """The step that needs it, where one is planned; else the date is when the project is due."""
    on: date | None = None

    @property
    def target(self):
        """What it is, so that wants and lots of one thing are found together."""
        if self.resin:
            return "resin", self.resin.pk, self.part
        return ("wood", self.species.pk, "") if self.species else ("supply", self.supply.pk, "")


WANTS = []
"""Each takes a shop and gives what is wanted there; the rooms above put theirs in."""


def wants_of(shop):
    """All that is wanted in a shop, what is wanted soonest in front."""
    found = [want for ask in WANTS for want in ask(shop)]
    return sorted(found, key=lambda want: (want.on or date.max, want.project, want.part))
