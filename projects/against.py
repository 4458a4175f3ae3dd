"""Which objections of the second look belong to which act, and the rows that they are read from.

Each gives what stands against an act at a step: `values` are what was typed, `at` is when it happened.
Before anything is typed (`values` empty) it is what is known already.
"""

from datetime import timedelta

from materials import advice as shelf_advice
from materials.models import Reading
from projects import advice, at_hand, mixing, second_look
from projects.actions import dry_fit
from projects.check import asked, told, unkept
from projects.check.standing import standing_of
from projects.liquid import liquid_pour
from projects.models import Block, Pour, Timer
from workshop import history

KIND = Timer.Kind
MOULD_KEEPS = timedelta(hours=2)  # a mould follows its shop: older readings say little
found = second_look.found
THICKNESSES = ("strip_mm", "gap_mm", "finished_mm")
MEASURES = {"length_mm": "Length", "width_mm": "Width", "depth_mm": "Depth"}


def of_kind(timers, kind):
    """Those clocks that are of a kind, the next to be due in front."""
    return [timer for timer in timers if timer.kind == kind]


def window_says(step, at):
    """What the window of the last pour says to another one; empty when it may go on."""
    last = of_kind(Timer.objects.on_what(step, at), KIND.RECOAT)
    stands = second_look.window(last, at, step.shop.tz)
    return stands.sentence if stands and not liquid_pour(step.block, at) else ""


def nothing(step, values, at):
    """Nothing stands against it."""
    return []


def of_strips(step, values, at):
    """Strips into the mould: is their seal coat dry, and still in its window?"""
    timers, tz = Timer.objects.on_what(step, at), step.shop.tz
    return found(second_look.still_wet(KIND.TACK, timers, at, tz), second_look.seal_missed(timers, at, tz))


def of_seal(step, values, at):
    """Another seal coat: is the last one ready for it?"""
    last = of_kind(Timer.objects.on_what(step, at), KIND.TACK)
    return found(second_look.window(last, at, step.shop.tz))


def of_coat(step, values, at):
    """A coat of finish: is the last one ready for it, and what it goes on hard?"""
    timers, tz = Timer.objects.on_what(step, at), step.shop.tz
    others = [timer for timer in timers if timer.kind != KIND.COAT]
    return [*found(second_look.window(of_kind(timers, KIND.COAT), at, tz)), *hardening(step, others, at)]


def hardening(step, timers, at):
    """What still hardens of the thing that a step works on."""
    rows = second_look.hardens_for(step, timers)
    return found(*(second_look.still_hardening(timer, at, step.shop.tz) for timer in rows))


def of_work(step, values, at):
    """Sanding, or a whole step that is begun: has what it works on hardened?"""
    return hardening(step, Timer.objects.on_what(step, at), at)


def of_begin(step, values, at):
    """A whole step begun: has what it works on hardened? What goes before the cure is never asked."""
    return of_work(step, values, at) if step.kind in second_look.AFTER_THE_CURE else []


def of_done(step, values, at):
    """A whole step done: is what it buys on the shelf?"""
    short = at_hand.short_for(step, at.astimezone(step.shop.tz).date())
    return found(second_look.short([at_hand.name_of(row.want) for row in short]))


def of_glue(step, values, at):
    """A glue-up: do pieces miss their tick, and is what is glued hard? Other parts may be in their clamps."""
    part = (values.get("part") or "").strip().casefold()
    timers = [timer for timer in Timer.objects.on_what(step, at) if is_of_part(timer, part)]
    return [*found(second_look.unticked(len(dry_fit.unticked(step.project)))), *hardening(step, timers, at)]


def is_of_part(timer, part):
    """Whether a clock is about a part that is glued; the whole panel is made of all parts."""
    other = timer.figures.get("part", "").strip().casefold() if timer.kind == KIND.CLAMPED else ""
    return not part or not other or other == part


def of_cup(step, values, at):
    """A cup: what stops has the check, or would have one that nobody made; is the shop within the sheet?"""
    resin, warmth = step.block.resin, {name: values.get(name) for name in ("room_c", "humidity_percent")}
    last = asked.last_check(step)
    if unkept.is_fresh(last, resin, at):
        stops = [
            second_look.stop_of_check(*stop, reasons_of(stop[0])) for stop in standing_of(step).open_stops
        ]
    else:
        stops = [second_look.stop_unchecked(row) for row in unkept.stops(step, last, at, **warmth)]
    system = step.shop.units
    slip = second_look.cup_slip(values.get("a_g"), values.get("wanted_a_g"), system)
    return [*stops, *found(slip, second_look.off_warmth(resin, values.get("room_c"), system))]


def reasons_of(code):
    """The usual reasons for overruling a stop of the check."""
    return told.REASONS.get(code, (second_look.CASTING,))


def of_pour(step, values, at, cups, liquid=None):
    """A pour of cups: are they right, is it not too deep, is everything dry and warm enough?

    `liquid` is what still flows in the mould; it has no window to wait for where this belongs to it.
    """
    if values and not cups:
        return []  # there is nothing to pour, and the act says so itself
    timers, tz = Timer.objects.on_what(step, at), step.shop.tz
    check, liquid = asked.last_check(step), liquid if values.get("same", not values) else None
    return found(
        *(second_look.wrong_cup(cup, shelf_advice.ratio_of(cup)) for cup in cups),
        None if liquid else second_look.window(of_kind(timers, KIND.RECOAT), at, tz),
        second_look.still_wet(KIND.TACK, timers, at, tz),
        second_look.seal_missed(timers, at, tz, "Nobody can sand between strips: test the bond on a scrap."),
        second_look.still_wet(KIND.SEALANT, timers, at, tz),
        *of_depth(step, values.get("depth_mm"), cups, check, liquid),
        *of_warmth(step, at, cups, check),
    )


