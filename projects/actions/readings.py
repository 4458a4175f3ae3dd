"""What was measured: readings of an act, and a reading that is an act of its own."""

from django.db import transaction

from materials.models import Reading
from projects.actions import log, moving
from projects.models import LogEntry, Step
from workshop.units import say

SAYS = {
    Reading.Kind.TEMPERATURE: "temperature",
    Reading.Kind.HUMIDITY: "percent",
    Reading.Kind.BLOCK: "temperature",
    Reading.Kind.MOISTURE: "percent",
    Reading.Kind.MASS: "mass",
    Reading.Kind.THICKNESS: "length",
    Reading.Kind.WIDTH: "length",
    Reading.Kind.LENGTH: "length",
    Reading.Kind.BOW: "length",
}
"""The kind of quantity of each kind of reading; hardness is a bare number of its scale."""
BEGUN_BY_A_READING = {Step.Kind.CONDITION, Step.Kind.MEASURE, Step.Kind.MARK}


def keep(member, moment, values, *, entry=None, batch=None, lot=None):
    """A reading for each kind that has a value, tied to the entry of its act; warmth moves running clocks."""
    rows = [
        Reading.objects.create(
            shop=member.shop,
            created_at=moment.received_at,
            created_by=member.user,
            kind=kind,
            value=value,
            unit=Reading.UNITS[Reading.Kind(kind)],
            taken_at=moment.happened_at,
            batch=batch,
            lot=lot,
            member=member,
        )
        for kind, value in values.items()
        if value is not None
    ]
    if entry is not None:
        entry.readings.add(*rows)
    if values.get(Reading.Kind.TEMPERATURE) is not None:
        project = entry.project if entry else None
        moving.follow_reading(member.shop, project, moment.happened_at)
    return rows


def air(values):
    """The warmth and humidity of the air among the values of an act."""
    return {
        Reading.Kind.TEMPERATURE: values.get("temp_c"),
        Reading.Kind.HUMIDITY: values.get("humidity_percent"),
    }


def said(kind, value, system):
    """A measured value as it is read out, in the shop's units."""
    quantity = SAYS.get(Reading.Kind(kind))
    return say(value, quantity, system) if quantity else f"{value:g} {Reading.UNITS[Reading.Kind(kind)]}"


@transaction.atomic
def take_reading(member, values, *, key, moment, project=None, step=None):
    """A reading written down by itself; `values` holds kind, value, lot and text.

    On a step that is measuring it begins the step. Returns the entry.
    """
    kind, lot = Reading.Kind(values["kind"]), values.get("lot")
    if step is not None:
        log.hold(step)
    sentence = f"{kind.label}: {said(kind, values['value'], member.shop.units)}"
    if lot is not None:
        sentence = f"{sentence}, {lot.code}"
    entry = log.write(
        member,
        LogEntry.Kind.READING,
        key=key,
        moment=moment,
        project=project,
        step=step,
        text=log.sentences(sentence, values.get("text")),
        detail={
            "kind": kind.value,
            "value": values["value"],
            "lot": lot.code if lot else "",
            "begins": step is not None and step.kind in BEGUN_BY_A_READING,
        },
    )
    keep(member, moment, {kind: values["value"]}, entry=entry, lot=lot)
    if step is not None:
        log.follow(step)
        log.under_way(step.project_id)
    return entry
