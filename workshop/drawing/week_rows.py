"""What a picture of days and nights is drawn from: an axis, and rows of work, cures, windows and clashes.

Places in a row are hours from its left edge by the clock on the wall.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

LEFT, EDGE = 112.0, 1252.0
How = Literal["ahead", "over", "late", "was"]


@dataclass(frozen=True)
class Work:
    """Something that hands do: from when to when, and what it is called, the longest name first.

    `how`: ahead, over, late (it should have begun), was (where the plan had it before).

    >>> Work(2, 3.5, ("Pour block A", "Pour A")).how
    'ahead'
    """

    start: float
    end: float
    names: tuple[str, ...]
    code: str = ""
    how: How = "ahead"


@dataclass(frozen=True)
class Cure:
    """Something that goes by itself, day and night.

    >>> Cure(9, 33, "Block A cures").over
    False
    """

    start: float
    end: float
    name: str
    over: bool = False


@dataclass(frozen=True)
class Bracket:
    """A window: from when to when the next act is allowed; without a known close it stays open.

    >>> Bracket(10, None, "pour 2").closes is None
    True
    """

    opens: float
    closes: float | None
    name: str


@dataclass(frozen=True)
class Clash:
    """A moment at which more is wanted than there is.

    >>> Clash(6.5, "one set of clamps, two glue-ups").at
    6.5
    """

    at: float
    said: str


@dataclass(frozen=True)
class Gone:
    """A stretch in which whose row it is is not here, and the words that say so.

    >>> Gone(0, 24, "Joris is away").said
    'Joris is away'
    """

    start: float
    end: float
    said: str


@dataclass(frozen=True)
class Row:
    """One row: what stands at its left, when the shop is open, and what happens.

    Parameters: figure and word, at the left; sessions, pairs of hours in which the shop is open; works;
    cures; brackets; clashes; marked, whether it is today; moment, where the line of now stands and what it
    says; gone, when whose row it is is away; emptied, opening hours in which nobody is here: they are drawn
    as shut, with the words.

    >>> Row("9", "Mon", ((2, 12),)).works
    ()
    """

    figure: str
    word: str
    sessions: Sequence[tuple[float, float]]
    works: Sequence[Work] = ()
    cures: Sequence[Cure] = ()
    brackets: Sequence[Bracket] = ()
    clashes: Sequence[Clash] = ()
    marked: bool = False
    moment: tuple[float, str] | None = None
    gone: Sequence[Gone] = ()
    emptied: Sequence[Gone] = ()


@dataclass(frozen=True)
class Axis:
    """How long each row is, in hours, and what stands above it where.

    >>> Axis(24, ((0, "06"), (24, "06"))).x(12)
    682.0
    """

    hours: float
    ticks: Sequence[tuple[float, str]]

    def x(self, hour: float) -> float:
        """Where an hour lies; never outside the row."""
        return LEFT + min(max(hour / self.hours, 0.0), 1.0) * (EDGE - LEFT)
