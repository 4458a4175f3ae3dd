"""A check that is kept, and a stop that somebody overrules: both are entries of the log."""

from django.db import transaction

from materials.models import Reading
from projects.actions import log
from projects.check import below, picture, told
from projects.models import LogEntry, Overrule


@transaction.atomic
def keep_check(member, step, answers, checked, *, key, moment):
    """The check as it stood: its answers, its findings, its verdict. Warmth and humidity become readings."""
    log.hold(step)
    rows = told.rows_of(checked.findings, member.shop.units, step.overrules.order_by("created_at"))
    verdict = told.verdict_of(rows)
    entry = log.write(
        member,
        LogEntry.Kind.CHECK,
        key=key,
        moment=moment,
        step=step,
        text=f"Check of {step.title}: {verdict.first} {verdict.rest}",
        detail={
            "answers": plain(answers),
            "findings": told.told(checked.findings),
            "verdict": verdict.level,
            "picture": picture.kept(picture.warmth_of(step, answers, checked, moment.happened_at)),
            "below": below.says(checked.mould, checked.outlook, moment.happened_at, member.shop),
            "peaks_c": {band: one.peak_c for band, one in checked.outlook.predictions.items()},
        },
    )
    entry.readings.set(readings(member, answers, moment))
    return entry


def plain(answers):
    """Answers as JSON holds them: a resin by its key."""
    return {**answers, "resin": str(answers["resin"].key) if answers["resin"] else None}


def readings(member, answers, moment):
    """What was read for the check, as readings of the shop."""
    found = {
        Reading.Kind.TEMPERATURE: answers["shop_c"],
        Reading.Kind.HUMIDITY: answers["humidity_percent"],
    }
    return [
        Reading.objects.create(
            shop=member.shop,
            created_at=moment.received_at,
            created_by=member.user,
            kind=kind,
            value=value,
            unit=Reading.UNITS[kind],
            taken_at=moment.happened_at,
            member=member,
        )
        for kind, value in found.items()
        if value is not None
    ]


@transaction.atomic
def overrule(member, step, code, reason, *, key, moment):
    """Somebody pours all the same, and says why."""
    name = told.NAMES[code][2]
    entry = log.write(
        member,
        LogEntry.Kind.OVERRULE,
        key=key,
        moment=moment,
        step=step,
        text=f"{name}: overruled. {reason}",
        detail={"code": code, "reason": reason},
    )
    return Overrule.objects.create(
        shop=member.shop,
        created_at=moment.received_at,
        created_by=member.user,
        entry=entry,
        step=step,
        code=code,
        reason=reason,
    )
