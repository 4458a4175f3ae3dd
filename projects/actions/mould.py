"""A mould is built, sealed, and tried empty."""

from django.db import transaction

from projects.actions import log, on_step, plan
from projects.checklists import AT_THE_MOULD
from projects.models import LogEntry, Timer

PARTS = {"taped": "taped", "sealed": "sealed", "tested_empty": "tried empty and tight", "level": "level"}
"""What can be said of a mould, and how the log says it."""


@transaction.atomic
def build_mould(member, step, values, *, key, moment):
    """How far a mould is: taped, sealed, tried empty, level; its sealant gets a clock.

    `values` holds machine, taped, sealed, tested_empty, level, sealant_h, text and done.
    """
    log.hold(step)
    machine, hours = values.get("machine"), values.get("sealant_h")
    done = [words for name, words in PARTS.items() if values.get(name)]
    if hours or values.get("done"):
        how = "sealed again" if hours else "the mould was tried"
        on_step.end_clocks(member, moment, how, step=step, kind=Timer.Kind.SEALANT)
    return on_step.write(
        member,
        step,
        LogEntry.Kind.MOULD,
        key=key,
        moment=moment,
        said=f"{machine or 'Mould'}: {', '.join(done) or 'begun'}",
        values=values,
        detail={
            **{name: bool(values.get(name)) for name in PARTS},
            "machine": str(machine) if machine else "",
            "ticked": tick_lines(member, step, values, moment),
        },
        clocks=[on_step.clock("sealant", hours * 60)] if hours else [],
    )


def tick_lines(member, step, values, moment):
    """Tick the lines of the checklist that the act says as well; the keys of those it ticked."""
    known = [text for text, parts in AT_THE_MOULD.items() if all(values.get(part) for part in parts)]
    lines = list(step.checks.filter(text__in=known, ticked_at=None))
    for line in lines:
        plan.tick(member, line, True, at=moment.received_at)
    return [str(line.key) for line in lines]


def clear_lines(member, entry, *, at):
    """Clear the lines that an act had ticked, as it is taken back."""
    for line in entry.step.checks.filter(key__in=entry.detail.get("ticked", [])):
        plan.tick(member, line, False, at=at)


def said_of(step):
    """What was written at the mould that a step pours into; empty where nothing was."""
    entry = LogEntry.objects.around(step).select_related("member").newest(LogEntry.Kind.MOULD)
    if entry is None:
        return ""
    day = entry.happened_at.astimezone(step.shop.tz)
    return f"{entry.member.name} wrote at the mould, {day:%a} {day.day} {day:%b %H:%M}: {entry.text}"
