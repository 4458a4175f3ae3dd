"""What was measured: readings of an act, and a reading that is an act of its own."""

from django.db import transaction

from materials.models import Reading
from projects.actions import log, moving
from projects.models import LogEntry, Step
from workshop.several import say_several
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
SAID_EACH = 12  # readings in a line of the log; of more it says how many, from where to where, and their mean
BEGUN_BY_A_READING = {Step.Kind.CONDITION, Step.Kind.MEASURE, Step.Kind.MARK}


def keep(member, moment, values, *, entry=None, batch=None, lot=None):
    """A reading for each kind that has a value, tied to the entry of its act; warmth moves running clocks.

    A kind may have several values, in a list: each is a reading of its own.
    """
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
        for kind, figures in values.items()
        for value in (figures if isinstance(figures, list) else [figures])
        if value is not None
    ]
    if entry is not None:
        entry.readings.add(*rows)
    if any(row.kind == Reading.Kind.TEMPERATURE for row in rows):
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


def said_all(kind, values, system):
    """Several values of one act as they are read out: each of a few, how far many of them spread."""
    if len(values) == 1:
        return said(kind, values[0], system)
    count = f"{len(values)} readings"
    if len(values) <= SAID_EACH:
        quantity = SAYS.get(Reading.Kind(kind), "parts")
        return f"{count}: {say_several(values, quantity, system)}"
    least, most, mean = (
        said(kind, value, system) for value in (min(values), max(values), sum(values) / len(values))
    )
    return f"{count} from {least} to {most}, {mean} on average"


@transaction.atomic
def take_reading(member, values, *, key, moment, project=None, step=None):
    """A reading, or several of one kind, written down by themselves; returns the entry.

    `values` holds kind, lot and text, and `value` with one figure or a list of them. On a step that is
    measuring it begins the step.
    """
    kind, lot, value = Reading.Kind(values["kind"]), values.get("lot"), values["value"]
    figures = value if isinstance(value, list) else [value]
    if step is not None:
        log.hold(step)
    sentence = f"{kind.label}: {said_all(kind, figures, member.shop.units)}"
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
            "value": figures[0] if len(figures) == 1 else figures,
            "lot": lot.code if lot else "",
            "begins": step is not None and step.kind in BEGUN_BY_A_READING,
            **log.reason_in(values),
        },
    )
    keep(member, moment, {kind: figures}, entry=entry, lot=lot)
    if step is not None:
        log.follow(step)
        log.under_way(step.project_id)
    return entry
