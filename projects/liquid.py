"""Whether what was poured last still flows: the next cup then belongs to the same pour, wet on wet."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from projects.models import Pour


@dataclass(frozen=True)
class Liquid:
    """A pour that still flows: its number, when its last cup went in, until when, and how deep it is."""

    lift: int
    poured_at: datetime
    until: datetime
    depth_mm: float


def liquid_pour(block, at, pours=None):
    """The last pour of a block while the cup that went in last can be poured by its sheet; None after that.

    In narrow gaps resin flows longer than in a cup, so that this is the shorter of both. `pours` are those
    of the block in order, with their cups, where somebody has asked for them already.
    """
    if pours is None:
        pours = Pour.objects.filter(block=block).prefetch_related("batches").order_by("pk")
    pours = list(pours)
    lives = (
        [cup.met_at + timedelta(minutes=cup.pot_life_min) for cup in pours[-1].batches.all()] if pours else []
    )
    if not lives or at >= min(lives):
        return None
    last = pours[-1]
    depth_mm = sum(pour.depth_mm for pour in pours if pour.lift == last.lift)
    return Liquid(last.lift, last.started_at, min(lives), depth_mm)
