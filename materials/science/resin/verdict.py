"""The check before every mix: what is known, held against its limits, each with its way out."""

from collections.abc import Iterator

from materials.science.resin.facts import (
    MOULD_CHECKS,
    Finding,
    Level,
    LiftWindow,
    PourFacts,
    PourWindow,
    SealWindow,
)
from materials.science.resin.findings import below, cup, heat, room, stack

__all__ = [
    "MOULD_CHECKS",
    "Finding",
    "Level",
    "LiftWindow",
    "PourFacts",
    "PourWindow",
    "SealWindow",
    "judge_pour",
    "worst",
]

CHECKS = (
    heat.heat,
    heat.cup_heat,
    heat.lift,
    heat.lift_window,
    below.earlier_pour,
    cup.pot_life,
    cup.fill,
    stack.bubbles,
    stack.bow,
    stack.floating,
    cup.quantity,
    cup.ratio_scale,
    cup.lots,
    room.temperature,
    room.dew_point,
    room.strip_moisture,
    room.seal_coat,
    stack.mould,
    stack.combs,
    cup.tint,
    cup.kind_of_resin,
)
ORDER: dict[Level, int] = {"stop": 0, "caution": 1, "clear": 2}

# what must be known for every pour, and for one with strips; and how to come to know it
ALWAYS = {
    "depth_mm": "Measure how deep the pour is.",
    "weakest_part_c": "Ask what combs and seals are made of, and at what heat they soften.",
    "cup_mass_g": "Say how much goes into one cup.",
    "pot_life_min": "Enter the sheet's pot life.",
    "mix_fill_min": "Reckon how long mixing and filling take.",
    "resin_needed_g": "Work out how much resin the pour takes.",
    "resin_free_g": "Count the bottles.",
    "scale_step_g": "Read the step of the scales.",
    "part_b_per_cup_g": "Work out part B of one cup.",
    "parts_match": "Compare the labels of part A and part B.",
    "part_a_days_left": "Read the use-by date of part A.",
    "part_b_days_left": "Read the use-by date of part B.",
    "use": "Say whether this step coats or casts.",
    "resin_kind": "Say whether the resin is for coats or for casting.",
    "shop_c": "Read the thermometer.",
    "humidity_percent": "Read the hygrometer.",
    "dew_margin_k": "Measure wood, mould and air: how far they are above the dew point.",
    "mould_checks": "Look the mould over.",
}
WITH_STRIPS = {
    "gap_mm": "Measure the gap.",
    "fill_s": "Work out how long the gaps take to fill.",
    "smallest_bubble_um": "Work out which bubbles get out.",
    "bow_mm": "Work out how far the strips bow.",
    "float_n": "Work out how hard the strips float.",
    "hold_down_n": "Say what holds the strips down.",
    "strip_moisture_percent": "Weigh a strip, dry it, and weigh it again.",
    "service_moisture_percent": "Say in which air the panel will hang.",
    "seal_window": "Say when the strips were sealed, and what the sheet says of recoating.",
    "combs_at_ends": "Look whether combs hold both ends.",
}
HELD = "Say how heavy what lies on the strips is: they are held down."


def judge_pour(facts: PourFacts) -> list[Finding]:
    """Every finding about a pour, what isn't clear first.

    Parameters: facts, each None where there is no reading.
    Returns: findings, "stop" before "caution" before "clear"; a fact that is missing is a "caution" that says
    what to measure.
    Valid for: one pour, seal coat or glue-up. Clear does not mean that the maker's data sheet allows it.
    Source: in each finding.

    >>> facts = PourFacts(pot_life_min=40, mix_fill_min=50)
    >>> first = judge_pour(facts)[0]
    >>> first.code, first.level, first.remedy
    ('pot_life', 'stop', 'Mix 2 smaller cups one after the other.')
    """
    found = [finding for check in CHECKS for finding in check(facts)]
    found.extend(missing_readings(facts))
    return sorted(found, key=lambda finding: ORDER[finding.level])


def missing_readings(facts: PourFacts) -> Iterator[Finding]:
    """A caution for each fact that the check would need.

    Parameters: facts.
    Returns: findings.
    Source: the list of what each check looks at.

    >>> len(list(missing_readings(PourFacts()))) > 10
    True
    """
    needed = dict(ALWAYS)
    if facts.strip_mm is None:
        needed["strip_mm"] = "Measure the strips (0 for none)."
    if facts.has_strips:
        needed |= WITH_STRIPS
    if facts.has_strips and facts.held_down:
        needed["hold_down_n"] = HELD
    missing = [remedy for name, remedy in needed.items() if getattr(facts, name) is None]
    if not {"nominal", "cautious"} <= set(facts.predictions):
        missing.insert(0, "Enter the sheet's pot life, so that the heat can be reckoned.")
    for remedy in missing:
        yield Finding(
            code="missing_reading",
            level="caution",
            figure=None,
            low=None,
            high=None,
            limit=None,
            unit="",
            reason="A reading is missing.",
            remedy=remedy,
            source="",
        )


def worst(findings: list[Finding]) -> Level:
    """The level of the whole check: that of its worst finding.

    Parameters: findings.
    Returns: a level; "clear" for none.

    >>> worst([]), worst(judge_pour(PourFacts()))
    ('clear', 'caution')
    """
    return min((finding.level for finding in findings), key=ORDER.__getitem__, default="clear")
