"""What went wrong, kept with the facts of its pour."""

from django.db import transaction

from materials import advice as shelf_advice
from projects import advice, before_pour
from projects.actions import log
from projects.models import Failure, LogEntry
from workshop import history


@transaction.atomic
def record_failure(member, project, values, *, key, moment, picture=None):
    """A failure with its photo, and what was known of its pour at that moment, frozen beside it.

    `values` may name the `step` it was seen at; a pour brings its own.
    """
    pour = values["pour"]
    kind = Failure.Kind(values["kind"])
    entry = log.write(
        member,
        LogEntry.Kind.FAILURE,
        key=key,
        moment=moment,
        project=project,
        step=pour.entry.step if pour else values.get("step"),
        text=said_of(values),
        detail={"kind": kind.value, "severity": values["severity"]},
        pictures=[(picture, values["where"])] if picture else [],
    )
    failure = Failure.objects.create(
        shop=member.shop,
        created_at=moment.received_at,
        created_by=member.user,
        project=project,
        entry=entry,
        pour=pour,
        kind=kind,
        where=values["where"],
        severity=values["severity"],
        noticed_at=moment.happened_at,
        gathered=facts_of(pour),
        done=values["done"],
    )
    history.record(member, "recorded", failure, at=moment.received_at, label=kind.label)
    return failure


def said_of(values):
    """A failure as the log says it."""
    return f"{Failure.Kind(values['kind']).label}: {values['where']}"


@transaction.atomic
def change_failure(member, failure, values, *, at, picture=None):
    """A failure said better, or completed; its line of the log follows. Another pour brings its own facts."""
    locked = Failure.objects.select_for_update().get(pk=failure.pk)
    fields = {name: values[name] for name in ("kind", "where", "severity", "done", "pour")}
    before, after = history.changes(locked, fields)
    step = values["pour"].entry.step if values["pour"] else values.get("step")
    if "pour" in after:
        locked.gathered = facts_of(values["pour"])
    for name in after:
        setattr(locked, name, values[name])
    locked.save(update_fields=[*after, "gathered"])
    follow_in_log(locked.entry, values, step)
    if picture:
        log.add_picture(locked.entry, picture, values["where"], at=at, by=member.user)
    if after or picture:
        label = f"{locked}, one more photo" if picture else str(locked)
        history.record(member, "changed", locked, at=at, label=label, before=read(before), after=read(after))
    return locked


def read(values):
    """Values of a failure as history tells them: the words of its choices."""
    words = {"kind": Failure.Kind, "severity": Failure.Severity}
    return {name: words[name](value).label if name in words else value for name, value in values.items()}


def follow_in_log(entry, values, step):
    """The line of the log says what the failure says."""
    entry.text, entry.step = said_of(values), step
    entry.search = log.searchable(entry.text)
    entry.detail = {**entry.detail, "kind": str(values["kind"]), "severity": str(values["severity"])}
    entry.save(update_fields=["text", "step", "search", "detail"])


@transaction.atomic
def remove_failure(member, failure, *, at, removed):
    """Take a failure off the page, or put it back."""
    locked = Failure.objects.select_for_update().get(pk=failure.pk)
    if bool(locked.removed_at) == removed:
        return locked
    locked.removed_at = at if removed else None
    locked.save(update_fields=["removed_at"])
    history.record(member, "removed" if removed else "brought back", locked, at=at, label=str(locked))
    return locked


def facts_of(pour):
    """The facts of a pour and its cups as plain values; empty without a pour."""
    if pour is None:
        return {}
    batches = pour.batches.select_related("resin", "lot_a", "lot_b").order_by("cup")
    coats = before_pour.coats_of(project=pour.block.project_id)
    return {**facts(pour, batches, coats), "overruled": before_pour.overruled_before(pour)}


def facts(pour, batches, coats):
    """The same of a pour whose cups and seal coats are at hand, without what was overruled."""
    return {
        "version": 3,
        "lift": pour.lift,
        "block": str(pour.block),
        "depth_mm": pour.depth_mm,
        "poured_at": pour.started_at.isoformat(),
        "sheet_depth_mm": next((batch.resin.max_depth_mm for batch in batches), None),
        "allowed_mm": next((advice.depth_in_stack(batch.resin, pour.block) for batch in batches), None),
        "seal": before_pour.coat_under(pour, coats),
        "cups": [cup_facts(batch, pour) for batch in batches],
    }


def cup_facts(batch, pour):
    """What is known of one cup, and the limits of its sheet."""
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
        "tolerance_percent": batch.tolerance_percent,
        "room_c": batch.room_c,
        "humidity_percent": batch.humidity_percent,
        "sheet_min_c": batch.resin.min_c,
        "sheet_max_c": batch.resin.max_c,
        "sheet_max_humidity_percent": batch.resin.max_humidity_percent,
        "met_at": batch.met_at.isoformat(),
        "minutes_to_pour": (pour.started_at - batch.met_at).total_seconds() / 60,
        "pot_life_min": batch.pot_life_min,
        "pot_life_heavier": batch.pot_life_heavier,
        "use_by_a": batch.lot_a.use_by.isoformat() if batch.lot_a and batch.lot_a.use_by else None,
        "use_by_b": batch.lot_b.use_by.isoformat() if batch.lot_b and batch.lot_b.use_by else None,
    }
