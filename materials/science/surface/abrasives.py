"""Grades of abrasive: how coarse they are, and in which order to use them.

A number alone says nothing: P400 has grains of 35 µm, CAMI 400 of 23 µm. Every grade here has its system.
"""

from dataclasses import dataclass
from typing import Literal

from materials.science.errors import OutOfRange, UnknownName
from materials.science.reference import load

System = Literal["P", "CAMI"]
Level = Literal["clear", "caution", "stop"]
# a step within the first is usual, within the second leaves scratches unless one works long
USUAL_RATIO, LARGEST_RATIO = 1.65, 2.2


class BareGrade(ValueError):  # noqa: N818  (it is the name of a fact, not of an exception class)
    """A grade without its system, which could be either.

    >>> str(BareGrade("400"))
    '"400" could be P400 or CAMI 400, whose grains differ: say which'
    """

    def __init__(self, grade: str) -> None:
        super().__init__(grade)
        self.grade = grade

    def __str__(self) -> str:
        return f'"{self.grade}" could be P{self.grade} or CAMI {self.grade}, whose grains differ: say which'


class NoSize(LookupError):  # noqa: N818  (as above)
    """A grade whose grains' size was not found in print.

    >>> str(NoSize("P3000"))
    'no published size of the grains of P3000 was found'
    """

    def __init__(self, grade: str) -> None:
        super().__init__(grade)
        self.grade = grade

    def __str__(self) -> str:
        return f"no published size of the grains of {self.grade} was found"


def read_grade(text: str) -> tuple[System, int]:
    """System and number of a grade as it is written on the paper.

    Parameters: text, "P120" or "CAMI 120".
    Returns: the system, "P" or "CAMI", and the number.
    Raises: BareGrade for a number alone; UnknownName for anything else.
    Source: the grade tables.

    >>> read_grade("P 120"), read_grade("cami 320")
    (('P', 120), ('CAMI', 320))
    """
    plain = "".join(text.upper().split())
    if plain.isdecimal():
        raise BareGrade(text.strip())
    for system in ("CAMI", "P"):
        number = plain.removeprefix(system)
        if plain.startswith(system) and number.isdecimal():
            return _row(system, int(number)).system, int(number)  # type: ignore[return-value]
    raise UnknownName("grade of abrasive", text, _names())


def grain_um(grade: int | str, system: System | None = None) -> float:
    """How large the grains of an abrasive are.

    Parameters: grade, its number, or as written ("P120"); system, "P" (FEPA, ISO 6344) or "CAMI" (American).
    Returns: mean or median size in µm.
    Raises: BareGrade for a number without its system; UnknownName; NoSize where none was found.
    Valid for: coated abrasives.
    Source: FEPA 43, ISO 6344 and CAMI grade tables; the source stands in each row.

    >>> grain_um(400, "P"), grain_um(400, "CAMI")
    (35.0, 23.0)
    """
    if system is None:
        system, grade = read_grade(str(grade))
    try:
        number = int(grade)
    except ValueError:
        own_system, number = read_grade(str(grade))
        if own_system != system:
            raise UnknownName("grade of abrasive", f"{grade} of {system}", _names()) from None
    found = _row(system, number).grain_um
    if found is None:
        raise NoSize(_name(system, number))
    return found


def step_ratio(a: str, b: str) -> float:
    """How many times coarser the first of two grades is.

    Parameters: a and b, as written ("P80", "CAMI 320").
    Returns: grain size of a over that of b.
    Raises: as grain_um.
    Valid for: grades of either system.
    Source: as grain_um.

    >>> round(step_ratio("P80", "P120"), 3)
    1.608
    """
    return grain_um(a) / grain_um(b)


def step_level(ratio: float) -> Level:
    """Whether a step from one grade to the next is usual, long, or too far.

    Parameters: ratio, from step_ratio.
    Returns: "clear" up to 1.65, "caution" up to 2.2, else "stop".
    Raises: OutOfRange for a step that goes back to a coarser grade.
    Source: derived from "skip at most one grade" (trade); the two limits are a judgement.

    >>> step_level(1.61), step_level(2.45)
    ('clear', 'stop')
    """
    if not 1 < ratio < 1000:
        raise OutOfRange("ratio", ratio, 1, 1000, "")
    if ratio <= USUAL_RATIO:
        return "clear"
    return "caution" if ratio <= LARGEST_RATIO else "stop"


