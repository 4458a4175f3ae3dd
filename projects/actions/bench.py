"""Acts at the bench, each one transaction. What has happened is always stored."""

from django.db import transaction
from django.db.models import Q
from django.urls import reverse

from materials import actions as shelf
from materials import advice as shelf_advice
from materials.models import Batch, Movement, Reading
from projects import advice, clock_model
from projects.actions import log, needs, readings
from projects.models import LogEntry, Pour, Timer
from workshop import history
from workshop.refusals import Refused
from workshop.units import say


@transaction.atomic
def parts_meet(member, step, *, key, moment, resin, cup):
    """A is weighed and B goes in: the cup exists, its clock runs, A left its bottle.

    `cup` holds a_g, room_c, humidity_percent, lot_a, lot_b, wanted_a_g and, where something stood against it,
    all_the_same.
    """
    log.hold(step)
    mixed_g = cup["a_g"] + shelf_advice.b_for_a(shelf_advice.parts_by_mass(resin), cup["a_g"])
    life = shelf_advice.cup_life(resin, mixed_g, cup["room_c"])
    number = LogEntry.objects.filter(step=step, kind=LogEntry.Kind.MIX).count() + 1
    batch = make_batch(member, moment, resin=resin, cup=cup, number=number, life=life)
    shelf.draw_at_bench(
        member,
        cup["lot_a"],
        cup["a_g"],
        at=moment.received_at,
        happened_at=moment.happened_at,
        act_key=key,
        why=f"{step.project} · cup {number}",
    )
    grams = say(cup["a_g"], "mass", member.shop.units)
    entry = log.write(
        member,
        LogEntry.Kind.MIX,
        key=key,
        moment=moment,
        step=step,
        batch=batch,
        text=f"Cup {number} of {resin.name}: {grams} of A, then B went in",
        detail={
            "a_g": cup["a_g"],
            "room_c": cup["room_c"],
            "humidity_percent": cup["humidity_percent"],
            "clocks": clock_model.of_cup(advice.cup_clocks(life, resin, mixed_g, cup["room_c"]), resin),
            **log.reason_in(cup),
        },
    )
    air = {Reading.Kind.TEMPERATURE: batch.room_c, Reading.Kind.HUMIDITY: batch.humidity_percent}
    readings.keep(member, moment, air, entry=entry, batch=batch)
    log.start_clocks(entry)
    log.follow(step)
    log.under_way(step.project_id)
    return batch


def make_batch(member, moment, *, resin, cup, number, life):
    """The cup's row: ratio and pot life frozen, B as it is wanted for the A on the scale."""
    parts = shelf_advice.parts_by_mass(resin)
    return Batch.objects.create(
        shop=member.shop,
        created_at=moment.received_at,
        created_by=member.user,
        resin=resin,
        cup=number,
        lot_a=cup["lot_a"],
        lot_b=cup["lot_b"],
        parts_a=parts[0],
        parts_b=parts[1],
        tolerance_percent=resin.ratio_tolerance_percent,
        target_a_g=cup["wanted_a_g"],
        target_b_g=shelf_advice.b_for_a(parts, cup["a_g"]),
        actual_a_g=cup["a_g"],
        met_at=moment.happened_at,
        room_c=cup["room_c"],
        humidity_percent=cup["humidity_percent"],
        pot_life_min=life.minutes,
        pot_life_heavier=life.heavier,
        pot_life_source=life.source,
    )


@transaction.atomic
def weigh(member, step, batch, part, grams, *, key, moment):
    """A part's mass as the scale shows it, first or again.

    Weighed again, the earlier draw is taken back by a second line and the right one written. The
    pot life that was said when the parts met stays: it is what the maker worked by.
    """
    log.hold(step)
    locked = Batch.objects.select_for_update().get(pk=batch.pk)
    field, lot = ("actual_a_g", locked.lot_a) if part == "A" else ("actual_b_g", locked.lot_b)
    before = getattr(locked, field)
    setattr(locked, field, grams)
    locked.save(update_fields=[field])
    if lot is not None:
        redraw(member, step, locked, lot, grams, key=key, moment=moment)
    history.record(
        member,
        "weighed",
        locked,
        at=moment.received_at,
        label=f"cup {locked.cup}: {part}",
        before={field: before},
        after={field: grams},
    )
    log.write(
        member,
        LogEntry.Kind.WEIGH,
        key=key,
        moment=moment,
        step=step,
        batch=locked,
        text=weigh_sentence(member.shop, locked, part, grams),
        detail={"part": part, "grams": grams, "before": before},
    )
    return locked


