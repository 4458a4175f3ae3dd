"""The cup and what is in it: time, quantity, scales, lots, tint, and whether it is the right resin."""

import math
from collections.abc import Iterator

from materials.science.resin.facts import Finding, Level, PourFacts
from materials.science.resin.findings.heat import SHEET

# judgements: how much of the pot life may be planned, and how much of it the filling alone may take
POT_SHARE, FILL_SHARE = 0.75, 0.5
SPARE_SHARE = 1.05
SCALE_STEPS, FEWEST_STEPS = 50, 10
SOON_DAYS = 14
TINT_LIMIT_PERCENT, TINT_OVER = 5.0, 1.2
PRACTICE = "common practice, no source"


def pot_life(facts: PourFacts) -> Iterator[Finding]:
    """The time to mix, fill and level against the pot life of the real cup.

    Parameters: facts.
    Returns: one Finding, or none without both times.
    Source: the cup model; three quarters are a judgement.

    >>> [f.level for f in pot_life(PourFacts(pot_life_min=40, mix_fill_min=50))]
    ['stop']
    """
    own, needed = facts.pot_life_min, facts.mix_fill_min
    if own is None or needed is None:
        return
    level = graded_time(needed, own, POT_SHARE)
    cups = math.ceil(needed / (POT_SHARE * own))
    yield Finding(
        code="pot_life",
        level=level,
        figure=needed,
        low=None,
        high=None,
        limit=own,
        unit="min",
        reason={
            "clear": "Time enough to mix, fill and level.",
            "caution": "Just in time: the cup thickens while you pour.",
            "stop": "The cup gels before it is poured.",
        }[level],
        remedy="" if level == "clear" else f"Mix {max(cups, 2)} smaller cups one after the other.",
        source="the cure model of a cup of this mass at this temperature; " + SHEET,
    )


def graded_time(needed: float, there: float, share: float) -> Level:
    """Whether a time fits: clear within a share of what is there, caution up to all of it.

    Parameters: needed and there, in one unit; share.
    Returns: a level.

    >>> graded_time(20, 40, 0.75), graded_time(35, 40, 0.75), graded_time(41, 40, 0.75)
    ('clear', 'caution', 'stop')
    """
    if needed <= share * there:
        return "clear"
    return "caution" if needed <= there else "stop"


def fill(facts: PourFacts) -> Iterator[Finding]:
    """The time the resin takes to fill the gaps against the pot life.

    Parameters: facts.
    Returns: one Finding, or none without both times.
    Source: plane Poiseuille flow; half the pot life is a judgement.

    >>> [f.level for f in fill(PourFacts(fill_s=1800, pot_life_min=40))]
    ['caution']
    """
    if facts.fill_s is None or facts.pot_life_min is None:
        return
    minutes = facts.fill_s / 60
    level = graded_time(minutes, facts.pot_life_min, FILL_SHARE)
    yield Finding(
        code="fill",
        level=level,
        figure=minutes,
        low=None,
        high=None,
        limit=FILL_SHARE * facts.pot_life_min,
        unit="min",
        reason="The gaps fill in time." if level == "clear" else "The gaps fill slowly for this resin.",
        remedy=""
        if level == "clear"
        else "Pour along the whole length from above, in a thin stream, ends open.",
        source="plane Poiseuille flow; " + PRACTICE,
    )


def quantity(facts: PourFacts) -> Iterator[Finding]:
    """Whether there is resin enough: gaps, rim, over-pour, what stays in cups and soaks in.

    Parameters: facts.
    Returns: one Finding, or none without both masses.
    Source: the ledger; 5 % to spare is a judgement.

    >>> [f.level for f in quantity(PourFacts(resin_needed_g=500, resin_free_g=510))]
    ['caution']
    """
    needed, free = facts.resin_needed_g, facts.resin_free_g
    if needed is None or free is None:
        return
    level: Level = "stop" if free < needed else "caution" if free < SPARE_SHARE * needed else "clear"
    yield Finding(
        code="quantity",
        level=level,
        figure=free,
        low=None,
        high=None,
        limit=needed,
        unit="g",
        reason={
            "clear": "Enough on the shelf.",
            "caution": "Hardly any to spare.",
            "stop": "Not enough on the shelf.",
        }[level],
        remedy="" if level == "clear" else "Get more first: a pour cannot be stopped half-way.",
        source="the ledger; " + PRACTICE,
    )


