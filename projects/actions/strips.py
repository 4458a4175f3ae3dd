"""Strips go into the combs."""

from django.db import transaction

from materials import actions as shelf
from materials.models import Lot
from projects.actions import log, needs, on_step
from projects.models import LogEntry


@transaction.atomic
def load_strips(member, step, values, *, key, moment):
    """Strips of a bundle are in the mould; `values` holds lot, count, text and done.

    What went in left the bundle, even where its ledger held less.
    """
    log.hold(step)
    lot, count = values.get("lot"), values["count"]
    if lot is not None and (amount := amount_of(lot, count, step)):
        why = f"{step.project} · strips"
        shelf.draw_at_bench(
            member, lot, amount, at=moment.received_at, happened_at=moment.happened_at, act_key=key, why=why
        )
    entry = on_step.write(
        member,
        step,
        LogEntry.Kind.STRIPS,
        key=key,
        moment=moment,
        said=sentence(step, lot, count),
        values=values,
        detail={"count": count, **on_step.of_lot(lot)},
    )
    if step.block_id:
        needs.follow(step.block, at=moment.received_at, by=member)
    return entry


def amount_of(lot, count, step):
    """What so many strips are in the unit of their lot; None where it is not counted."""
    if lot.unit in {Lot.Unit.STRIP, Lot.Unit.PIECE}:
        return count
    if lot.unit == Lot.Unit.METRE and step.block:
        return count * step.block.length_mm / 1000
    return None


def sentence(step, lot, count):
    """What the log says of strips that were loaded."""
    of = f" of {lot.what}, {lot.code}," if lot else ""
    return f"{count} strip{'' if count == 1 else 's'}{of} into {step.block or 'the mould'}"


def loaded(step):
    """How many strips the log says are in the mould by now."""
    entries = LogEntry.objects.kept().filter(step=step, kind=LogEntry.Kind.STRIPS)
    return sum(entry.detail.get("count", 0) for entry in entries)
