"""What stands against an act at the bench: too soon, too late, too deep, a slip. Never a refusal.

Each function takes rows, what was typed and the moment, and asks nobody; which of them belong to which act
stands in `against.py`. That the maker's data sheet comes first is said once, where they are shown.
"""

from projects.second_look.clocks import (
    AFTER_THE_CURE,
    early_out,
    hardens_for,
    seal_missed,
    still_hardening,
    still_wet,
    window,
)
from projects.second_look.cups import cup_slip, off_warmth, slips, stop_of_check, stop_unchecked, wrong_cup
from projects.second_look.lists import short, unticked
from projects.second_look.measures import (
    changed_after_pour,
    digit_slip,
    far_off,
    not_a_strip,
    swapped,
    wet_wood,
)
from projects.second_look.objection import CASTING, Objection, found
from projects.second_look.pours import (
    depth_slip,
    more_to_come,
    mould_full,
    never_poured,
    too_deep,
    too_little,
)

__all__ = [
    "AFTER_THE_CURE",
    "CASTING",
    "Objection",
    "changed_after_pour",
    "cup_slip",
    "depth_slip",
    "digit_slip",
    "early_out",
    "far_off",
    "found",
    "hardens_for",
    "more_to_come",
    "mould_full",
    "never_poured",
    "not_a_strip",
    "off_warmth",
    "seal_missed",
    "short",
    "slips",
    "still_hardening",
    "still_wet",
    "stop_of_check",
    "stop_unchecked",
    "swapped",
    "too_deep",
    "too_little",
    "unticked",
    "wet_wood",
    "window",
    "wrong_cup",
]
