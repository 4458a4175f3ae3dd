"""A finish goes on, coat by coat."""

from django.db import transaction

from materials import actions as shelf
from materials.models import Lot
from projects import advice
from projects.actions import log, on_step, readings
from projects.models import LogEntry, Timer
from workshop.units import say


@transaction.atomic
def put_coat(member, step, values, *, key, moment):
    """A coat is on: what it took left its tin, and the clock of the next coat starts.

    `values` holds supply, lot, number, area_mm2, amount_ml, temp_c, humidity_percent, text and done. Where
    the route has a step for the drying, that step waits from now on.
    """
    log.hold(step)
    supply, number, amount_ml = values.get("supply"), values["number"], values.get("amount_ml")
    drying = log.drying_step(step)
    draw(member, step, values.get("lot"), amount_ml, key=key, moment=moment)
    of_panel = {"step__project": step.project_id, "kind": Timer.Kind.COAT}
    on_step.end_clocks(member, moment, f"coat {number} went on it", **of_panel)
    return on_step.write(
        member,
        step,
        LogEntry.Kind.COAT,
        key=key,
        moment=moment,
        said=sentence(member.shop, supply, number, amount_ml),
        values=values,
        detail={
            "number": number,
            "finish": supply.name if supply else "",
            "finish_key": str(supply.key) if supply else "",
            **on_step.of_lot(values.get("lot")),
            "area_mm2": values.get("area_mm2"),
            "amount_ml": amount_ml,
            "temp_c": values.get("temp_c"),
            "humidity_percent": values.get("humidity_percent"),
            "cure_step": str(drying.key) if drying else "",
        },
        clocks=coat_clocks(supply, values.get("temp_c"), drying),
        measured=readings.air(values),
    )


def draw(member, step, lot, amount_ml, *, key, moment):
    """What a coat took leaves its tin, where the tin is kept in millilitres."""
    if lot is None or not amount_ml or lot.unit != Lot.Unit.MILLILITRE:
        return
    shelf.draw_at_bench(
        member,
        lot,
        amount_ml,
        at=moment.received_at,
        happened_at=moment.happened_at,
        act_key=key,
        why=f"{step.project} · finish",
    )


def sentence(shop, supply, number, amount_ml):
    """What the log says of a coat."""
    took = f", {say(amount_ml, 'volume', shop.units)}" if amount_ml else ""
    return f"Coat {number} of {supply.name if supply else 'the finish'} is on{took}"


def coat_clocks(supply, temp_c, drying):
    """The clock of the next coat, where the tin names its hours; it names the step that waits for it."""
    if supply is None:
        return []
    clocks = advice.window_clocks("coat", supply, supply.recoat_h, supply.recoat_close_h, temp_c)
    for clock in clocks:
        clock["figures"]["cure_step"] = str(drying.key) if drying else ""
    return clocks
