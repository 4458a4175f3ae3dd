"""A block leaves its mould and is measured."""

from django.db import transaction

from materials.models import Reading
from projects import advice
from projects.actions import log, on_step
from projects.models import LogEntry, Step, Timer
from workshop import history

MEASURED = {
    "length_mm": Reading.Kind.LENGTH,
    "width_mm": Reading.Kind.WIDTH,
    "depth_mm": Reading.Kind.THICKNESS,
    "bow_mm": Reading.Kind.BOW,
    "hardness": Reading.Kind.HARDNESS,
    "temp_c": Reading.Kind.BLOCK,
}


@transaction.atomic
def demould(member, step, values, *, key, moment):
    """The block is out: its cure is over, its clocks are answered, its measures stand beside the plan.

    `values` holds length_mm, width_mm, depth_mm, bow_mm, hardness, temp_c, text and done.
    """
    log.hold(step)
    found = {name: values.get(name) for name in MEASURED}
    entry = on_step.write(
        member,
        step,
        LogEntry.Kind.DEMOULD,
        key=key,
        moment=moment,
        said=f"{step.block or 'The block'} is out of the mould",
        values=values,
        detail=found,
        measured={MEASURED[name]: value for name, value in found.items()},
    )
    if step.block_id:
        keep_measures(member, step.block, found, moment)
        kinds = [Timer.Kind.GEL, Timer.Kind.DEMOULD, Timer.Kind.RECOAT]
        on_step.end_clocks(member, moment, "out of the mould", step__block=step.block_id, kind__in=kinds)
        for poured in Step.objects.filter(block=step.block_id, kind=Step.Kind.POUR).in_order():
            log.follow(poured)
    return entry


def keep_measures(member, block, found, moment):
    """The block's measures beside what was planned when they were taken; those not taken again stay."""
    planned, before = advice.planned_measures(block), block.measured
    news = {
        name: {"planned": planned.get(name), "measured": value}
        for name, value in found.items()
        if value is not None
    }
    if not news:
        return
    block.measured = {**before, "version": 1, "measured_at": moment.happened_at.isoformat(), **news}
    block.save(update_fields=["measured"])
    history.record(
        member,
        "measured",
        block,
        at=moment.received_at,
        label=f"{block.project.code} {block}",
        before={name: before[name]["measured"] for name in news if name in before},
        after={name: figures["measured"] for name, figures in news.items()},
    )