def redraw(member, step, batch, lot, grams, *, key, moment):
    """The bottle's ledger follows the scale: the old line of this cup taken back, the new one written."""
    acts = LogEntry.objects.filter(batch=batch).values_list("key", flat=True)
    drawn = Movement.objects.filter(lot=lot, kind=Movement.Kind.USE, act_key__in=list(acts), reversed_by=None)
    for line in drawn:
        shelf.reverse(member, line, at=moment.received_at, why=f"cup {batch.cup} weighed again")
    shelf.draw_at_bench(
        member,
        lot,
        grams,
        at=moment.received_at,
        happened_at=moment.happened_at,
        act_key=key,
        why=f"{step.project} · cup {batch.cup}",
    )


def weigh_sentence(shop, batch, part, grams):
    """What the log says about a weighing, with its ratio where both parts are known."""
    said = f"Cup {batch.cup}: {say(grams, 'mass', shop.units)} of {part} weighed"
    ratio = shelf_advice.ratio_of(batch)
    if ratio is None:
        return said
    return f"{said}; 100 : {ratio.b_to_100_a:.1f}, B is {ratio.error_percent:+z.1f} % off"


@transaction.atomic
def pour(member, step, *, key, moment, depth_mm, text, more=False, same=False, all_the_same=None):
    """All cups that were not poured yet go into the mould; cure clocks start, those of before end.

    `more` says that another cup or pour is to come, `same` that it belongs to the pour before, wet on wet;
    `all_the_same` why it was poured though something stood against it.
    """
    log.hold(step)
    batches = sorted(open_cups(step), key=lambda batch: batch.cup)
    if not batches:
        raise Refused("There is no mixed cup to pour. Weigh A and B first.")
    resin, temp_c = batches[-1].resin, batches[-1].room_c
    before = Pour.objects.on(step.block).last()
    same = same and before is not None
    lift = (before.lift if before else 0) + (0 if same else 1)
    mixed_g = sum(batch.mixed_g for batch in batches)
    cure = log.cure_step(step)
    name = f"{'More of pour' if same else 'Pour'} {lift}"
    said = f"{name} on {step.block}: {say(mixed_g, 'mass', member.shop.units)} of {resin.name}"
    deep_mm = depth_mm + (depth_of(step.block, lift) if same else 0)
    entry = log.write(
        member,
        LogEntry.Kind.POUR,
        key=key,
        moment=moment,
        step=step,
        text=f"{said}. {text}".strip(),
        detail={
            "depth_mm": depth_mm,
            "lift": lift,
            "room_c": temp_c,
            "cups": [batch.cup for batch in batches],
            "clocks": resting(
                clock_model.of_pour(advice.pour_clocks(resin, temp_c), step.block, resin, deep_mm, temp_c),
                step,
            ),
            "more": more,
            "same": same,
            "cure_step": str(cure.key) if cure else "",
            **log.reason_in({"all_the_same": all_the_same}),
        },
    )
    row = Pour.objects.create(
        shop=member.shop,
        created_at=moment.received_at,
        created_by=member.user,
        entry=entry,
        block=step.block,
        lift=lift,
        depth_mm=depth_mm,
        started_at=moment.happened_at,
    )
    row.batches.set(batches)
    answer_clocks(member, step, batches, moment, f"{name.lower()} went on it")
    log.start_clocks(entry)
    log.follow(step)
    needs.follow(step.block, at=moment.received_at, by=member)
    return row


def depth_of(block, lift):
    """How deep one pour of a block is by now, all its cups together."""
    return sum(Pour.objects.filter(block=block, lift=lift).values_list("depth_mm", flat=True))


