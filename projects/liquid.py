"""Whether what was poured last still flows: the next cup then belongs to the same pour, wet on wet."""

from dataclasses import dataclass
from datetime import datetime

from projects.models import Pour, Step


@dataclass(frozen=True)
class Liquid:
    """A pour that still flows: its number, when its last cup went in, until when, and how deep it is."""

    lift: int
    poured_at: datetime
    until: datetime
    depth_mm: float


def liquid_pour(block, at, pours=None):
    """The last pour of a block while what went in last still flows; None after that.

    `pours` are those of the block in order, with their cups, where somebody has asked for them already.
    """
    pours = list(Pour.objects.on(block) if pours is None else pours)
    until = pours[-1].flows_until if pours else None
    if until is None or at >= until:
        return None
    last = pours[-1]
    depth_mm = sum(pour.depth_mm for pour in pours if pour.lift == last.lift)
    return Liquid(last.lift, last.started_at, until, depth_mm)


def next_cup(step, at):
    """The pour that still flows, where a step goes on with it: the next cup presses more than a photo."""
    if step.state != Step.State.UNDER_WAY or step.block is None or step.kind != Step.Kind.POUR:
        return None
    return liquid_pour(step.block, at)
