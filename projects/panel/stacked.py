"""How wide a stack comes out by the readings of its wood, and whether it fits its mould and its comb."""

from dataclasses import dataclass

from projects import advice
from projects.panel.casting import PLAY_MM, SEAL_MM


@dataclass(frozen=True)
class Width:
    """How wide the stack comes out with combs and with spacers, and whether it fits mould and comb."""

    combs: object
    spacers: object
    readings: int
    mean_mm: float
    room_mm: float
    """The mould's inside."""
    slots_mm: float
    """From the first slot of the comb to the end of the last one that is taken."""
    combs_fit: bool
    spacers_fit: bool
    in_slots: bool
    spacers_in_slots: bool

    @property
    def off_mm(self):
        """How far beside its slot the last strip comes to lie where loose spacers hold the gaps."""
        return abs(self.spacers.width_mm - self.combs.width_mm)


def width_of(block, actual, slot_mm=None, seal_mm=SEAL_MM):
    """How wide the stack comes out by readings of its wood, or None without them.

    Without a slot it is held against the usual comb.
    """
    from projects.geometry.strips import slots_room_mm, stack_growth

    if actual is None:
        return None
    stack = advice.stack_of(advice.values_of(block))
    combs, spacers = (
        stack_growth(stack, block.strips, actual, seal_mm, gaps_held=held) for held in (False, True)
    )
    room = stack.width_mm(block.strips) + 2 * block.rim_mm
    slot = slot_mm or block.strip_mm + 2 * seal_mm + PLAY_MM
    slots = slots_room_mm(block.strips, stack.pitch_mm, slot, actual.mean_mm + 2 * seal_mm)
    return Width(
        combs=combs,
        spacers=spacers,
        readings=len(actual.readings_mm),
        mean_mm=actual.mean_mm,
        room_mm=room,
        slots_mm=slots[1],
        combs_fit=combs.fits(room),
        spacers_fit=spacers.fits(room),
        in_slots=combs.lies_between(*slots),
        spacers_in_slots=spacers.lies_between(*slots),
    )