def of_mould(step):
    """Which clocks belong to what lies in the same mould: each pour may be a step of its own."""
    return Q(step__block=step.block_id, step__kind=step.kind) if step.block_id else Q(step=step)


def answer_clocks(member, step, batches, moment, how):
    """What a pour answers: the pot life of its cups, the pour below it, and the seal coat in the mould."""
    running = Timer.objects.running()
    for timer in running.filter(batch__in=batches, kind=Timer.Kind.POT_LIFE):
        log.settle_row(member, timer, moment, "poured")
    below = of_mould(step) & Q(kind__in=Timer.OF_A_POUR)
    coat = running.about(step) & Q(kind__in=Timer.OF_A_COAT, started_at__lte=moment.happened_at)
    for timer in running.filter(below | coat):
        log.settle_row(member, timer, moment, how)


def resting(clocks, step):
    """The clocks of a pour; its demould comes no sooner than that of what lies in the mould already."""
    curing = Timer.objects.running().filter(of_mould(step), kind=Timer.Kind.DEMOULD)
    below = curing.select_related("entry").last()
    if below is None:
        return clocks
    frozen = next(clock for clock in below.entry.detail["clocks"] if clock["kind"] == below.kind)
    lies = {"started_at": below.started_at.isoformat(), "clock": frozen}
    for clock in clocks:
        if clock["kind"] == below.kind:
            clock["figures"] |= {"below": [lies]}
    return clocks


def cups_mixed(step):
    """How many cups of a step were mixed and not given up."""
    poured = Batch.objects.filter(pours__block=step.block).distinct().count()
    return poured + open_cups(step).count()


def open_cups(step):
    """The cups of a step that were mixed and neither poured nor answered for otherwise (thrown away)."""
    given_up = Timer.objects.filter(step=step, kind=Timer.Kind.POT_LIFE).exclude(settled_at=None)
    return Batch.objects.filter(
        pk__in=LogEntry.objects.filter(step=step, kind=LogEntry.Kind.MIX).values("batch"), pours=None
    ).exclude(pk__in=given_up.values("batch"))


@transaction.atomic
def add_photo(member, *, key, moment, project, step, picture, text):
    """A photo for the log."""
    return log.write(
        member,
        LogEntry.Kind.PHOTO,
        key=key,
        moment=moment,
        project=project,
        step=step,
        text=text,
        pictures=[(picture, text)],
    )


@transaction.atomic
def add_note(member, *, key, moment, project, text):
    """A line for the log."""
    return log.write(member, LogEntry.Kind.NOTE, key=key, moment=moment, project=project, text=text)


@transaction.atomic
def remove_entry(member, entry, *, at, removed):
    """Take a note or a photo out of the log, or bring it back; what it was stays in history."""
    locked = LogEntry.objects.select_for_update().get(pk=entry.pk)
    if locked.kind not in LogEntry.REMOVABLE:
        raise Refused("Only notes and photos can be taken out of the log; acts happened.")
    if bool(locked.removed_at) == removed:
        return locked
    locked.removed_at = at if removed else None
    locked.save(update_fields=["removed_at"])
    history.record(member, "removed" if removed else "brought back", locked, at=at, label=str(locked))
    return locked


@transaction.atomic
def settle(member, timer, how, *, key, moment):
    """Somebody says what was done when a clock rang; it stops asking."""
    if timer.step_id:
        log.hold(timer.step)
    locked = Timer.objects.select_for_update(of=("self",)).select_related("entry").get(pk=timer.pk)
    if locked.settled_at is not None:
        raise Refused("Somebody has answered this clock already.")
    log.settle_row(member, locked, moment, how)
    log.write(
        member,
        LogEntry.Kind.CLOCK,
        key=key,
        moment=moment,
        project=locked.entry.project,
        step=locked.step,
        batch=locked.batch,
        text=f"{locked.name or locked.get_kind_display()}: {how}",
        detail={"clock": locked.kind, "cure_step": locked.figures.get("cure_step", "")},
    )
    if locked.step_id:
        log.follow(locked.step)
    return locked


def bench_url(step):
    """Where work on a step goes on."""
    return reverse("projects:bench-step", args=[step.shop.key, step.key])
