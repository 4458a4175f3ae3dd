"""The reference tables, read from the CSV files beside this module. Nothing else in the core reads files."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from materials.science.errors import UnknownName


@dataclass(frozen=True)
class SpeciesRow:
    """One species of wood with its published properties; None where none was found.

    Shrinkage is from green to oven-dry, in percent of the green size; `radial_per_percent` and
    `tangential_per_percent` are the change of size per percent of moisture (valid from 6 to 14 %);
    `specific_gravity` is on oven-dry mass and volume at 12 %; `modulus_gpa` is along the grain at 12 %.
    `from_memory` names the columns that were not seen in print, `source` the tables of the others.
    """

    name: str
    handbook_name: str
    radial_shrinkage_percent: float | None
    tangential_shrinkage_percent: float | None
    volumetric_shrinkage_percent: float | None
    radial_per_percent: float | None
    tangential_per_percent: float | None
    specific_gravity: float | None
    modulus_gpa: float | None
    from_memory: tuple[str, ...]
    source: str


@cache
def species() -> tuple[SpeciesRow, ...]:
    """Every species of the table, in its order.

    Source: in each row.

    >>> len(species()), species()[0].name
    (12, 'red alder')
    """
    return tuple(_species_row(row) for row in _rows("species.csv"))


def species_named(name: str) -> SpeciesRow:
    """One species by its name.

    Parameters: name, as the table spells it.
    Raises: UnknownName, which lists the known ones.
    Source: in the row.

    >>> species_named("black walnut").tangential_per_percent
    0.00274
    """
    known = {row.name: row for row in species()}
    if name not in known:
        raise UnknownName("species", name, known)
    return known[name]


def _rows(file_name: str) -> list[dict[str, str]]:
    with Path(__file__).with_name(file_name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _species_row(row: dict[str, str]) -> SpeciesRow:
    def figure(column: str) -> float | None:
        return float(row[column]) if row[column] else None

    return SpeciesRow(
        name=row["name"],
        handbook_name=row["handbook_name"],
        radial_shrinkage_percent=figure("radial_shrinkage_percent"),
        tangential_shrinkage_percent=figure("tangential_shrinkage_percent"),
        volumetric_shrinkage_percent=figure("volumetric_shrinkage_percent"),
        radial_per_percent=figure("radial_per_percent"),
        tangential_per_percent=figure("tangential_per_percent"),
        specific_gravity=figure("specific_gravity"),
        modulus_gpa=figure("modulus_gpa"),
        from_memory=tuple(row["from_memory"].split()),
        source=row["source"],
    )