@dataclass(frozen=True)
class GradeStep:
    """One grade of a progression; `ratio` and `level` judge the step to it (the first has none).

    >>> GradeStep("P80", 201.0, None, None).grade
    'P80'
    """

    grade: str
    grain_um: float
    ratio: float | None
    level: Level | None


def progression(start: str, finish: str) -> tuple[GradeStep, ...]:
    """The fewest grades from a coarse one to a fine one, every step a usual one.

    Parameters: start and finish, as written; both of one system.
    Returns: the grades in their order, each with how far the step to it is.
    Raises: as grain_um; UnknownName for two systems; OutOfRange if finish is the coarser.
    Valid for: grades with a published size.
    Source: as step_level.

    >>> [step.grade for step in progression("P80", "P240")]
    ['P80', 'P120', 'P180', 'P240']
    """
    system, last = read_grade(finish)
    if read_grade(start)[0] != system:
        raise UnknownName(f"grade of {system}", start, [name for name in _names() if name.startswith(system)])
    coarse, fine = grain_um(start), grain_um(finish)
    if coarse <= fine:
        raise OutOfRange("start_um", coarse, fine, 2000, "µm")
    path = [GradeStep(_name(*read_grade(start)), coarse, None, None)]
    while path[-1].grain_um > fine:
        here = path[-1].grain_um
        usual = [row for row in _sized(system, fine, here) if here / row.grain_um <= USUAL_RATIO]
        # the finest that is still a usual step; where the table has a hole, the next one there is
        reached = usual[-1] if usual else _sized(system, fine, here)[0]
        ratio = here / reached.grain_um
        path.append(GradeStep(reached.name, reached.grain_um, ratio, step_level(ratio)))
    return tuple(path)


@dataclass(frozen=True)
class _Sized:
    name: str
    grain_um: float


def _sized(system: str, finest_um: float, coarser_than: float) -> list[_Sized]:
    return [
        _Sized(_name(row.system, row.grade), row.grain_um)
        for row in load.abrasives()
        if row.system == system and row.grain_um is not None and finest_um <= row.grain_um < coarser_than
    ]


def nearest(grade: str) -> str:
    """The grade of the other system whose grains are most nearly as large.

    Parameters: grade, as written.
    Returns: a grade of the other system, as written.
    Raises: as grain_um.
    Valid for: grades with a published size.
    Source: as grain_um.

    >>> nearest("CAMI 320"), nearest("CAMI 400")
    ('P400', 'P800')
    """
    other = "CAMI" if read_grade(grade)[0] == "P" else "P"
    wanted = grain_um(grade)
    return min(_sized(other, 0, 1e9), key=lambda row: abs(row.grain_um - wanted)).name


def next_least_mm(grade: int) -> float:
    """What the next belt must take off after this one, so that its scratches are gone.

    Parameters: grade of the belt before, 60 to 220 as the table numbers them.
    Returns: mm.
    Raises: UnknownName.
    Valid for: wide belts on wood; by hand one grain's size is a safe rule for coarse grades.
    Source: wide-belt table of stock removal, trade press.

    >>> next_least_mm(80)
    0.2032
    """
    return _belt(grade).next_least_mm


def belts_total_mm(grades: tuple[int, ...]) -> float:
    """What a sequence of belts takes off: the first as much as it may, each next what it must.

    Parameters: grades, from coarse to fine.
    Returns: mm.
    Raises: UnknownName; OutOfRange if they do not get finer.
    Valid for, source: as next_least_mm.

    >>> round(belts_total_mm((120, 150, 180)), 4)
    0.4064
    """
    if not grades:
        raise OutOfRange("grades", 0, 1, 20, "")
    for before, after in zip(grades, grades[1:], strict=False):
        if after <= before:
            raise OutOfRange("grade", after, before + 1, 10_000, "")
    return _belt(grades[0]).most_mm + sum(next_least_mm(grade) for grade in grades[:-1])


def _belt(grade: int) -> load.BeltRow:
    for row in load.belts():
        if row.grade == grade:
            return row
    raise UnknownName("belt", str(grade), [str(row.grade) for row in load.belts()])


def _row(system: str, number: int) -> load.AbrasiveRow:
    for row in load.abrasives():
        if (row.system, row.grade) == (system, number):
            return row
    raise UnknownName("grade of abrasive", _name(system, number), _names())


def _name(system: str, number: int) -> str:
    return f"P{number}" if system == "P" else f"{system} {number}"


def _names() -> list[str]:
    return [_name(row.system, row.grade) for row in load.abrasives()]
