"""The pour that lies in the mould already: whether it takes another."""

from collections.abc import Iterator

from materials.science.resin.facts import Finding, Level, PourFacts, PourWindow
from materials.science.resin.findings.heat import SHEET

LEVELS: dict[str, Level] = {
    "liquid": "caution",
    "unknown": "caution",
    "early": "stop",
    "soft": "caution",
    "hard": "caution",
    "inside": "clear",
}


def earlier_pour(facts: PourFacts) -> Iterator[Finding]:
    """Whether the pour below takes another one now, and whether its heat is known.

    Parameters: facts.
    Returns: one Finding, or none for an empty mould.
    Source: the sheet's recoat window; when a surface is liquid or too hard is the cure model's.

    >>> from materials.science.resin.facts import PourWindow
    >>> facts = PourFacts(strip_mm=1, gap_mm=1, pour_window=PourWindow(1, 3, 6, 24))
    >>> [(finding.level, finding.remedy) for finding in earlier_pour(facts)]
    [('stop', 'Wait 3 h more, and check again.')]
    """
    window = facts.pour_window
    if window is None:
        return
    level, reason, remedy = _judged(window, facts.has_strips)
    if not window.reckoned:
        level = "caution" if level == "clear" else level
        reason += " It is another resin, whose heat is not reckoned with."
        remedy = remedy or "Wait until it has cooled."
    yield Finding(
        "earlier_pour", level, window.since_h, window.opens_h, window.closes_h, window.opens_h, "h",
        reason, remedy, f"the recoat window of {SHEET}; its surface: the cure model",
    )  # fmt: skip


def _judged(window: PourWindow, has_strips: bool) -> tuple[Level, str, str]:
    """Level, reason and remedy: missed inside a filled stack, a bond can't be mended."""
    name, state = f"pour {window.lift}", window.state
    if state == "late":
        words = f"The window of {name} has closed"
        if has_strips:
            remedy = "Test the bond on a scrap first. If they part, the block is lost: start another."
            return "stop", f"{words}, and nobody can sand between strips.", remedy
        return "caution", f"{words}.", "Wash and sand it first."
    left_h = max(round((window.opens_h or 0) - window.since_h, 1), 0.1)
    reason, remedy = {
        "liquid": (
            f"{name.capitalize()} is still liquid: both make one pour, and the heat of both adds up.",
            "Hold the hottest point against its limit; poured into heat, it gets hotter still. Or wait.",
        ),
        "unknown": (
            f"The sheet names no time for another on {name}.",
            "Wait until it has gelled and cooled, or ask the maker.",
        ),
        "early": (
            f"{name.capitalize()} does not take another yet: the heat of both adds up.",
            f"Wait {left_h:g} h more, and check again.",
        ),
        "soft": (
            f"Inside the window of {name}, but by the model its surface is still liquid.",
            "Try it with a gloved finger first: it should be firm.",
        ),
        "hard": (
            f"Inside the window of {name}, but by the model its surface is too hard to bond by itself.",
            "Test the bond on a scrap first." if has_strips else "Wash and sand it first.",
        ),
        "inside": (f"Inside the window of {name}.", ""),
    }[state]
    return LEVELS[state], reason, remedy
