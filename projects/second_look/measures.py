"""What was measured or typed: a digit too many, two figures swapped, far from the plan, changed too late."""

from materials.advice import A_DIGIT
from projects.clocks import say_time
from projects.second_look.objection import REASONS, Objection
from workshop.several import say_several
from workshop.units import digits, say

FAR_OFF = 0.3  # of what is planned: a block that far off was measured or typed wrong
ALMOST_SQUARE = 0.05  # of length and width together: so little off, nothing was swapped
STRIP_TIMES = 2  # times a strip as planned, or a half of it: no planer is that far off (a judgement)
WET_WOOD_PERCENT = 30  # about where cell walls are full and meters with pins say little; from memory


def not_a_strip(measured, planned, system):
    """Thicknesses more than twice or less than half of every strip that they may be of; 20.5 mm for 2.05."""
    slips = [value for value in measured if planned and all(is_far(value, strip_mm) for strip_mm in planned)]
    if not slips:
        return None
    figures, strips = (say_several(values, "length", system) for values in (slips, planned))
    verb = "are" if len(slips) > 1 else "is"
    return Objection(
        "strip",
        f"thickness {figures}, strips {strips}",
        f"{figures} {verb} {side_of(slips, planned)} of a strip as planned: {strips}.",
        "Look where the decimal point stands. Measure again.",
        REASONS["strip"],
    )


def side_of(slips, planned):
    """On which side of all strips some thicknesses lie."""
    if min(slips) > max(planned):
        return "more than the double"
    return "less than half" if max(slips) < min(planned) else "more than the double or less than half"


def is_far(value, strip_mm):
    """Whether a thickness can't well be that of a strip."""
    return not strip_mm / STRIP_TIMES <= value <= strip_mm * STRIP_TIMES


def wet_wood(measured, system):
    """Moisture at which wood is no material for strips, or a slip: 84 % for 8.4."""
    slips = [value for value in measured if value > WET_WOOD_PERCENT]
    if not slips:
        return None
    figures, limit = say_several(slips, "percent", system), say(WET_WOOD_PERCENT, "percent", system)
    return Objection(
        "moist",
        f"moisture {figures}, above {limit}",
        f"{figures} {'are' if len(slips) > 1 else 'is'} above {limit}: so wet is fresh wood.",
        "Look where the decimal point stands. Strips that wet shrink in the resin: let them dry.",
        REASONS["moist"],
    )


def swapped(measured, planned, system):
    """Length and width typed the wrong way round, against the plan."""
    pair, plan = both(measured), both(planned)
    if None in pair or None in plan or off(pair, plan) <= off(pair[::-1], plan):
        return None
    if off(pair, plan) <= ALMOST_SQUARE * sum(plan):
        return None
    length, width = (say(value, "length", system) for value in pair)
    wanted = " by ".join(say(value, "length", system) for value in plan)
    return Objection(
        "swapped",
        "length and width look swapped",
        f"Length {length} and width {width} look swapped: planned are {wanted}.",
        "Length runs along the strips, width across them.",
        REASONS["measures"],
    )


def both(measures):
    """Length and width out of some measures."""
    return measures.get("length_mm"), measures.get("width_mm")


def off(pair, plan):
    """How far length and width together are from the plan."""
    return sum(abs(value - wanted) for value, wanted in zip(pair, plan, strict=True))


def far_off(name, label, measured, planned, system):
    """A measure that is far from the plan; nothing where either is not known."""
    value, wanted = measured.get(name), planned.get(name)
    if value is None or not wanted or abs(value - wanted) <= FAR_OFF * wanted:
        return None
    said, plan = say(value, "length", system), say(wanted, "length", system)
    percent = round(100 * abs(value - wanted) / wanted)
    return Objection(
        f"off_{name}",
        f"{label.lower()} {said}, {plan} planned",
        f"{label} {said} is {percent} % {'more' if value > wanted else 'less'} than the {plan} planned.",
        f"From {100 * FAR_OFF:.0f} % on it is more often a slip than a block. Measure again.",
        REASONS["measures"],
    )


def digit_slip(name, news, before, after):
    """A size of a block many times what it was: 130 for 13; `news` says both: “gap 2 mm, now 20 mm”."""
    if not before or not after or 1 / A_DIGIT < after / before < A_DIGIT:
        return None
    times = digits(max(after / before, before / after), 1)
    much = f"{times} times as much" if after > before else f"a {times}th of it"
    return Objection(
        f"digit_{name}",
        news,
        f"{news[0].upper()}{news[1:]}: {much}.",
        "Look at the figure again.",
        REASONS["digit"],
    )


def changed_after_pour(block, changed, poured_at, at, tz):
    """Measures of a block changed after it was poured; `changed` says them: “strips 50, now 52”."""
    if not changed or poured_at is None:
        return None
    return Objection(
        "changed",
        "changed after the pour",
        f"{block} was poured {say_time(poured_at, at, tz)}, with {'; '.join(changed)}.",
        "What lies in the mould stays as it is. Change only what was written down wrong.",
        REASONS["changed"],
    )
