"""The room and the wood: temperature, dew, moisture, and the seal coat."""

from collections.abc import Iterator

from materials.science.resin.facts import Finding, Level, PourFacts, graded
from materials.science.resin.findings.cup import PRACTICE
from materials.science.resin.findings.heat import SHEET
from materials.science.wood.moisture import LEAST_DEW_MARGIN_K

# resin makers' application guides: 60 to 85 °F
USUAL_LOW_C, USUAL_HIGH_C = 15.6, 29.4
TIGHT_DEW_K = 1.2
MOISTURE_CLEAR, MOISTURE_CAUTION = 1.0, 2.0
READING_AGE_H = 24.0


def temperature(facts: PourFacts) -> Iterator[Finding]:
    """The shop now and through the night against the sheet's range.

    Parameters: facts.
    Returns: one Finding, or none without the shop's temperature.
    Source: the maker's sheet, else makers' application guides (15.6 to 29.4 °C).

    >>> [f.level for f in temperature(PourFacts(shop_c=20, night_low_c=11, sheet_min_c=15, sheet_max_c=28))]
    ['caution']
    """
    if facts.shop_c is None:
        return
    low = USUAL_LOW_C if facts.sheet_min_c is None else facts.sheet_min_c
    high = USUAL_HIGH_C if facts.sheet_max_c is None else facts.sheet_max_c
    level: Level = "clear"
    reason, remedy = "Inside the range, through the night too.", ""
    if facts.shop_c < low:
        level, reason, remedy = (
            "stop",
            "Too cold: the cure may stall.",
            "Warm shop, mould and both parts first.",
        )
    elif facts.shop_c > high:
        level, reason, remedy = (
            "stop",
            "Too warm: it gels and heats sooner than reckoned.",
            "Cool the shop first.",
        )
    elif facts.night_low_c is not None and facts.night_low_c < low:
        level, reason = "caution", "It gets too cold in the night: the cure may stall."
        remedy = "Keep the shop warm through the night."
    elif facts.night_low_c is None:
        level, reason, remedy = (
            "caution",
            "How cold the night gets is not known.",
            "Read the lowest of last night.",
        )
    limit = low if facts.shop_c <= high else high
    yield Finding(
        "temperature", level, facts.shop_c, facts.night_low_c, None, limit, "°C",
        reason, remedy, f"{SHEET}; where it is silent, makers' application guides",
    )  # fmt: skip


def dew_point(facts: PourFacts) -> Iterator[Finding]:
    """How far wood and mould are above the dew point.

    Parameters: facts.
    Returns: one Finding, or none without the margin.
    Source: a maker's application guide, at least 2.8 K.

    >>> [f.level for f in dew_point(PourFacts(dew_margin_k=2))]
    ['stop']
    """
    margin = facts.dew_margin_k
    if margin is None:
        return
    level = graded(-margin, -(LEAST_DEW_MARGIN_K + TIGHT_DEW_K), -LEAST_DEW_MARGIN_K)
    yield Finding(
        code="dew_point",
        level=level,
        figure=margin,
        low=None,
        high=None,
        limit=LEAST_DEW_MARGIN_K,
        unit="K",
        reason={
            "clear": "Well above the dew point.",
            "caution": "Hardly above the dew point.",
            "stop": "A film of damp may lie on wood and mould.",
        }[level],
        remedy="" if level == "clear" else "Warm the wood and the mould, or dry the air; no open flame.",
        source="a resin maker's application guide, 5 °F",
    )


def strip_moisture(facts: PourFacts) -> Iterator[Finding]:
    """The strips' moisture against that of the panel's later place.

    Parameters: facts.
    Returns: one Finding, or none without strips or both figures.
    Source: the block locks in the size the strips have; within 1 % is common practice.

    >>> facts = PourFacts(strip_mm=1, gap_mm=1, strip_moisture_percent=9.5, service_moisture_percent=8)
    >>> [f.level for f in strip_moisture(facts)]
    ['caution']
    """
    own, wanted = facts.strip_moisture_percent, facts.service_moisture_percent
    if not facts.has_strips or own is None or wanted is None:
        return
    level = graded(abs(own - wanted), MOISTURE_CLEAR, MOISTURE_CAUTION)
    reason = "As in its later place." if level == "clear" else "The strips will move after the pour."
    remedy = "" if level == "clear" else "Let them lie in the air of their later place to constant mass."
    if level == "clear" and (facts.moisture_age_h is None or facts.moisture_age_h > READING_AGE_H):
        level, reason, remedy = "caution", "The reading is older than a day.", "Weigh a strip again."
    yield Finding(
        "strip_moisture", level, own, wanted - MOISTURE_CLEAR, wanted + MOISTURE_CLEAR, wanted, "%",
        reason, remedy, PRACTICE,
    )  # fmt: skip


def seal_coat(facts: PourFacts) -> Iterator[Finding]:
    """Whether the strips are sealed, and the seal coat takes the pour.

    Parameters: facts.
    Returns: one Finding, or none without strips or where nothing is known.
    Source: the sheet's recoat window.

    >>> from materials.science.resin.facts import SealWindow
    >>> [f.level for f in seal_coat(PourFacts(strip_mm=1, gap_mm=1, seal_window=SealWindow(2, 4, 24)))]
    ['stop']
    """
    window = facts.seal_window
    if not facts.has_strips or window is None:
        return
    state = window.state
    level: Level = "clear" if state == "inside" else "caution" if state == "late" else "stop"
    yield Finding(
        code="seal_coat",
        level=level,
        figure=window.since_h,
        low=window.opens_h,
        high=window.closes_h,
        limit=window.opens_h,
        unit="h",
        reason={
            "inside": "Sealed, and ready for the pour.",
            "late": "The seal coat is too old to bond by itself.",
            "early": "The seal coat is still wet.",
            "missing": "The strips are not sealed: they will bubble.",
        }[state],
        remedy={
            "inside": "",
            "late": "Abrade with a grey pad or P320 to P400, not coarser.",
            "early": "Wait until it is dry to handle.",
            "missing": "Seal both faces and the edges while the shop cools.",
        }[state],
        source="the recoat window of " + SHEET,
    )
