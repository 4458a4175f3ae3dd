"""What the calculations raise when an input lies outside the range in which they hold."""

import math
from collections.abc import Iterable


class OutOfRange(ValueError):  # noqa: N818  (it is the name of a fact, not of an exception class)
    """A value lies outside the range in which a calculation holds.

    Parameters: name, the quantity with its unit as in the code (`gap_mm`); value, low and high in that
    unit; unit, as a maker reads it.

    >>> str(OutOfRange("gap_mm", -1, 0, 10_000, "mm"))
    'gap is -1 mm, which is too low: it must be from 0 to 10000 mm'
    """

    def __init__(self, name: str, value: float, low: float, high: float, unit: str) -> None:
        super().__init__(name, value, low, high, unit)
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        if not math.isfinite(self.value):
            fault = "is not a number that can be used"
        elif self.value < self.low:
            fault = f"is {self.value:.10g}{unit}, which is too low"
        elif self.value > self.high:
            fault = f"is {self.value:.10g}{unit}, which is too high"
        else:
            fault = f"is {self.value:.10g}{unit}, which is not a whole number"
        return f"{in_words(self.name)} {fault}: it must be from {self.low:.10g} to {self.high:.10g}{unit}"


class UnknownName(LookupError):  # noqa: N818  (as above)
    """A table holds no row of that name; the message lists the names that it holds.

    Parameters: kind, what the table holds; name, what was asked for; known, the names in the table.

    >>> str(UnknownName("species", "oak", ["red oak", "white oak"]))
    'no species is called "oak"; known are: red oak, white oak'
    """

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        self.kind = kind
        self.name = name
        self.known = sorted(known)
        super().__init__(kind, name, self.known)

    def __str__(self) -> str:
        return f'no {self.kind} is called "{self.name}"; known are: {", ".join(self.known)}'


# the endings of names that are units; a maker reads the unit after the figure instead
UNITS = (
    *("_kg_m3", "_g_ml", "_per_mm", "_w_per_m_k", "_percent", "_hours", "_minutes"),
    *("_j_per_mol", "_j_per_kg_k", "_j_per_kg", "_w_per_m2_k", "_per_s", "_m2_l", "_m2", "_um", "_pa_s"),
    *("_n_m", "_rad", "_mm", "_ml", "_min", "_deg", "_gpa", "_c", "_g", "_h", "_k"),
)
WORDS = {
    "temp": "temperature",
    "depth temp": "temperature of the depth",
    "a": "part A",
    "actual a": "part A",
    "b": "part B",
    "index": "refractive index",
}


def in_words(name: str) -> str:
    """A quantity's name as a maker reads it, without its unit.

    >>> in_words("sheet_mass_g"), in_words("strips"), in_words("fraction_at")
    ('sheet mass', 'strips', 'fraction at')
    >>> in_words("a_g"), in_words("temp_c")
    ('part A', 'temperature')
    """
    for unit in UNITS:
        name = name.removesuffix(unit)
    name = name.replace("_", " ")
    return WORDS.get(name, name)


def checked(name: str, value: float, low: float, high: float, unit: str) -> float:
    """The value itself, if it is a finite number from low to high.

    Parameters: as those of OutOfRange.
    Raises: OutOfRange, for anything outside, infinite or not a number.

    >>> checked("temp_c", 20, -10, 60, "°C")
    20
    """
    if not low <= value <= high:  # a comparison with "not a number" is false, so that it is caught too
        raise OutOfRange(name, value, low, high, unit)
    return value
