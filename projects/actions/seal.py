"""Strips are sealed, coat by coat."""

from django.db import transaction

from projects import advice, clock_model
from projects.actions import log, on_step, readings
from projects.models import LogEntry, Timer


@transaction.atomic
def seal_coat(member, step, values, *, key, moment):
    """A seal coat is on; its window opens when it is dry to handle and closes when it must be sanded.

    `values` holds resin, coat, temp_c, humidity_percent, steady_or_falling, open_h, close_h, text and done;
    the hours are the sheet's, and the clock carries them to the warmth of the shop.
    """
    log.hold(step)
    resin, coat = values.get("resin"), values["coat"]
    on_step.end_clocks(member, moment, f"coat {coat} went on it", step=step, kind__in=Timer.OF_A_COAT)
    return on_step.write(
        member,
        step,
        LogEntry.Kind.SEAL,
        key=key,
        moment=moment,
        said=sentence(resin, coat, values.get("steady_or_falling")),
        values=values,
        detail={
            "coat": coat,
            "resin": resin.name if resin else "",
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


def sentence(resin, coat, steady_or_falling):
    """What the log says of a seal coat."""
    of = f" of {resin.name}" if resin else ""
    warming = ", while the shop was warming up" if steady_or_falling is False else ""
    return f"Seal coat {coat}{of} is on{warming}"
