"""Heat and the lifts: whether the pour stays cool enough for its weakest part."""

from collections.abc import Iterator

from materials.science.resin.exotherm import RUNAWAY_C
from materials.science.resin.facts import Finding, Level, PourFacts
from materials.science.resin.layup import WIDEST_HOMOGENEOUS_MM

USUAL_LIMIT_C = 60.0
CUP_HOT_C = 60.0
CUP_REMEDY = (
    "Pour it out in time. Spread what is left in a shallow pan outdoors; never soak it up with sawdust."
)
SHORT_WINDOW_H = 0.5
MODEL = "the cure model, fitted to the sheet's pot life; not validated against this resin"
SHEET = "the maker's data sheet"


def heat(facts: PourFacts) -> Iterator[Finding]:
    """The hottest point against what the weakest part bears, and the depth against the sheet's.

    Parameters: facts.
    Returns: one Finding, or none where there is no prediction.
    Source: the safe side of the model's bands; the sheet's depth over the share of resin.

    >>> list(heat(PourFacts()))
    []
    """
    nominal, cautious = facts.predictions.get("nominal"), facts.predictions.get("cautious")
    if nominal is None or facts.depth_mm is None:
        return
    limit = USUAL_LIMIT_C if facts.weakest_part_c is None else facts.weakest_part_c
    cool = facts.predictions.get("cool")
    level, reason, remedy = _judged_heat(facts, limit)
    yield Finding(
        code="heat",
        level=level,
        figure=nominal.peak_c,
        low=cool.peak_c if cool else None,
        high=cautious.peak_c if cautious else None,
        limit=limit,
        unit="°C",
        reason=reason,
        remedy=remedy,
        source=f"{MODEL}; depth: {SHEET}",
    )


def _judged_heat(facts: PourFacts, limit_c: float) -> tuple[Level, str, str]:
    nominal, cautious = facts.predictions["nominal"], facts.predictions.get("cautious")
    depth_fit, allowed = facts.predictions.get("depth_fit"), facts.allowed_depth_mm
    fresh = facts.fresh_below_mm or 0
    depth = (facts.depth_mm or 0) + fresh
    if allowed is not None and depth > allowed:
        both = " with the fresh pour below" if fresh else ""
        words = (
            f"{depth:.4g} mm{both} is deeper than the sheet allows with this much resin ({allowed:.3g} mm)."
        )
        remedy = "Wait until the pour below takes another." if fresh else ""
        return "stop", words, remedy or "Pour less deep, in lifts, or take a slower resin."
    if nominal.peak_c > limit_c:
        if allowed is not None and depth_fit is not None and depth_fit.peak_c <= limit_c:
            words = "Only the fit to the sheet's depth stays below the limit."
            return (
                "caution",
                words,
                "Cast a small test piece first, its sides wrapped, with a thermometer in it.",
            )
        if nominal.peak_c > RUNAWAY_C:
            return "stop", "It would run away.", "Pour in lifts or take a slower resin."
        return (
            "stop",
            "It is expected to get too hot.",
            "Pour in lifts, cool the shop, or take a slower resin.",
        )
    if cautious is None or cautious.peak_c > limit_c:
        words = "Expected to stay below the limit, on the safe side it does not."
        return "caution", words, "Cast a small test piece first, or measure a cup of this resin."
    if allowed is None:
        return (
            "caution",
            "The sheet states no depth to hold this against.",
            "Ask the maker how deep it may be.",
        )
    if max(facts.strip_mm or 0, (facts.gap_mm or 0) if facts.strip_mm else 0) > WIDEST_HOMOGENEOUS_MM:
        words = "A gap or strip wider than 6 mm has hot spots that this figure does not show."
        return "caution", words, "Cast a small test piece first."
    return "clear", "Stays below the limit, on the safe side too.", ""


def cup_heat(facts: PourFacts) -> Iterator[Finding]:
    """How hot the cup itself gets if it is left standing.

    Parameters: facts.
    Returns: one Finding, or none without a prediction of the cup.
    Source: the cure model of a cup; what to do: makers' safety guides.

    >>> [finding.level for finding in cup_heat(PourFacts(cup_peak_c=180, cup_mass_g=300))]
    ['caution']
    """
    if facts.cup_peak_c is None:
        return
    hot = facts.cup_peak_c > CUP_HOT_C
    yield Finding(
        code="cup_heat",
        level="caution" if hot else "clear",
        figure=facts.cup_peak_c,
        low=None,
        high=None,
        limit=CUP_HOT_C,
        unit="°C",
        reason="A cup left standing gets dangerously hot." if hot else "A cup left standing stays cool.",
        remedy=CUP_REMEDY if hot else "",
        source=MODEL,
    )


def lift(facts: PourFacts) -> Iterator[Finding]:
    """Whether every lift of several stays cool, gets hard, and still bonds to the next.

    Parameters: facts.
    Returns: one Finding, or none for a single pour.
    Source: the cure model; the bond's end is a judgement.

    >>> list(lift(PourFacts()))
    []
    """
    if facts.lifts is None or len(facts.lifts.lifts) < 2:
        return
    plan = facts.lifts
    closed = [number for number, one in enumerate(plan.lifts[:-1], 1) if not one.bond_open]
    limit = USUAL_LIMIT_C if facts.weakest_part_c is None else facts.weakest_part_c
    level: Level = "clear"
    reason, remedy = "Each lift stays cool and bonds to the next.", ""
    if max(one.peak_c for one in plan.lifts) > limit:
        level, reason = "stop", "A lift gets too hot."
        remedy = "Pour more and thinner lifts, or take a slower resin."
    elif plan.total_h is None:
        level, reason, remedy = "caution", "A lift does not get hard enough in this shop.", "Warm it."
    elif closed and facts.has_strips:
        level = "stop"
        reason = (
            f"Lift {closed[0]} is too hard on top when the next may follow, and can't be sanded in there."
        )
        remedy = "Pour in one lift, take a slower resin, or have someone stay to pour each in its time."
    elif closed:
        level, reason = "caution", f"Lift {closed[0]} is too hard on top for the next to bond by itself."
        remedy = "Wash and sand it before the next."
    peak = max(one.peak_c for one in plan.lifts)
    yield Finding("lift", level, peak, None, None, limit, "°C", reason, remedy, MODEL)


def lift_window(facts: PourFacts) -> Iterator[Finding]:
    """Whether somebody is there when the next lift must be poured.

    Parameters: facts.
    Returns: a Finding for each window.
    Source: the shop's opening hours; half an hour is a judgement.

    >>> from materials.science.resin.facts import LiftWindow
    >>> facts = PourFacts(strip_mm=1, gap_mm=1, lift_windows=(LiftWindow(1, 3, 6, 0),))
    >>> [finding.level for finding in lift_window(facts)]
    ['stop']
    """
    for window in facts.lift_windows or ():
        level: Level = "clear"
        reason, remedy = "Falls in opening hours.", ""
        if window.workable_h <= 0:
            level = "stop" if facts.has_strips else "caution"
            reason = f"Nobody is in the shop while lift {window.lift} takes the next one."
            remedy = "Start at another hour, or someone stays." + (
                "" if facts.has_strips else " Or sand first."
            )
        elif window.workable_h < SHORT_WINDOW_H:
            level, reason = "caution", f"Little time in opening hours for the lift after {window.lift}."
            remedy = "Start at another hour, or set out everything beforehand."
        yield Finding(
            "lift_window", level, window.workable_h, window.opens_h, window.closes_h, SHORT_WINDOW_H, "h",
            reason, remedy, "the shop's hours; the recoat window of " + SHEET,
        )  # fmt: skip
