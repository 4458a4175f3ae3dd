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
    (17, 'red alder')
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


@dataclass(frozen=True)
class AbrasiveRow:
    """One grade of abrasive; `grain_um` is None where no size was found."""

    system: str
    grade: int
    grain_um: float | None
    source: str


@cache
def abrasives() -> tuple[AbrasiveRow, ...]:
    """Every grade of abrasive, from coarse to fine within its system ("P" or "CAMI").

    Source: in each row.

    >>> abrasives()[0].grade, sum(row.grain_um is None for row in abrasives())
    (12, 4)
    """
    return tuple(
        AbrasiveRow(row["system"], int(row["grade"]), _figure(row["grain_um"]), row["source"])
        for row in _rows("abrasives.csv")
    )


@dataclass(frozen=True)
class BeltRow:
    """What one belt may take off at most, and what the next one must take off after it."""

    grade: int
    most_mm: float
    next_least_mm: float
    source: str


@cache
def belts() -> tuple[BeltRow, ...]:
    """The wide-belt table of stock removal, from coarse to fine.

    Source: in each row.

    >>> belts()[1].next_least_mm
    0.2032
    """
    return tuple(
        BeltRow(int(row["grade"]), float(row["most_mm"]), float(row["next_least_mm"]), row["source"])
        for row in _rows("belts.csv")
    )


@dataclass(frozen=True)
class FinishRow:
    """How far a kind of finish goes a coat; the bottle's own figure comes first."""

    name: str
    penetrates: bool
    low_m2_per_l: float | None
    usual_m2_per_l: float | None
    high_m2_per_l: float | None
    source: str


@cache
def finishes() -> tuple[FinishRow, ...]:
    """Every kind of finish of the table.

    Source: in each row.

    >>> finishes()[0].usual_m2_per_l
    12.5
    """
    return tuple(
        FinishRow(
            row["name"],
            row["penetrates"] == "yes",
            _figure(row["low_m2_per_l"]),
            _figure(row["usual_m2_per_l"]),
            _figure(row["high_m2_per_l"]),
            row["source"],
        )
        for row in _rows("finishes.csv")
    )


def _figure(text: str) -> float | None:
    return float(text) if text else None


def _rows(file_name: str) -> list[dict[str, str]]:
    with Path(__file__).with_name(file_name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _species_row(row: dict[str, str]) -> SpeciesRow:
    def figure(column: str) -> float | None:
        return _figure(row[column])

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
