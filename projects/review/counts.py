"""Counts what went wrong with and without a condition, and how far chance alone explains the contrast."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import comb

from materials.science.errors import OutOfRange

STRIKING = 0.05  # a contrast that chance brings about less often than this is worth a second look


@dataclass(frozen=True)
class Seen:
    """One pour: the kinds of failure that came of it, and which conditions held for it.

    Parameters: failures, the names of the kinds; conditions, name to whether it held. What nobody measured
    is left out, and counts on neither side.

    >>> Seen(frozenset({"soft"}), {"cold": True}).failures
    frozenset({'soft'})
    """

    failures: frozenset[str]
    conditions: Mapping[str, bool]


@dataclass(frozen=True)
class Contrast:
    """How many failed with a condition and without it.

    Parameters: condition, its name; failed_with, total_with, failed_without, total_without, the counts;
    chance, how often chance alone makes a contrast at least as strong; also, other conditions that held for
    exactly the same pours, so that nobody can tell them apart.

    >>> Contrast("cold", 4, 5, 1, 45, chance=0.0001).is_striking
    True
    """

    condition: str
    failed_with: int
    total_with: int
    failed_without: int
    total_without: int
    chance: float
    also: tuple[str, ...] = ()

    @property
    def is_worse_with(self) -> bool:
        """Whether a larger share failed with the condition than without it."""
        return self.failed_with * self.total_without > self.failed_without * self.total_with

    @property
    def is_striking(self) -> bool:
        """Whether chance alone is a poor explanation."""
        return self.is_worse_with and self.chance < STRIKING


def fisher_exact(failed_with: int, total_with: int, failed_without: int, total_without: int) -> float:
    """How often chance alone deals the failures out at least as unevenly: Fisher's exact test, two-sided.

    Parameters: failed_with, total_with, counts where the condition held; failed_without, total_without,
    the others.
    Returns: a probability from 0 to 1; the sum over all tables that are no likelier than this one.
    Raises: OutOfRange where more failed than there are.
    Valid for: any counts; whole numbers are compared, so no table is lost to rounding.
    Source: R. A. Fisher, The Design of Experiments, 1935, chapter II; two-sided as by Freeman and
    Halton, 1951.

    >>> round(fisher_exact(3, 4, 1, 4), 4)  # the lady who tasted tea
    0.4857
    """
    for name, failed, total in (
        ("failed_with", failed_with, total_with),
        ("failed_without", failed_without, total_without),
    ):
        if not 0 <= failed <= total:
            raise OutOfRange(name, failed, 0, total, "pours")
    failed = failed_with + failed_without
    fewest, most = max(0, failed - total_without), min(failed, total_with)
    ways = [comb(total_with, n) * comb(total_without, failed - n) for n in range(fewest, most + 1)]
    seen = ways[failed_with - fewest]
    return sum(way for way in ways if way <= seen) / sum(ways)


def contrasts(pours: Sequence[Seen], failure: str) -> list[Contrast]:
    """For one kind of failure, every condition that went along with it, the strongest contrast in front.

    Parameters: pours; failure, the name of the kind.
    Returns: contrasts in which a larger share failed with the condition than without it. A condition that
    always held, or never, has none. Equal ones keep the order in which the conditions first appear.
    Valid for: looking for something to test: several conditions are tried, and few pours prove nothing.

    >>> cold, warm = Seen(frozenset({"soft"}), {"cold": True}), Seen(frozenset(), {"cold": False})
    >>> [(found.failed_with, found.total_without) for found in contrasts([cold, warm, warm], "soft")]
    [(1, 2)]
    """
    found: dict[tuple[frozenset[int], frozenset[int]], list[str]] = {}
    for name in dict.fromkeys(name for pour in pours for name in pour.conditions):
        sides = [_where(pours, name, held) for held in (True, False)]
        if all(sides):
            found.setdefault((sides[0], sides[1]), []).append(name)
    failed = frozenset(n for n, pour in enumerate(pours) if failure in pour.failures)
    counted = [_contrast(names, sides, failed) for sides, names in found.items()]
    return sorted((one for one in counted if one.is_worse_with), key=lambda one: one.chance)


def _where(pours: Sequence[Seen], name: str, held: bool) -> frozenset[int]:
    """Which pours a condition held for, or did not."""
    return frozenset(n for n, pour in enumerate(pours) if pour.conditions.get(name) is held)


def _contrast(
    names: list[str], sides: tuple[frozenset[int], frozenset[int]], failed: frozenset[int]
) -> Contrast:
    inside, outside = sides
    counts = (len(inside & failed), len(inside), len(outside & failed), len(outside))
    return Contrast(names[0], *counts, chance=fisher_exact(*counts), also=tuple(names[1:]))


def chance_in_words(chance: float) -> str:
    """How far chance alone explains a contrast, in words.

    Parameters: chance, from 0 to 1.
    Raises: OutOfRange outside of that.

    >>> chance_in_words(0.0002)
    'Chance alone does that less than once in a thousand times.'
    """
    if not 0 <= chance <= 1:
        raise OutOfRange("chance", chance, 0, 1, "")
    for limit, words in ((0.001, "a thousand"), (0.01, "a hundred"), (STRIKING, "twenty")):
        if chance < limit:
            return f"Chance alone does that less than once in {words} times."
    return "Chance alone could well do that."
