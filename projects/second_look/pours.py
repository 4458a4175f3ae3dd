"""A pour: too deep, too little for its depth, a mould that is full, or one that nobody poured."""

from projects.second_look.objection import REASONS, Objection
from workshop.units import digits, say

CLEARLY_LESS = 0.9  # of what the mould wants: then another pour is to come, else it is a matter of the scale
DEEPER_TIMES = 1.5  # of what is planned: more likely a slip (130 for 13) than a wish
CUPS_HOLD = 3  # times what the cups make: no ruler in a mould is that far off (a judgement)
TOP_UP_MM = 2.0  # what resin may sink by, so that a little more goes on a full mould; from memory
SAME_MM = 0.05  # what nobody can measure at a pour: 1.969 in are 50 mm


def more_to_come(wanted_g, poured_g):
    """Whether the mould clearly wants another pour after this one."""
    return poured_g < CLEARLY_LESS * wanted_g


def too_deep(resin, depth_mm, allowed_mm, system):
    """A pour deeper than the sheet's largest depth allows in this stack."""
    if allowed_mm is None or depth_mm <= allowed_mm + SAME_MM:
        return None
    deep, limit, neat = (say(value, "length", system) for value in (depth_mm, allowed_mm, resin.max_depth_mm))
    return Objection(
        "deep",
        f"{deep} deep, {limit} by the sheet",
        f"{deep} is deeper than the {limit} that the sheet of {resin.name} allows in this stack "
        f"({neat} of neat resin).",
        "Too deep it can overheat, smoke and crack. Pour less now, and the rest in the next pour.",
        REASONS["deep"],
    )


def depth_slip(depth_mm, planned_mm, system):
    """A pour far deeper than is planned for it: 130 for 13."""
    if planned_mm <= TOP_UP_MM or depth_mm <= DEEPER_TIMES * planned_mm + SAME_MM:
        return None
    deep, planned = say(depth_mm, "length", system), say(planned_mm, "length", system)
    return Objection(
        "slip",
        f"{deep} deep, {planned} planned",
        f"{deep} is {digits(depth_mm / planned_mm, 1)} times the {planned} planned for this pour.",
        "Look at the figure again: it is the depth of this pour alone.",
        REASONS["slip"],
    )


def too_little(depth_mm, makes_mm, system):
    """A pour far deeper than its cups can fill the mould."""
    if makes_mm is None or depth_mm <= CUPS_HOLD * makes_mm + SAME_MM:
        return None
    deep, makes = say(depth_mm, "length", system), say(makes_mm, "length", system, 1)
    return Objection(
        "little",
        f"{deep} deep, the cups make {makes}",
        f"What is in the cups makes about {makes} of depth in this mould, not {deep}.",
        "Write down how deep this pour alone is; the rest comes with the next cup.",
        REASONS["little"],
    )


def mould_full(depth_mm, left_mm, system):
    """More than a top-up into a mould that is full by the log."""
    if left_mm > TOP_UP_MM or depth_mm <= TOP_UP_MM + SAME_MM:
        return None
    return Objection(
        "full",
        "the mould was full by the log",
        f"By the log the mould is full, and {say(depth_mm, 'length', system)} more come on top; "
        f"{say(TOP_UP_MM, 'length', system)} would be a top-up.",
        "Look whether a pour was written down twice: it can be taken back.",
        REASONS["slip"],
    )


def never_poured(block, poured):
    """A block out of its mould that was never poured by the log."""
    if poured:
        return None
    return Objection(
        "empty",
        "never poured by the log",
        f"By the log nothing was poured on {block} yet.",
        "Look whether this is the right block. If the pour was not written down, write it down first.",
        REASONS["empty"],
    )
