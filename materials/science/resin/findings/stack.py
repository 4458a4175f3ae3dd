"""Strips in the mould: bubbles, bow, float, combs, and the mould itself."""

from collections.abc import Iterator

from materials.science.resin.facts import MOULD_CHECKS, Finding, Level, PourFacts, graded
from materials.science.resin.findings.cup import PRACTICE

# judgements: what the eye does not see, what it does; how much of its gap a strip may bow
FINE_BUBBLE_UM, SEEN_BUBBLE_UM = 50.0, 150.0
BOW_SHARE, BOW_TOUCH_SHARE = 0.10, 0.50
HOLD_DOWN_TIMES = 2.0


def bubbles(facts: PourFacts) -> Iterator[Finding]:
    """Whether air gets out before it thickens: yes, tight, or no.

    Parameters: facts.
    Returns: one Finding, or none without the figure.
    Source: Stokes' law over the liquid time; what the eye sees is a judgement.

    >>> [f.level for f in bubbles(PourFacts(smallest_bubble_um=80))]
    ['caution']
    """
    size = facts.smallest_bubble_um
    if size is None:
        return
    clear = size <= FINE_BUBBLE_UM
    words = "yes" if clear else "tight" if size <= SEEN_BUBBLE_UM else "no"
    yield Finding(
        code="bubbles",
        level="clear" if clear else "caution",
        figure=size,
        low=None,
        high=None,
        limit=FINE_BUBBLE_UM,
        unit="µm",
        reason=f"Air out before it thickens: {words}.",
        remedy="" if clear else "Warm both parts, let the cup rest, pour slowly in a thin stream.",
        source="Stokes 1851 with walls; bubbles that cling to a strip stay; " + PRACTICE,
    )


def bow(facts: PourFacts) -> Iterator[Finding]:
    """Whether strips bow into their gaps while the resin stands unequally.

    Parameters: facts.
    Returns: one Finding, or none without strips or figure.
    Source: beam tables; the shares of the gap are a judgement.

    >>> [f.level for f in bow(PourFacts(strip_mm=1, gap_mm=1, bow_mm=0.3))]
    ['caution']
    """
    if not facts.has_strips or facts.bow_mm is None or not facts.gap_mm:
        return
    level = graded(facts.bow_mm, BOW_SHARE * facts.gap_mm, BOW_TOUCH_SHARE * facts.gap_mm)
    spacing = facts.comb_spacing_mm
    remedy = "" if spacing is None else f"Set the combs {spacing:.3g} mm apart, "
    yield Finding(
        code="bow",
        level=level,
        figure=facts.bow_mm,
        low=None,
        high=None,
        limit=BOW_SHARE * facts.gap_mm,
        unit="mm",
        reason={
            "clear": "The strips stay straight.",
            "caution": "The strips bow visibly if one gap fills before the next.",
            "stop": "Neighbouring strips can touch.",
        }[level],
        remedy="" if level == "clear" else (remedy + "and fill neighbouring gaps in turn.").capitalize(),
        source="Euler and Bernoulli's beam; " + PRACTICE,
    )


def floating(facts: PourFacts) -> Iterator[Finding]:
    """Whether the strips stay down.

    Parameters: facts.
    Returns: one Finding, or none without strips or figures.
    Source: Archimedes; twice the force is a judgement.

    >>> [f.level for f in floating(PourFacts(strip_mm=1, gap_mm=1, float_n=3.2, hold_down_n=2))]
    ['stop']
    """
    force, held = facts.float_n, facts.hold_down_n
    if not facts.has_strips or force is None or held is None:
        return
    level: Level = "clear" if held >= HOLD_DOWN_TIMES * force else "caution" if held >= force else "stop"
    yield Finding(
        code="float",
        level=level,
        figure=held,
        low=None,
        high=None,
        limit=HOLD_DOWN_TIMES * force,
        unit="N",
        reason="The strips are held down." if level == "clear" else "The strips can float up.",
        remedy="" if level == "clear" else "Add weights or a bar across the combs.",
        source="Archimedes; " + PRACTICE,
    )


def combs(facts: PourFacts) -> Iterator[Finding]:
    """Whether combs hold the ends of the strips.

    Parameters: facts.
    Returns: one Finding, or none without strips or answer.
    Source: common practice.

    >>> [f.level for f in combs(PourFacts(strip_mm=1, gap_mm=1, combs_at_ends=False))]
    ['stop']
    """
    if not facts.has_strips or facts.combs_at_ends is None:
        return
    held = facts.combs_at_ends
    yield Finding(
        code="combs",
        level="clear" if held else "stop",
        figure=None,
        low=None,
        high=None,
        limit=facts.comb_spacing_mm,
        unit="mm",
        reason="Combs hold both ends." if held else "Loose ends swing together in the resin.",
        remedy="" if held else "Set a comb at each end.",
        source=PRACTICE,
    )


def mould(facts: PourFacts) -> Iterator[Finding]:
    """Whether the mould is ready to hold resin.

    Parameters: facts.
    Returns: one Finding, or none where nothing was looked at.
    Source: common practice: "once a leak starts it is hard to stop" (a maker's guide).

    >>> [f.level for f in mould(PourFacts(mould_checks=dict.fromkeys(MOULD_CHECKS, True)))]
    ['clear']
    """
    if facts.mould_checks is None:
        return
    undone = [name for name in MOULD_CHECKS if facts.mould_checks.get(name) is False]
    unknown = [name for name in MOULD_CHECKS if facts.mould_checks.get(name) is None]
    level: Level = "stop" if undone else "caution" if unknown else "clear"
    open_ones = undone or unknown
    yield Finding(
        code="mould",
        level=level,
        figure=float(len(MOULD_CHECKS) - len(undone) - len(unknown)),
        low=None,
        high=None,
        limit=float(len(MOULD_CHECKS)),
        unit="checks",
        reason="The mould is ready." if level == "clear" else f"Not yet: {', '.join(open_ones)}.",
        remedy="" if level == "clear" else "Do it while the mould is empty.",
        source=PRACTICE,
    )
