"""The check in a maker's words: what each finding is called, its figure beside its limit, and the verdict."""

from dataclasses import dataclass

from django.utils.safestring import SafeString

from workshop import units
from workshop.drawn import drawn
from workshop.templatetags.figures import span

NAMES = {
    "heat": ("Hottest point", "It may get too hot inside", "It gets too hot inside"),
    "cup_heat": ("A cup left standing", "A cup left standing gets hot", "A cup left standing gets hot"),
    "lift": ("Lifts", "The lifts are tight", "The lifts don't work out"),
    "lift_window": ("Next lift", "Little time for the next lift", "Nobody is there for the next lift"),
    "pot_life": ("Pot life", "The pot life is short for one cup", "The cup gels before it is poured"),
    "fill": ("Filling the gaps", "The gaps fill slowly", "The gaps don't fill in time"),
    "bubbles": ("Air out before it thickens", "Fine air stays inside", "Air stays inside"),
    "bow": ("Strips bow", "The strips bow visibly", "Neighbouring strips can touch"),
    "float": ("Hold-downs", "The hold-downs are light", "The strips float up"),
    "quantity": ("Resin on the shelf", "Hardly any resin to spare", "There is not enough resin"),
    "ratio_scale": ("Scales", "The scales are coarse for this cup", "The scales are too coarse for this cup"),
    "lots": ("A and B", "A bottle is nearly past its time", "The bottles are not fit"),
    "temperature": ("Shop, now and tonight", "The night is the trouble", "The shop is not fit for it"),
    "dew_point": ("Above the dew point", "Hardly above the dew point", "Wood and mould may be damp"),
    "strip_moisture": ("Moisture of the strips", "The strips' moisture", "The strips are not at rest"),
    "seal_coat": ("Seal coat", "The seal coat is old", "The seal coat is not ready"),
    "mould": ("Mould", "The mould was not looked over", "The mould is not ready"),
    "combs": ("Combs at both ends", "Combs", "The ends are loose"),
    "tint": ("Colour", "Much colour", "Too much colour"),
    "kind_of_resin": ("Kind of resin", "Not the resin for this", "Not the resin for this"),
    "earlier_pour": (
        "The pour below",
        "The pour below asks for care",
        "The pour below does not take another",
    ),
    "missing_reading": ("Readings", "Something is not known", "Something is not known"),
}
"""What a finding is called when it is clear, a caution, a stop."""
KINDS = {"°C": "temperature", "mm": "length", "g": "mass", "min": "minutes", "h": "hours", "%": "percent"}
AGAINST = {
    "heat": "limit {}, the weakest part",
    "cup_heat": "hot from {}",
    "lift": "limit {}",
    "lift_window": "in opening hours; {} wanted",
    "pot_life": "to mix and fill; the cup lasts {}",
    "fill": "to fill; {} at most",
    "bubbles": "the smallest that gets out; {} wanted",
    "bow": "a tenth of the gap is {}",
    "float": "hold down; {} wanted",
    "quantity": "on the shelf; {} wanted",
    "ratio_scale": "off by half a step; {} at most",
    "lots": "left of the older bottle",
    "temperature": "the sheet's limit {}",
    "dew_point": "{} wanted",
    "strip_moisture": "later place {}",
    "seal_coat": "old; dry at {}",
    "earlier_pour": "since it was poured; takes another at {}",
    "mould": "of {} looks taken",
    "tint": "limit {}",
}
TOO_LITTLE = {"lift_window", "float", "quantity", "lots", "dew_point", "mould", "seal_coat"}
"""Findings where less than the limit is the trouble."""
SPANS = {"seal_coat"}
"""Findings whose hours are said as people say them: 12 min, 5:16 h, 15 days."""
DRAWN = {
    "heat",
    "cup_heat",
    "pot_life",
    "fill",
    "bow",
    "quantity",
    "dew_point",
    "ratio_scale",
    "tint",
    "lift",
}
REASONS = {
    "heat": ("Combs come out before it gels", "This resin ran cooler in a cup", "It is a test casting"),
    "lots": ("A test cup of it hardened well", "It is a test casting"),
    "temperature": ("It is being warmed now", "It is a test casting"),
    "mould": ("It was looked at just now", "It is a test casting"),
    "seal_coat": ("It is dry to the touch", "It is a test casting"),
    "earlier_pour": ("It is firm and still tacky", "The bond was tried on a scrap", "It is a test casting"),
}
OTHER_REASON = "Another reason"
MISSING = "missing_reading"


@dataclass(frozen=True)
class Row:
    """One finding as its row shows it."""

    code: str
    level: str
    name: str
    number: str
    unit: str
    against: str
    reason: str
    remedy: str
    source: str
    svg: SafeString
    overruled: object
    reasons: tuple


