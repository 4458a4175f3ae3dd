"""The temperature picture of a check: the same values for the page, the phone and paper."""

from dataclasses import asdict
from datetime import datetime, timedelta

from projects.check import facts
from workshop import units
from workshop.drawn import drawn

LEAST_H, MOST_H = 12.0, 96.0
WEAKEST = {
    "combs": "printed combs soften",
    "glue": "hot glue softens",
    "resin": "the resin",
    "other": "the weakest part",
    "": "the resin",
}


def warmth_of(step, answers, checked, at):
    """What the picture shows, from the moment `at` on; None without a forecast."""
    from workshop.drawing.warmth import Warmth

    predictions = checked.outlook.predictions
    if "nominal" not in predictions:
        return None
    nominal = predictions["nominal"]
    clocks = {clock["kind"]: clock for clock in checked.clocks}
    recoat, demould_min = clocks.get("recoat"), demould_of(nominal, clocks)
    hours = horizon_h(nominal, recoat, demould_min)
    return Warmth(
        start=at.astimezone(step.shop.tz),
        hours=hours,
        expected=curve(nominal),
        safe=curve(predictions["cautious"]),
        cool=curve(predictions["cool"]),
        limit_c=answers["weakest_c"],
        limit_name=WEAKEST.get(answers["weakest"], "the weakest part"),
        gel_min=nominal.gel_first_min,
        opens_min=recoat["due_min"] if recoat else None,
        closes_min=recoat.get("closes_min") if recoat else None,
        demould_min=demould_min,
        shut=shut_minutes(step.shop, at, hours),
    )


def curve(prediction):
    """The hottest point over time."""
    return list(zip(prediction.times_min, prediction.hottest_c, strict=True))


def demould_of(nominal, clocks):
    """When the block may leave the mould: the later of model and sheet; None where neither says."""
    known = [nominal.handling_h * 60] if nominal.handling_h else []
    if clocks.get("demould"):
        known.append(clocks["demould"]["due_min"])
    return max(known, default=None)


def horizon_h(nominal, recoat, demould_min):
    """How far the picture looks: past the last thing that it marks, within reason."""
    marks = [nominal.peak_min, nominal.gel_all_min or 0, demould_min or 0]
    marks += [recoat.get("closes_min") or recoat["due_min"]] if recoat else []
    return min(max(1.2 * max(mark for mark in marks if mark <= 60 * MOST_H) / 60, LEAST_H), MOST_H)


def shut_minutes(shop, at, hours):
    """When the shop is shut, in minutes from `at` on."""
    end = at + timedelta(hours=hours)
    shut, free = [], at
    for opened, close in facts.sessions(shop, at, end):
        if close <= at or opened >= end:
            continue
        if opened > free:
            shut.append((free, opened))
        free = max(free, close)
    if free < end:
        shut.append((free, end))
    return [tuple((moment - at).total_seconds() / 60 for moment in pair) for pair in shut]


def kept(warmth):
    """The picture as plain values, to be kept with the check; None without a forecast."""
    return None if warmth is None else {**asdict(warmth), "start": warmth.start.isoformat()}


def paper_svg(kept_values, system):
    """The picture on paper, from what was kept."""
    from workshop.drawing.warmth import Warmth, warmth_svg

    warmth = Warmth(**{**kept_values, "start": datetime.fromisoformat(kept_values["start"])})
    return warmth_svg(warmth, "paper", "warmth-paper", saying(system))


def saying(system):
    """How the picture writes a temperature."""
    return lambda temp_c: units.say(temp_c, "temperature", system, 0)


def drawings(warmth, system):
    """The picture at the three widths of the page; none without a forecast."""
    from workshop.drawing.warmth import warmth_svg

    if warmth is None:
        return {}
    return {
        media: drawn(warmth_svg(warmth, media, f"warmth-{media}", saying(system)))
        for media in ("narrow", "middle", "wide")
    }
