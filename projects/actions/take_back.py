"""An act that was written down by mistake is taken back, with all that followed from it."""

from django.db import transaction

from materials import actions as shelf
from materials.models import Movement
from projects.actions import log, mould, moving, needs
from projects.actions.demould import MEASURED
from projects.models import Block, Failure, LogEntry, Pour, Step, Timer
from workshop import history
from workshop.refusals import Refused

HOW = "taken back"


@transaction.atomic
def take_back(member, entry, why, *, key, moment):
    """The entry leaves the log, and the step, clocks, readings and bottles stand as if it had not been.

    A line of its own says what was taken back, and why. Clocks that the act had answered run again.
    Raises Refused without a reason, for what can't be taken back, and for a pour on which something rests.
    """
    why = why.strip()
    if not why:
        raise Refused("Say why it is taken back, so that whoever reads the log knows.")
    if entry.step_id:
        log.hold(entry.step)
    rows = LogEntry.objects.select_for_update(of=("self",)).select_related("step", "project")
    locked = rows.get(pk=entry.pk)
    if not locked.may_be_taken_back:
        raise Refused("This can't be taken back, or somebody has taken it back already.")
    if locked.kind == LogEntry.Kind.POUR:
        empty_mould(locked)
    locked.removed_at = moment.received_at
    locked.save(update_fields=["removed_at"])
    locked.readings.update(removed_at=moment.received_at)
    put_back(member, locked, moment, why)
    stop_clocks(member, locked, moment)
    moving.follow_reading(member.shop, locked.project, locked.happened_at)
    history.record(member, "took back an act", locked, at=moment.received_at, label=str(locked), why=why)
    said = locked.text or locked.get_kind_display()
    written = log.write(
        member,
        LogEntry.Kind.TAKEN_BACK,
        key=key,
        moment=moment,
        project=locked.project,
        step=locked.step,
        text=f"{why}. Taken back: {said}",
        detail={"entry": str(locked.key), "kind": locked.kind, "why": why},
    )
    follow(locked, moment, member)
    return written


def empty_mould(entry):
    """The row of a pour goes, and its cups are open again.

    Raises Refused where something rests on it: a pour on top, a block that is out, a failure.
    """
    pour = Pour.objects.select_related("block").get(entry=entry)
    after = Pour.objects.on(pour.block).filter(pk__gt=pour.pk).first()
    out = LogEntry.objects.kept().filter(step__block=pour.block, kind=LogEntry.Kind.DEMOULD)
    if after is not None:
        lies = f"Pour {after.lift}" if after.lift != pour.lift else f"More of pour {after.lift}"
        raise Refused(f"{lies} lies on it. Take that one back first.")
    if out.exists():
        raise Refused("The block is out of its mould. Take that back first.")
    if Failure.objects.filter(pour=pour).exists():
        raise Refused("A failure tells of this pour. What it says would hang in the air.")
    pour.delete()


def put_back(member, entry, moment, why):
    """What the act took from bottles and bundles is there again, by a second line."""
    for line in Movement.objects.filter(act_key=entry.key, reversed_by=None).order_by("pk"):
        shelf.reverse(member, line, at=moment.received_at, why=f"{HOW}: {why}")


def stop_clocks(member, entry, moment):
    """The clocks of the act stop, and those that it had answered run again."""
    for timer in entry.timers.running():
        log.settle_row(member, timer, moment, HOW)
    answered = Timer.objects.of(entry.shop).filter(settled_at=entry.happened_at, settled_by=entry.member)
    by_hand = LogEntry.objects.of(entry.shop).filter(
        kind=LogEntry.Kind.CLOCK, happened_at=entry.happened_at, member=entry.member
    )
    if not by_hand.exists():
        answered.filter(entry__removed_at=None).update(settled_at=None, settled_by=None, settled_how="")


def follow(entry, moment, member):
    """Steps, measures and needs stand as the log says without the entry."""
    if entry.step is None:
        return
    step = entry.step
    log.follow(step)
    if entry.detail.get("step") == "skipped":
        Step.objects.filter(pk=step.pk).update(skip_why="")
    if entry.kind == LogEntry.Kind.MOULD:
        mould.clear_lines(member, entry, at=moment.received_at)
    if step.block_id is None:
        return
    if entry.kind == LogEntry.Kind.DEMOULD:
        measure_again(step.block)
        for poured in Step.objects.filter(block=step.block_id, kind=Step.Kind.POUR).in_order():
            log.follow(poured)
    if entry.kind in (LogEntry.Kind.POUR, LogEntry.Kind.STRIPS):
        needs.follow(step.block, at=moment.received_at, by=member)


def measure_again(block):
    """A block's measures as those acts have them that still stand."""
    locked = Block.objects.select_for_update().get(pk=block.pk)
    before, found = locked.measured, {}
    for entry in LogEntry.objects.filter(step__block=block, kind=LogEntry.Kind.DEMOULD).in_order():
        news = {name: entry.detail[name] for name in MEASURED if entry.detail.get(name) is not None}
        for name, value in news.items():
            planned = before.get(name, {}).get("planned")
            found[name] = {"planned": planned, "measured": value}
        if news:
            found |= {"version": 1, "measured_at": entry.happened_at.isoformat()}
    locked.measured = found
    locked.save(update_fields=["measured"])
    block.measured = found
