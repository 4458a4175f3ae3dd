"""Which of the conditions that spoil pours held for one."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

COLD_C = 15.0  # below it many resins cure badly (common practice, no source)
DAMP_PERCENT = 65.0  # above it a cure gets a greasy film easily (common practice, no source)


@dataclass(frozen=True)
class Cup:
    """What is known of one cup of a pour; None where nobody measured, or the sheet says nothing.

    Parameters: room_c, humidity_percent, the air when the parts met; min_c, the sheet's lowest;
    ratio_off_percent, how far B was off, and tolerance_percent, how far it may be; b_past_date, whether B
    was older than its date; minutes_to_pour, pot_life_min, from the meeting of the parts; heavier, whether
    the cup held more than the sheet's pot life is for.

    >>> Cup(room_c=12.5, pot_life_min=90, minutes_to_pour=10).room_c
    12.5
    """

    room_c: float | None = None
    humidity_percent: float | None = None
    min_c: float | None = None
    ratio_off_percent: float | None = None
    tolerance_percent: float | None = None
    b_past_date: bool | None = None
    minutes_to_pour: float | None = None
    pot_life_min: float | None = None
    heavier: bool | None = None


@dataclass(frozen=True)
class Coat:
    """The seal coat that a pour came on, and its window.

    Parameters: age_h, at the pour; opens_h, from when it is dry, and closes_h, until when it takes a pour,
    both counted from the coat; None where nobody says so.

    >>> Coat(0.2, opens_h=5.3).age_h
    0.2
    """

    age_h: float
    opens_h: float | None = None
    closes_h: float | None = None


def conditions(
    cups: Sequence[Cup], depth_mm: float, allowed_mm: float | None, coat: Coat | None = None
) -> dict[str, bool]:
    """Which conditions held for a pour, by name; what is not known of it is left out.

    Parameters: cups; depth_mm, as poured; allowed_mm, what the sheet allows in this stack of strips; coat,
    the seal coat of the strips.
    Returns: name to whether it held, in the order in which they are read out: wet_coat, old_coat, cold,
    below_sheet, damp, old_b, ratio, deep, late, heavy.
    Valid for: one cup is enough for a condition to hold.

    >>> conditions([Cup(room_c=12.5, min_c=15)], depth_mm=13, allowed_mm=None)
    {'cold': True, 'below_sheet': True}
    >>> conditions([], depth_mm=13, allowed_mm=None, coat=Coat(0.2, opens_h=5.3))
    {'wet_coat': True}
    """
    said = {name: [rule(cup) for cup in cups] for name, rule in RULES.items()}
    said["deep"] = [above(depth_mm, allowed_mm)]
    said["wet_coat"] = [above(coat.opens_h, coat.age_h) if coat else None]
    said["old_coat"] = [above(coat.age_h, coat.closes_h) if coat else None]
    in_order = {name: said[name] for name in ORDER}
    known = {name: [one for one in found if one is not None] for name, found in in_order.items()}
    return {name: any(found) for name, found in known.items() if found}


def above(value: float | None, limit: float | None) -> bool | None:
    """Whether a value lies above a limit; None where either is not known.

    >>> above(70, 65), above(None, 65)
    (True, None)
    """
    return None if value is None or limit is None else value > limit


RULES: dict[str, Callable[[Cup], bool | None]] = {
    "cold": lambda cup: above(COLD_C, cup.room_c),
    "below_sheet": lambda cup: above(cup.min_c, cup.room_c),
    "damp": lambda cup: above(cup.humidity_percent, DAMP_PERCENT),
    "old_b": lambda cup: cup.b_past_date,
    "ratio": lambda cup: above(
        None if cup.ratio_off_percent is None else abs(cup.ratio_off_percent), cup.tolerance_percent
    ),
    "late": lambda cup: above(cup.minutes_to_pour, cup.pot_life_min),
    "heavy": lambda cup: cup.heavier,
}
ORDER = ("wet_coat", "old_coat", "cold", "below_sheet", "damp", "old_b", "ratio", "deep", "late", "heavy")
