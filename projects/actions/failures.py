"""What went wrong, kept with the facts of its pour."""

from django.db import transaction

from materials import advice as shelf_advice
from projects.actions import log
from projects.models import Failure, LogEntry
from workshop import history


@transaction.atomic
def record_failure(member, project, values, *, key, moment, picture=None):
    """A failure with its photo, and what was known of its pour at that moment, frozen beside it."""
    pour = values["pour"]
    kind = Failure.Kind(values["kind"])
    entry = log.write(
        member, LogEntry.Kind.FAILURE, key=key, moment=moment, project=project,
        step=pour.entry.step if pour else None, text=f"{kind.label}: {values['where']}",
        detail={"kind": kind.value, "severity": values["severity"]},
        pictures=[(picture, values["where"])] if picture else [],
    )
    failure = Failure.objects.create(
        shop=member.shop, created_at=moment.received_at, created_by=member.user, project=project, entry=entry,
        pour=pour, kind=kind, where=values["where"], severity=values["severity"], noticed_at=moment.happened_at,
        gathered=facts_of(pour), done=values["done"],
    )
    history.record(member, "recorded", failure, at=moment.received_at, label=kind.label)
    return failure


@transaction.atomic
def remove_failure(member, failure, *, at, removed):
    """Take a failure off the page, or put it back."""
    failure.removed_at = at if removed else None
    failure.save(update_fields=["removed_at"])
    history.record(member, "removed" if removed else "brought back", failure, at=at, label=str(failure))
    return failure


def facts_of(pour):
    """The facts of a pour and its cups as plain values; empty without a pour."""
    if pour is None:
        return {}
    batches = pour.batches.select_related("resin", "lot_a", "lot_b").order_by("cup")
    return {
        "version": 1,
        "lift": pour.lift,
        "block": str(pour.block),
        "depth_mm": pour.depth_mm,
        "poured_at": pour.started_at.isoformat(),
        "sheet_depth_mm": next((batch.resin.max_depth_mm for batch in batches), None),
        "cups": [cup_facts(batch, pour) for batch in batches],
    }


def cup_facts(batch, pour):
    """What is known of one cup."""
    ratio = shelf_advice.ratio_of(batch)
    return {
        "cup": batch.cup,
        "resin": batch.resin.name,
        "lot_a": batch.lot_a.code if batch.lot_a else "",
        "lot_b": batch.lot_b.code if batch.lot_b else "",
        "a_g": batch.actual_a_g,
        "b_g": batch.actual_b_g,
        "ratio_off_percent": ratio.error_percent if ratio else None,
        "ratio_level": ratio.level if ratio else "",
        "room_c": batch.room_c,
        "humidity_percent": batch.humidity_percent,
        "met_at": batch.met_at.isoformat(),
        "minutes_to_pour": (pour.started_at - batch.met_at).total_seconds() / 60,
        "pot_life_min": batch.pot_life_min,
        "pot_life_heavier": batch.pot_life_heavier,
        "use_by_a": batch.lot_a.use_by.isoformat() if batch.lot_a and batch.lot_a.use_by else None,
        "use_by_b": batch.lot_b.use_by.isoformat() if batch.lot_b and batch.lot_b.use_by else None,
    }
