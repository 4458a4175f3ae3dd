"""Strips are sealed, coat by coat."""

from django.db import transaction

from materials import actions as shelf
from materials import advice as shelf_advice
from projects import advice, clock_model
from projects.actions import log, on_step, readings
from projects.models import LogEntry, Timer
from workshop.units import say


@transaction.atomic
def seal_coat(member, step, values, *, key, moment):
    """A seal coat is on; its window opens when it is dry to handle and closes when it must be sanded.

    `values` holds resin, coat, amount_g, lot_a, lot_b, temp_c, humidity_percent, steady_or_falling, open_h,
    close_h, text and done; the hours are the sheet's, and the clock carries them to the warmth of the shop.
    """
    log.hold(step)
    resin, coat = values.get("resin"), values["coat"]
    draw(member, step, values, key=key, moment=moment)
    on_step.end_clocks(member, moment, f"coat {coat} went on it", step=step, kind__in=Timer.OF_A_COAT)
    return on_step.write(
        member,
        step,
        LogEntry.Kind.SEAL,
        key=key,
        moment=moment,
        said=sentence(member.shop, values),
        values=values,
        detail={
            "coat": coat,
            "resin": resin.name if resin else "",
            "amount_g": values.get("amount_g"),
            "lots": {part: on_step.of_lot(values.get(f"lot_{part}")) for part in "ab"},
            "temp_c": values.get("temp_c"),
            "humidity_percent": values.get("humidity_percent"),
            "steady_or_falling": values.get("steady_or_falling"),
        },
        clocks=clock_model.of_film(
            advice.window_clocks(
                "tack", resin, values.get("open_h"), values.get("close_h"), values.get("temp_c")
            ),
            resin,
            values.get("temp_c"),
        ),
        measured=readings.air(values),
    )


def draw(member, step, values, *, key, moment):
    """What a coat took leaves its bottles, each part by the sheet's ratio, where an amount is named."""
    resin, amount_g = values.get("resin"), values.get("amount_g")
    if resin is None or not amount_g:
        return
    parts = dict(zip("ab", shelf_advice.parts_by_mass(resin), strict=True))
    for part, share in parts.items():
        lot = values.get(f"lot_{part}")
        if lot is not None:
            shelf.draw_at_bench(
                member,
                lot,
                amount_g * share / sum(parts.values()),
                at=moment.received_at,
                happened_at=moment.happened_at,
                act_key=key,
                why=f"{step.project} · seal coat",
            )


def sentence(shop, values):
    """What the log says of a seal coat."""
    resin, amount_g = values.get("resin"), values.get("amount_g")
    of = f" of {resin.name}" if resin else ""
    took = f", {say(amount_g, 'mass', shop.units)}" if amount_g else ""
    warming = ", while the shop was warming up" if values.get("steady_or_falling") is False else ""
    return f"Seal coat {values['coat']}{of} is on{took}{warming}"