def resins_of(cups):
    """The resins in some cups, each once."""
    return {cup.resin_id: cup.resin for cup in cups}.values()


def of_depth(step, depth_mm, cups, check, liquid=None):
    """The depth of a pour against the sheets of its resins, the plan, and what lies in the mould.

    What still flows below it counts as the same pour: its heat is one.
    """
    if depth_mm is None:
        return []
    block, system, left_mm = step.block, step.shop.units, mixing.left_to_pour_mm(step.block)
    in_all_mm = depth_mm + (liquid.depth_mm if liquid else 0)
    deep = [
        second_look.too_deep(resin, in_all_mm, advice.depth_in_stack(resin, block), system)
        for resin in resins_of(cups)
    ]
    slip = second_look.depth_slip(depth_mm, planned_lift_mm(left_mm, check), system)
    makes_mm = mixing.depth_of(block, sum(cup.mixed_g for cup in cups)) if cups else None
    little = None if slip else second_look.too_little(depth_mm, makes_mm, system)
    return [slip, little, *deep, second_look.mould_full(depth_mm, left_mm, system)]


def planned_lift_mm(left_mm, check):
    """How deep the next pour is planned: a share of what the last check divided, at most all that is left."""
    answers = check.detail["answers"] if check else {}
    return min(left_mm, answers["depth_mm"] / answers["lifts"]) if answers.get("depth_mm") else left_mm


def depth_to_begin_with(step, cups):
    """How deep a pour is till somebody says so: as planned, or as the cups make it where they hold less."""
    left_mm = mixing.left_to_pour_mm(step.block)
    if left_mm <= 0:
        return None
    planned_mm = planned_lift_mm(left_mm, asked.last_check(step))
    makes_mm = mixing.depth_of(step.block, sum(cup.mixed_g for cup in cups))
    if makes_mm and second_look.more_to_come(planned_mm, makes_mm):
        return round(makes_mm, 1)
    return planned_mm


def of_warmth(step, at, cups, check):
    """Shop and mould as they were read last, against the sheets of the cups' resins."""
    if not cups:
        return []
    read = {"shop": shop_warmth(step.shop, at, cups), "mould": mould_warmth(at, check)}
    return [
        second_look.off_warmth(resin, temp_c, step.shop.units, what=what)
        for resin in resins_of(cups)
        for what, temp_c in read.items()
    ]


def shop_warmth(shop, at, cups):
    """The warmth of the shop as it was read lately, else as it was when the last cup was mixed."""
    reading = Reading.objects.of(shop).lately(Reading.Kind.TEMPERATURE, at)
    return reading.value if reading else cups[-1].room_c


def mould_warmth(at, check):
    """The coldest of wood and mould, as a check of the last hours had it; None where nobody asked for it."""
    fresh = check is not None and abs(at - check.happened_at) <= MOULD_KEEPS
    return check.detail["answers"].get("surface_c") if fresh else None


def of_demould(step, values, at):
    """A block out of its mould: too early by its clock, or measures that can't be."""
    if step.block is None:
        return []
    system, planned = step.shop.units, advice.planned_measures(step.block)
    swapped = second_look.swapped(values, planned, system)
    names = ["depth_mm"] if swapped else list(MEASURES)
    poured = Pour.objects.filter(block=step.block).exists()
    return found(
        second_look.never_poured(step.block, poured),
        second_look.early_out(Timer.objects.on_what(step, at), at, step.shop.tz),
        swapped,
        *(second_look.far_off(name, MEASURES[name], values, planned, system) for name in names),
    )


def of_reading(shop, step, project, values, at):
    """Thickness that can't be a strip's, moisture that can't be of wood for strips; other kinds never."""
    system, measured, lot = shop.units, values["value"], values["lot"]
    if values["kind"] == Reading.Kind.MOISTURE:
        return found(second_look.wet_wood(measured, system))
    if values["kind"] != Reading.Kind.THICKNESS:
        return []
    strips_mm = {lot.thickness_mm} if lot and lot.thickness_mm else set()
    strips_mm |= {block.strip_mm for block in not_poured(step, project)}
    return found(second_look.not_a_strip(measured, sorted(strips_mm), system))


def not_poured(step, project):
    """The blocks of a step or a project into which nothing was poured: what is measured there is strips."""
    if step is not None:
        return Block.objects.not_poured().filter(pk=step.block_id)
    return project.blocks.not_poured() if project else ()


def of_blocks(form, blocks, at):
    """Figures of blocks as typed, each beside its block: a digit too many, or changed after a pour?"""
    settled = {*advice.SIZES, "resin"}
    return found(
        *(slip for block, values in blocks for slip in digits_of(form, block, values)),
        *(
            changed(form, block, {name: values[name] for name in values if name in settled}, at)
            for block, values in blocks
        ),
    )


def digits_of(form, block, values):
    """What looks like a digit too many or too few among the new thicknesses of a block."""
    for name in THICKNESSES:
        before, after = getattr(block, name), values.get(name)
        if after is not None:
            yield second_look.digit_slip(name, form.news(name, before, after), before, after)


def changed(form, block, sizes, at):
    """What stands against the new sizes of one block; nothing before it is poured."""
    poured = Pour.objects.filter(block=block).order_by("started_at").first()
    names = history.changes(block, sizes)[0] if poured else ()
    news = [form.news(name, getattr(block, name), sizes[name]) for name in names]
    at_pour = poured and poured.started_at
    return second_look.changed_after_pour(block, news, at_pour, at, block.shop.tz)
