"""Strips before they are stacked: how many a sheet gives, how alike they are, and whether they fit."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist, mean, stdev

from materials.science.errors import OutOfRange, checked
from projects.geometry.stack import Stack, checked_strips


def inch_mm(inches: str) -> float:
    """A fraction of an inch, as veneers are sold, in mm.

    Parameters: inches, like "1/42" or "3 1/2".
    Returns: mm.
    Raises: ValueError for what is no such fraction.
    Source: the inch is 25.4 mm by definition.

    >>> round(inch_mm("1/42"), 4), inch_mm("3 1/2")
    (0.6048, 88.9)
    """
    try:
        total = sum(Fraction(part) for part in inches.split())
    except (ValueError, ZeroDivisionError):
        raise ValueError(f'"{inches}" is no fraction of an inch, like 1/42') from None
    return float(total * Fraction("25.4"))


@dataclass(frozen=True)
class Yield:
    """What a sheet or a board gives.

    Parameters: strips, how many; used_fraction, the share of it that ends in them.

    >>> Yield(50, 0.9).sheets_for(120)
    3
    """

    strips: int
    used_fraction: float

    def sheets_for(self, strips: int) -> int:
        """How many such sheets or boards so many strips need.

        Raises: OutOfRange, also where one gives none.

        >>> Yield(50, 0.9).sheets_for(100)
        2
        """
        checked("strips_per_sheet", self.strips, 1, 1_000_000, "strips")
        return -(-checked_strips(strips) // self.strips)

    def last_fraction(self, strips: int) -> float:
        """Which share of the strips of the last of those sheets or boards is needed.

        Raises: OutOfRange, also where one gives none.

        >>> Yield(50, 0.9).last_fraction(120), Yield(50, 0.9).last_fraction(100)
        (0.4, 1.0)
        """
        return (strips - (self.sheets_for(strips) - 1) * self.strips) / self.strips


def from_sheet(
    sheet_mm: tuple[float, float],
    strip_mm: tuple[float, float],
    kerf_mm: float = 0,
    *,
    grain_along: bool = True,
) -> Yield:
    """The strips that a sheet of veneer gives.

    Parameters: sheet_mm, its size along and across the grain; strip_mm, length and height of a strip;
    kerf_mm, lost at each cut (0 for a knife); grain_along, whether the grain runs along the strip (it bends
    8 to 15 times more if not).
    Returns: a Yield.
    Raises: OutOfRange.
    Source: arithmetic; needs none.

    >>> from_sheet((2500, 200), (600, 12))
    Yield(strips=64, used_fraction=0.9216)
    """
    for name, pair in (("sheet", sheet_mm), ("strip", strip_mm)):
        checked(f"{name}_length_mm", pair[0], 0.01, 100_000, "mm")
        checked(f"{name}_width_mm", pair[1], 0.01, 100_000, "mm")
    checked("kerf_mm", kerf_mm, 0, 20, "mm")
    along, across = sheet_mm if grain_along else sheet_mm[::-1]
    counts = [
        math.floor((room + kerf_mm) / (part + kerf_mm) + 1e-9)
        for room, part in zip((along, across), strip_mm, strict=True)
    ]
    strips = counts[0] * counts[1]
    return Yield(strips, strips * strip_mm[0] * strip_mm[1] / (sheet_mm[0] * sheet_mm[1]))


def from_board(
    board_mm: tuple[float, float, float],
    strip_mm: tuple[float, float, float],
    kerf_mm: float,
    plane_mm: float = 0,
) -> Yield:
    """The strips sawn off the edge of a board, as high as the board is thick.

    Parameters: board_mm, length, width and thickness; strip_mm, length, height and thickness of a strip;
    kerf_mm, of each cut; plane_mm, what each strip loses when it is planed or sanded to thickness.
    Returns: a Yield; none from a board thinner than the strips are high.
    Raises: OutOfRange.
    Source: arithmetic; needs none.

    >>> from_board((1300, 100, 14), (600, 12, 2), kerf_mm=2, plane_mm=0.5).strips
    44
    """
    for name, triple in (("board", board_mm), ("strip", strip_mm)):
        for part, value in zip(("length", "width", "thickness"), triple, strict=True):
            checked(f"{name}_{part}_mm", value, 0.01, 100_000, "mm")
    checked("kerf_mm", kerf_mm, 0, 20, "mm")
    checked("plane_mm", plane_mm, 0, 20, "mm")
    length, height, thick = strip_mm
    lengths = math.floor((board_mm[0] + kerf_mm) / (length + kerf_mm) + 1e-9)
    slices = math.floor((board_mm[1] + kerf_mm) / (thick + plane_mm + kerf_mm) + 1e-9)
    strips = lengths * slices if board_mm[2] >= height - 1e-9 else 0
    return Yield(strips, strips * length * height * thick / math.prod(board_mm))


@dataclass(frozen=True)
class Thicknesses:
    """Readings of one lot of strips.

    Parameters: readings_mm, at least two.
    Raises: OutOfRange.

    >>> lot = Thicknesses((0.58, 0.60, 0.62, 0.60))
    >>> round(lot.mean_mm, 3), round(lot.spread_mm, 4)
    (0.6, 0.0163)
    """

    readings_mm: tuple[float, ...]

    def __post_init__(self) -> None:
        checked("readings", len(self.readings_mm), 2, 100_000, "readings")
        for reading in self.readings_mm:
            checked("strip_mm", reading, 0.01, 1_000, "mm")

    @property
    def mean_mm(self) -> float:
        """Their mean."""
        return mean(self.readings_mm)

    @property
    def spread_mm(self) -> float:
        """Their standard deviation."""
        return stdev(self.readings_mm)

    def classes(self, step_mm: float) -> dict[float, list[int]]:
        """The readings sorted into classes: the middle of each class in mm, and which readings are in it.

        Parameters: step_mm, how wide a class is.

        >>> Thicknesses((0.58, 0.60, 0.62, 0.60)).classes(0.02)
        {0.58: [0], 0.6: [1, 3], 0.62: [2]}
        """
        checked("step_mm", step_mm, 0.001, 10, "mm")
        found: dict[int, list[int]] = {}
        for index, reading in enumerate(self.readings_mm):
            found.setdefault(math.floor(reading / step_mm + 0.5 + 1e-9), []).append(index)
        return {round(place * step_mm, 6): found[place] for place in sorted(found)}

    def binding_chance(self, slot_mm: float, seal_mm: float = 0) -> float:
        """The chance that one strip is too thick for its slot.

        Parameters: slot_mm, its width; seal_mm, what the sealer adds on each face.
        Returns: a fraction of 1.
        Valid for: thicknesses spread evenly about their mean, as the normal law has it.

        >>> round(Thicknesses((0.58, 0.60, 0.62, 0.60)).binding_chance(0.62), 2)
        0.11
        """
        checked("slot_mm", slot_mm, 0.01, 1_000, "mm")
        thick = self.mean_mm + 2 * checked("seal_mm", seal_mm, 0, 5, "mm")
        if self.spread_mm < 1e-12:
            return float(thick > slot_mm)
        return 1 - NormalDist(thick, self.spread_mm).cdf(slot_mm)


@dataclass(frozen=True)
class Growth:
    """How wide a stack comes out.

    Parameters: width_mm, expected; spread_mm, at twice the standard deviation; over_mm, beyond the plan.

    >>> Growth(198, 1, 0).fits(200)
    True
    """

    width_mm: float
    spread_mm: float
    over_mm: float

    def fits(self, room_mm: float) -> bool:
        """Whether it goes into a mould or along a comb of a length, spread included.

        >>> Growth(198, 3, 0).fits(200)
        False
        """
        return self.width_mm + self.spread_mm <= room_mm + 1e-9

    def lies_between(self, least_mm: float, most_mm: float) -> bool:
        """Whether it is neither narrower nor wider than that, spread included.

        >>> Growth(198, 1, 0).lies_between(197, 199), Growth(198, 1, 0).lies_between(197.1, 199)
        (True, False)
        """
        return self.width_mm - self.spread_mm >= least_mm - 1e-9 and self.fits(most_mm)


def stack_growth(
    stack: Stack, strips: int, actual: Thicknesses, seal_mm: float = 0, *, gaps_held: bool = True
) -> Growth:
    """How wide a stack comes out with the strips as measured and sealed.

    Parameters: stack and strips, as planned; actual, readings; seal_mm, what the sealer adds on each face;
    gaps_held, whether spacers hold each gap (strips then push each other on) or combs hold the pitch (only
    the outermost strips count).
    Returns: a Growth.
    Raises: OutOfRange.
    Source: the sum of independent parts; needs none.

    >>> grown = stack_growth(Stack(1.5, 3), 20, Thicknesses((1.52, 1.54, 1.53, 1.53)))
    >>> round(grown.over_mm, 2), round(stack_growth(Stack(), 2, Thicknesses((2, 2)), 0.05).over_mm, 2)
    (0.6, 0.2)
    """
    planned = stack.width_mm(strips)
    more = actual.mean_mm + 2 * checked("seal_mm", seal_mm, 0, 5, "mm") - stack.strip_mm
    count = strips if gaps_held else 1
    over = count * more
    return Growth(planned + over, 2 * actual.spread_mm * math.sqrt(count), over)


def slots_room_mm(strips: int, pitch_mm: float, slot_mm: float, strip_mm: float) -> tuple[float, float]:
    """How narrow and how wide a stack may be, so that its first and its last strip lie in a comb's slots.

    Parameters: strips, how many; pitch_mm, from slot to slot; slot_mm, the width of a slot; strip_mm, how
    thick the strips are as measured and sealed.
    Returns: the least and the most width in mm; the least is above the most where a strip is too thick.
    Raises: OutOfRange.
    Valid for: combs that stand side by side at their pitch.
    Source: geometry; needs none.

    >>> [round(width, 9) for width in slots_room_mm(50, 4, 2.3, 2.1)]
    [197.9, 198.3]
    """
    between = (checked_strips(strips) - 1) * checked("pitch_mm", pitch_mm, 0.01, 10_000, "mm")
    slot = checked("slot_mm", slot_mm, 0.01, 10_000, "mm")
    return between + 2 * checked("strip_mm", strip_mm, 0.01, 10_000, "mm") - slot, between + slot


def any_binds(chance: float, strips: int) -> float:
    """The chance that at least one of so many strips binds.

    Parameters: chance, for one strip; strips, how many.
    Returns: a fraction of 1.
    Raises: OutOfRange.
    Source: independent events; needs none.

    >>> round(any_binds(0.01, 50), 3)
    0.395
    """
    checked("chance", chance, 0, 1, "")
    return 1 - (1 - chance) ** checked_strips(strips)


def stack_mm(readings_mm: Sequence[float], gap_mm: float) -> float:
    """The width of strips as measured, laid with one gap between each two.

    Parameters: readings_mm, of each strip; gap_mm.
    Returns: mm.
    Raises: OutOfRange for no strip at all.

    >>> round(stack_mm([1.5] * 20, 3.0), 9)
    87.0
    """
    if not readings_mm:
        raise OutOfRange("strips", 0, 1, 10_000, "strips")
    return sum(readings_mm) + (len(readings_mm) - 1) * checked("gap_mm", gap_mm, 0, 10_000, "mm")