def ratio_scale(facts: PourFacts) -> Iterator[Finding]:
    """Whether the scales are fine enough for part B of one cup.

    Parameters: facts.
    Returns: one Finding, or none without both figures.
    Source: a ratio cannot be better than the step of the scales; 50 steps are a judgement.

    >>> [f.level for f in ratio_scale(PourFacts(scale_step_g=1, part_b_per_cup_g=15))]
    ['caution']
    """
    step, mass = facts.scale_step_g, facts.part_b_per_cup_g
    if step is None or mass is None:
        return
    steps = mass / step if step > 0 else math.inf
    level: Level = "clear" if steps >= SCALE_STEPS else "caution" if steps >= FEWEST_STEPS else "stop"
    yield Finding(
        code="ratio_scale",
        level=level,
        figure=50 * step / mass if mass > 0 else math.inf,
        low=None,
        high=None,
        limit=50 / SCALE_STEPS,
        unit="%",
        reason="The scales are fine enough."
        if level == "clear"
        else "The step of the scales shifts the ratio.",
        remedy="" if level == "clear" else "Take finer scales, or mix larger cups.",
        source="half a step over part B; " + PRACTICE,
    )


def lots(facts: PourFacts) -> Iterator[Finding]:
    """Whether the bottles belong together and are still good.

    Parameters: facts.
    Returns: one Finding, or none where nothing is known of them.
    Source: the maker's shelf life.

    >>> [f.level for f in lots(PourFacts(parts_match=True, part_a_days_left=300, part_b_days_left=-20))]
    ['stop']
    """
    days = [days for days in (facts.part_a_days_left, facts.part_b_days_left) if days is not None]
    if facts.parts_match is None and not days:
        return
    level: Level = "clear"
    reason, remedy = "Both bottles belong together and are in date.", ""
    if facts.parts_match is False:
        level, reason = "stop", "Part A and part B are not of the same product."
        remedy = "Take the B that belongs to this A."
    elif days and min(days) < 0:
        level, reason, remedy = (
            "stop",
            "A bottle is past its time.",
            "Take a fresh one, or cast a test cup first.",
        )
    elif days and min(days) < SOON_DAYS:
        level, reason, remedy = "caution", "A bottle is nearly past its time.", "Cast a test cup first."
    yield Finding(
        "lots",
        level,
        min(days) if days else None,
        None,
        None,
        0,
        "days",
        reason,
        remedy,
        "shelf life: " + SHEET,
    )


def tint(facts: PourFacts) -> Iterator[Finding]:
    """How much colour is in it.

    Parameters: facts.
    Returns: one Finding, or none where no tint is stated.
    Source: one maker tested up to 5 % by mass.

    >>> [f.level for f in tint(PourFacts(tint_percent=5.5))]
    ['caution']
    """
    if facts.tint_percent is None:
        return
    limit = TINT_LIMIT_PERCENT if facts.tint_limit_percent is None else facts.tint_limit_percent
    over, far = facts.tint_percent > limit, facts.tint_percent > TINT_OVER * limit
    level: Level = "stop" if far else "caution" if over else "clear"
    yield Finding(
        code="tint",
        level=level,
        figure=facts.tint_percent,
        low=None,
        high=None,
        limit=limit,
        unit="%",
        reason="So much colour keeps it from hardening." if over else "Within the limit.",
        remedy="Take less, and cast a test cup." if over else "",
        source=f"{SHEET}; a maker's tests at 2 and 5 % by mass",
    )


def kind_of_resin(facts: PourFacts) -> Iterator[Finding]:
    """Whether it is the kind of resin that this step needs.

    Parameters: facts.
    Returns: one Finding, or none where one of the two is not known.
    Source: common practice.

    >>> [f.level for f in kind_of_resin(PourFacts(use="coating", resin_kind="casting"))]
    ['caution']
    """
    if facts.use is None or facts.resin_kind is None:
        return
    reasons = {
        ("casting", "coating"): "A coating resin makes too much heat in a deep mould.",
        ("coating", "casting"): "A casting resin stays soft for days in a thin coat.",
    }
    reason = reasons.get((facts.use, facts.resin_kind))
    yield Finding(
        code="kind_of_resin",
        level="caution" if reason else "clear",
        figure=None,
        low=None,
        high=None,
        limit=None,
        unit="",
        reason=reason or "The right kind for this step.",
        remedy=f"Take a {facts.use} resin." if reason else "",
        source=PRACTICE,
    )
