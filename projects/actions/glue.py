"""Pieces are glued up, part by part."""

from django.db import transaction

from materials.models import Reading
from projects.actions import log, on_step, readings
from projects.models import LogEntry, Timer

RINGS_AT = 0.75  # of the open time, as a cup's clock does: common practice, no source


@transaction.atomic
def glue_up(member, step, values, *, key, moment):
    """A part is glued: one clock for the open time, one for the clamps.

    `values` holds part, pieces, open_min, clamped_h, temp_c, text and done. Where the route has a step for
    the glue's cure, that step waits for the clamps and this one is done.
    """
    log.hold(step)
    cure = log.clamped_step(step)
    before = "the next part was glued"
    on_step.end_clocks(member, moment, before, step=step, kind=Timer.Kind.GLUE)
    return on_step.write(
        member,
        step,
        LogEntry.Kind.GLUE_UP,
        key=key,
        moment=moment,
        said=sentence(values),
        values=values,
        detail={
            "part": values.get("part") or "",
            "pieces": values.get("pieces"),
            "temp_c": values.get("temp_c"),
            "cure_step": str(cure.key) if cure else "",
        },
        clocks=clocks_of(values, cure),
        measured={Reading.Kind.TEMPERATURE: readings.air(values)[Reading.Kind.TEMPERATURE]},
    )


def sentence(values):
    """What the log says of a glue-up."""
    pieces = values.get("pieces")
    counted = f", {pieces} piece{'' if pieces == 1 else 's'}" if pieces else ""
    return f"Glued up: {values.get('part') or 'the panel'}{counted}"


def clocks_of(values, cure):
    """The two clocks of a glue-up, each where its time is known."""
    part = {"part": values.get("part") or ""}
    open_min, clamped_h = values.get("open_min"), values.get("clamped_h")
    clocks = []
    if open_min:
        clocks.append(on_step.clock("glue", open_min, early=open_min * RINGS_AT, **part))
    if clamped_h:
        clocks.append(
            on_step.clock("clamped", clamped_h * 60, cure_step=str(cure.key) if cure else "", **part)
        )
    return clocks
