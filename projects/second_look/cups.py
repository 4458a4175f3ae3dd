"""A cup: the wrong mass, the wrong ratio, the wrong warmth, and what the check before it stops."""

from materials.advice import A_DIGIT
from projects.second_look.objection import REASONS, Objection
from workshop.units import say

MANY_TIMES = 2  # of what is wanted: more likely a slip than a wish


def slips(a_g, lot, wanted_a_g):
    """What looks like a slip of the finger or the wrong bottle in the A that was typed."""
    if a_g is None:
        return {}
    times = a_g / wanted_a_g
    return {
        "times_wanted": times if times >= MANY_TIMES else None,
        "bottle_holds": lot.on_hand if lot and a_g > lot.on_hand else None,
    }


def cup_slip(a_g, wanted_a_g, system):
    """Far more or far less A in a cup than is wanted: 1120 for 112. A bigger cup alone is a wish."""
    if a_g is None or not wanted_a_g or wanted_a_g / A_DIGIT < a_g < A_DIGIT * wanted_a_g:
        return None
    typed, wanted, much = say(a_g, "mass", system), say(wanted_a_g, "mass", system), a_g > wanted_a_g
    return Objection(
        "cup_slip",
        f"{typed} of A, {wanted} wanted",
        f"{typed} of A is far {'more' if much else 'less'} than the {wanted} wanted for this cup.",
        "Look at the scale again. A big cup gets hot and sets fast." if much else "Look at the scale again.",
        REASONS["cup"],
    )


def off_warmth(resin, temp_c, system, *, what="shop"):
    """Shop or mould colder or warmer than the resin's sheet allows; nothing where either is not known."""
    if temp_c is None:
        return None
    cold = resin.min_c is not None and temp_c < resin.min_c
    warm = resin.max_c is not None and temp_c > resin.max_c
    if not cold and not warm:
        return None
    said, limit = (
        say(value, "temperature", system) for value in (temp_c, resin.min_c if cold else resin.max_c)
    )
    return Objection(
        f"warmth_{what}",
        f"{what} at {said}, sheet’s limit {limit}",
        f"The {what} has {said}; the sheet of {resin.name} ends at {limit}.",
        "Warm shop, mould and bottles first: too cold, it may never harden."
        if cold
        else "Cool the shop down and mix smaller cups: too warm, it thickens sooner and gets hotter.",
        REASONS["warmth"],
    )


def wrong_cup(cup, ratio):
    """A cup off its ratio that is poured."""
    if ratio is None or ratio.level != "stop":
        return None
    return Objection(
        f"ratio_{cup.cup}",
        f"cup {cup.cup} off its ratio",
        f"In cup {cup.cup} B is {ratio.error_percent:+.1f} % off; ±{ratio.tolerance_percent:g} % is allowed.",
        "It may never harden, or get hot. Put it right, or throw it away on its card.",
        REASONS["ratio"],
    )


def stop_of_check(code, name, reasons):
    """A stop of the check before the mix that nobody overruled."""
    said = name.lower()
    return Objection(
        f"check_{code}",
        said,
        f"The check says stop: {said}.",
        "Put it right and check again.",
        reasons,
        of_check=code,
    )


def stop_unchecked(row):
    """A stop that a check would have found, had anybody made one; `row` is its finding in words."""
    figure = " ".join(part for part in (row.number, row.unit, row.against) if part)
    said = row.name[:1].lower() + row.name[1:]
    reckoned = f"{said}, {figure}" if figure else said
    return Objection(
        f"check_{row.code}",
        said,
        f"This pour was not checked. Reckoned now: {reckoned}. {row.reason}".strip(),
        row.remedy or "Check it first.",
        row.reasons[:-1],
        of_check=row.code,
    )