@dataclass(frozen=True)
class Verdict:
    """The check in one line: whether to pour, and what stands against it."""

    level: str
    first: str
    rest: str
    missing: int


def rows_of(findings, system, overrules=()):
    """Findings as rows; `overrules` are the stops that somebody overruled, the newest of a code counts."""
    known = {overrule.code: overrule for overrule in overrules}
    return [row_of(finding, system, known.get(finding.code)) for finding in findings]


def row_of(finding, system, overruled=None):
    """One finding in words."""
    number, unit = written(finding.figure, finding.unit, system, finding.code)
    limit = " ".join(part for part in written(finding.limit, finding.unit, system, finding.code) if part)
    limited = finding.limit is not None and (finding.limit or finding.code not in SPANS)
    against = AGAINST.get(finding.code, "").format(limit) if number and limited else ""
    stop = finding.level == "stop"
    return Row(
        code=finding.code,
        level=finding.level,
        name=NAMES[finding.code][("clear", "caution", "stop").index(finding.level)],
        number=number,
        unit=unit,
        against=against,
        reason=finding.reason,
        remedy=finding.remedy,
        source=finding.source,
        svg=gauge(finding),
        overruled=overruled if stop else None,
        reasons=(*REASONS.get(finding.code, ("It is a test casting",)), OTHER_REASON) if stop else (),
    )


def written(value, unit, system, code):
    """A figure and its unit in the shop's units; nothing where there is none."""
    if value is None:
        return "", ""
    if value == float("inf"):
        return "none", ""
    if code in SPANS:
        return tuple(span(60 * value).split("\u00a0", 1))
    if unit not in KINDS:
        return units.digits(float(value), 1 if abs(value) < 10 and unit in ("K", "N") else 0), unit
    number, said = units.write(float(value), KINDS[unit], system, places(unit, value, code))
    return number, said


def places(unit, value, code):
    """How many places after the point a figure is worth."""
    if unit in ("°C", "min", "g"):
        return 0
    if code == "bow":
        return 2
    return 0 if abs(value) >= 10 else 1


def gauge(finding):
    """The small gauge of a finding that has a figure and a limit; an empty text otherwise."""
    from workshop.drawing.gauge import Gauge, gauge_svg

    figures = (finding.figure, finding.limit, finding.low, finding.high)
    if finding.code not in DRAWN or finding.figure is None or finding.limit is None:
        return SafeString("")
    if any(value == float("inf") for value in figures if value is not None):
        return SafeString("")
    shape = Gauge(
        finding.figure, finding.limit, finding.low, finding.high, more_is_worse=finding.code not in TOO_LITTLE
    )
    return drawn(gauge_svg(shape))


def verdict_of(rows):
    """The one line: “Not yet. One stop, two cautions.” or “Pour. 17 fine.”"""
    stops = sum(row.level == "stop" and row.overruled is None for row in rows)
    overruled = sum(row.overruled is not None for row in rows)
    missing = sum(row.code == MISSING for row in rows)
    cautions = sum(row.level == "caution" for row in rows) - missing
    fine = sum(row.level == "clear" for row in rows)
    parts = [
        counted(stops, "stop"),
        counted(overruled, "stop", "overruled"),
        counted(cautions, "caution"),
        counted(missing, "thing", "not known"),
    ]
    rest = ", ".join(part for part in parts if part)
    rest = f"{rest[:1].upper()}{rest[1:]}." if rest else f"{fine} fine."
    level = "stop" if stops else "caution" if overruled or cautions or missing else "clear"
    first = {"stop": "Not yet.", "caution": "With care.", "clear": "Pour."}[level]
    return Verdict(level, first, rest, missing)


def counted(count, noun, after=""):
    """“two cautions”, “one stop overruled”; empty for none."""
    if not count:
        return ""
    words = ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    number = words[count] if count < len(words) else str(count)
    return f"{number} {noun}{'' if count == 1 else 's'}{' ' + after if after else ''}"


def told(findings):
    """Findings as plain values, to be kept with the check."""
    names = ("code", "level", "figure", "low", "high", "limit", "unit", "reason", "remedy", "source")
    return [{name: plain(getattr(finding, name)) for name in names} for finding in findings]


def plain(value):
    """A figure that JSON can hold: nothing for one without end."""
    return None if isinstance(value, float) and value in (float("inf"), float("-inf")) else value


def findings_of(kept):
    """Findings again from what was kept."""
    from materials.science.resin.facts import Finding

    return [Finding(**finding) for finding in kept]
