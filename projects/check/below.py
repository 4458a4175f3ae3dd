"""What lies in the mould before a pour: the earlier pours of its block, their windows, heat and cure."""

from dataclasses import dataclass
from datetime import datetime

from projects.check import asked
from projects.clocks import say_time
from projects.models import Pour, Step, Timer
from workshop.units import say

HEAT_H = 120.0  # after so long nothing of a pour's heat is left, whatever the resin (judgement)


@dataclass(frozen=True)
class Lying:
    """An earlier pour as the log has it; a window that the sheet does not name is None."""

    lift: int
    depth_mm: float
    poured_at: datetime
    room_c: float | None
    resins: frozenset
    opens_at: datetime | None
    closes_at: datetime | None
    flows_until: datetime | None = None

    def hours(self, at):
        """How long ago it was poured."""
        return (at - self.poured_at).total_seconds() / 3600

    def takes_another(self, at):
        """Whether its window has opened."""
        return self.opens_at is not None and at >= self.opens_at


@dataclass(frozen=True)
class Mould:
    """All that lies in a mould at a moment, the oldest in front; nothing in an empty one."""

    pours: tuple = ()
    reckoned: tuple = ()
    """Those whose heat the forecast carries on, as the calculation takes them."""
    foreign: bool = False
    """Whether one that may still be warm is of another resin."""


def mould_of(step, resin, at):
    """What lies in the mould of a step; nothing for a film, nor where all of it is poured."""
    if step.kind in asked.COATS or step.block_id is None or step.state == Step.State.DONE:
        return Mould()
    pours = tuple(lying(row) for row in Pour.objects.in_mould(step.block, at))
    warm = [pour for pour in pours if pour.hours(at) <= HEAT_H]
    foreign = resin is None or any(pour.resins != {resin.pk} for pour in warm)
    return Mould(pours, () if foreign else tuple(as_reckoned(pour, at) for pour in warm), foreign)


def lying(row):
    """A pour with its window, as its clock has it after all that the thermometer said."""
    clock = next((timer for timer in row.entry.timers.all() if timer.kind == Timer.Kind.RECOAT), None)
    return Lying(
        lift=row.lift,
        depth_mm=row.depth_mm,
        poured_at=row.started_at,
        room_c=row.entry.detail.get("room_c"),
        resins=frozenset(cup.resin_id for cup in row.batches.all()),
        opens_at=clock and clock.due_at,
        closes_at=clock and clock.closes_at,
        flows_until=row.flows_until,
    )


def as_reckoned(pour, at):
    """A pour in the terms of the calculation."""
    from materials.science.resin.upon import Below

    return Below(pour.depth_mm, pour.hours(at), pour.room_c)


def facts_of(mould, outlook, at):
    """The window of the newest pour, and how deep lies there that takes no other yet."""
    from materials.science.resin.facts import PourWindow

    if not mould.pours:
        return {}
    last, lies = mould.pours[-1], outlook.lies
    liquid, soft = last.flows_until is not None and at < last.flows_until, False
    if lies is not None:
        soft = lies.surface_conversion < outlook.kinetics.gel_conversion
        liquid = liquid and soft
    return {
        "pour_window": PourWindow(
            lift=last.lift,
            since_h=last.hours(at),
            opens_h=last.opens_at and last.hours(last.opens_at),
            closes_h=last.closes_at and last.hours(last.closes_at),
            liquid=liquid,
            soft=soft,
            too_hard=lies is not None and is_too_hard(lies),
            reckoned=not mould.foreign,
        ),
        "fresh_below_mm": fresh_mm(mould.pours, at) or (last.depth_mm if liquid else 0.0),
    }


def is_too_hard(lies):
    """Whether a surface no longer bonds by itself, by the model."""
    from materials.science.resin.lifts import BOND_CONVERSION

    return lies.surface_conversion > BOND_CONVERSION


def fresh_mm(pours, at):
    """How deep the pours are that the newest belongs to and that take no other yet, by their sheets."""
    fresh = 0.0
    for pour in reversed(pours):
        if pour.opens_at is None or pour.takes_another(at):
            break
        fresh += pour.depth_mm
    return fresh


def says(mould, outlook, at, shop):
    """What of it is in the forecast and what is not, in sentences."""
    if not mould.pours:
        return ()
    last, tz, system = mould.pours[-1], shop.tz, shop.units
    depth, when = say(last.depth_mm, "length", system), say_time(last.poured_at, at, tz)
    said = [f"Below lies pour {last.lift}: {depth}, poured {when}{window_says(last, at, tz)}."]
    if mould.foreign and outlook.kinetics:
        said.append("What it still gives off in heat is not reckoned with: it is another resin.")
    elif outlook.lies is not None:
        now, alone = (say(c, "temperature", system, 0) for c in (outlook.lies.hottest_c, outlook.alone_c))
        said += [
            f"Its heat and its cure are carried on: by now it is {now} warm at its hottest. "
            f"Alone, this pour would come to {alone}.",
            "Taken for granted: this pour goes in now, and the shop has been as warm as it was at the pour "
            "before. Not reckoned: what flows from one into the other, and heat that leaves by the sides.",
        ]
    elif outlook.kinetics:
        said.append("It is so old that nothing of its heat is left; this pour is reckoned on the bare board.")
    return tuple(said)


def window_says(pour, at, tz):
    """When it takes another, by its clock."""
    if pour.opens_at is None:
        return "; its sheet names no time for another"
    opens = f"; by its clock it takes another from {say_time(pour.opens_at, at, tz)} on"
    return f"{opens}, until {say_time(pour.closes_at, at, tz)}" if pour.closes_at else opens
