"""How a panel moves with the moisture of its wood, and the room that its frame must leave."""

from materials.science.errors import checked


def movement_mm(
    size_mm: float, wood_fraction: float, coefficient_per_percent: float, moisture_change_percent: float
) -> float:
    """By how much a panel grows or shrinks across its strips.

    Parameters: size_mm, of the panel across its strips; wood_fraction, the share of wood across them;
    coefficient_per_percent, how much the wood changes for one percent of moisture content (a fraction of
    its size); moisture_change_percent, of the wood, in points of moisture content.
    Returns: mm, less than 0 for shrinking. Along the strips wood hardly moves.
    Raises: OutOfRange.
    Valid for: moisture contents from 6 to 14 %; resin that neither swells nor holds the wood back, so
    that a real panel moves less.
    Source: Wood Handbook FPL-GTR-190, table 13-5 (coefficients for 6 to 14 %).

    >>> round(movement_mm(1.5, 1, 0.0019, 4), 4)
    0.0114
    """
    checked("size_mm", size_mm, 0.01, 100_000, "mm")
    checked("wood_fraction", wood_fraction, 0, 1, "")
    checked("coefficient", coefficient_per_percent, 0, 0.01, "")
    checked("moisture_change_percent", moisture_change_percent, -30, 30, "%")
    return size_mm * wood_fraction * coefficient_per_percent * moisture_change_percent
