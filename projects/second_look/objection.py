"""What stands against an act, and the usual reasons for doing it all the same."""

from dataclasses import dataclass

CASTING = "It is a test casting"
REASONS = {
    "wet": ("It is dry to the touch", CASTING),
    "missed": ("It was scuffed and wiped", "It is still tacky", CASTING),
    "soon": ("It is firm to the touch", CASTING),
    "deep": ("This resin ran cooler in a cup test", CASTING),
    "cup": ("Mixed so on purpose", "It tops the mould up", CASTING),
    "slip": ("The mould is deeper than planned", "More was poured on purpose"),
    "warmth": ("It is being warmed or cooled now", CASTING),
    "little": ("Another cup went in too", "Measured in the mould"),
    "ratio": (CASTING, "It is thrown away afterwards"),
    "empty": ("The pour was not written down", "It came from another mould"),
    "early": ("It is hard: tried at an edge", "It has to come out: a leak, or heat"),
    "measures": ("It was measured twice", "It was built differently"),
    "hardens": ("It is hard: tried at an edge", "It is about another part"),
    "unticked": ("They come later", "Laid out without the map"),
    "short": ("It is ordered", "It is here, and goes onto the shelf next"),
    "digit": ("It is planned anew",),
    "strip": ("Measured twice", "It is no strip"),
    "moist": ("It is fresh wood", "Measured twice"),
    "changed": ("It was typed wrong before", "It was built differently"),
}
"""The usual reasons for doing it all the same, by what stands against it; words can follow."""


@dataclass(frozen=True)
class Objection:
    """What stands against an act: how log and sheet call it, the sentence with its figures, what to do."""

    code: str
    name: str
    sentence: str
    remedy: str = ""
    reasons: tuple[str, ...] = ()
    of_check: str = ""
    """The code of the check's stop that it stands for; such a one is overruled in its own entry."""

    @property
    def said(self):
        """All of it on one line."""
        return f"{self.sentence} {self.remedy}".strip()


def found(*objections):
    """Those of several objections that there are."""
    return [each for each in objections if each]
