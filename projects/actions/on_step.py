"""What every act on a step has in common: its entry, clocks and readings, and the step that follows."""

from projects import fold
from projects.actions import log, readings
from projects.models import Timer


def write(member, step, kind, *, key, moment, said, values, detail=None, clocks=(), measured=None):
    """An act on a step whose row the caller holds: entry, clocks, readings, state. Returns the entry.

    `said` is the log's sentence, before what else the maker typed; `all_the_same` among the values says why
    it was done though something stood against it. A step that is done with a clock for
    which it waits is over when that clock was answered.
    """
    clocks = list(clocks)
    entry = log.write(
        member,
        kind,
        key=key,
        moment=moment,
        step=step,
        text=log.sentences(said, values.get("text")),
        detail={
            **(detail or {}),
            "step": word(values, clocks, detail or {}),
            "clocks": clocks,
            **log.reason_in(values),
        },
    )
    readings.keep(member, moment, measured or {}, entry=entry)
    log.start_clocks(entry)
    log.follow(step)
    log.under_way(step.project_id)
    return entry


def word(values, clocks, detail):
    """What the act means for its step: begun, done, or waiting for a clock that it started."""
    if not values.get("done"):
        return "began"
    waits = not detail.get("cure_step") and any(clock["kind"] in fold.ENDING_CLOCKS for clock in clocks)
    return "waits" if waits else "done"


def end_clocks(member, moment, how, **of):
    """The clocks of some kind that ran when an act happened stop asking: it has answered them."""
    begun = Timer.objects.of(member.shop).running().filter(started_at__lte=moment.happened_at)
    for timer in begun.filter(**of):
        log.settle_row(member, timer, moment, how)


def clock(kind, minutes, *, early=None, **figures):
    """A clock of so many minutes as the maker set it, by no law."""
    return {"kind": kind, "early_min": early, "due_min": minutes, "figures": {"law": "wall", **figures}}


def of_lot(lot):
    """Which bottle, bundle or tin an act took from, as its entry freezes it."""
    return {"lot": lot.code if lot else "", "lot_key": str(lot.key) if lot else ""}
