"""How wood grows and shrinks across its grain as its moisture changes."""

from materials.science.errors import OutOfRange, checked

# between these the coefficients of the printed table hold
LOW_PERCENT, HIGH_PERCENT = 6.0, 14.0
SATURATION_PERCENT = 30.0


class BeyondCoefficients(OutOfRange):
    """A moisture for which the coefficients of movement do not hold; the message names what does.

    >>> print(BeyondCoefficients("to_percent", 20, 6, 14, "%"))
    to is 20 %, which is too high: it must be from 6 to 14 %; beyond that use change_by_shrinkage_mm
    """

    def __str__(self) -> str:
        return f"{super().__str__()}; beyond that use change_by_shrinkage_mm"


def change_mm(
    size_mm: float, coefficient_per_percent: float, from_percent: float, to_percent: float
) -> float:
    """How much a piece grows as its moisture changes, between 6 and 14 %.

    Parameters: size_mm, at the first moisture; coefficient_per_percent, radial or tangential, of the species;
    from_percent and to_percent, moisture in percent of the dry mass.
    Returns: mm; minus is shrinking.
    Raises: OutOfRange; beyond 6 to 14 % its message names change_by_shrinkage_mm.
    Valid for: 6 to 14 %.
    Source: Wood Handbook FPL-GTR-190 (2010), eq. 13-2.

    >>> round(change_mm(232, 0.00245, 8, 11), 1)
    1.7
    """
    checked("size_mm", size_mm, 0.001, 100_000, "mm")
    checked("coefficient_per_percent", coefficient_per_percent, 0, 0.01, "per %")
    for name, value in (("from_percent", from_percent), ("to_percent", to_percent)):
        if not LOW_PERCENT <= value <= HIGH_PERCENT:
            raise BeyondCoefficients(name, value, LOW_PERCENT, HIGH_PERCENT, "%")
    return size_mm * coefficient_per_percent * (to_percent - from_percent)


def change_by_shrinkage_mm(
    size_mm: float, shrinkage_percent: float, from_percent: float, to_percent: float
) -> float:
    """How much a piece grows as its moisture changes, up to the 30 % at which wood is full.

    Parameters: size_mm, at the first moisture; shrinkage_percent, from green to dry, of the species;
    from_percent and to_percent, moisture in percent of the dry mass.
    Returns: mm; minus is shrinking.
    Raises: OutOfRange.
    Valid for: 0 to 30 %; within 6 to 14 % change_mm is better.
    Source: Wood Handbook FPL-GTR-190 (2010), eq. 13-3 (its bracket from memory).

    >>> round(change_by_shrinkage_mm(100, 10.5, 20, 8), 3)
    -4.352
    """
    checked("size_mm", size_mm, 0.001, 100_000, "mm")
    checked("shrinkage_percent", shrinkage_percent, 0.1, 30, "%")
    checked("from_percent", from_percent, 0, SATURATION_PERCENT, "%")
    checked("to_percent", to_percent, 0, SATURATION_PERCENT, "%")
    bracket = SATURATION_PERCENT * 100 / shrinkage_percent - SATURATION_PERCENT + from_percent
    return size_mm * (to_percent - from_percent) / bracket
