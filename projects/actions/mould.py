"""A mould is built, sealed, and tried empty."""

from django.db import transaction

from projects.actions import log, on_step
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
        },
        clocks=[on_step.clock("sealant", hours * 60)] if hours else [],
    )
