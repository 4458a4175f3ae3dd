"""What a form at the bench begins with: the plan, the sheet, and the figures of last time."""

from django.utils import timezone

from materials.models import Lot, Reading
from projects.actions import strips
from projects.check import asked
from projects.checklists import AT_THE_MOULD
from projects.forms.acts import MM2_OF_M2
from projects.models import LogEntry, SandingSession


def air(shop, now):
    """The air as it was last measured, if that was lately. What nobody read is left to be read."""
    readings = Reading.objects.of(shop)
    temperature = readings.lately(Reading.Kind.TEMPERATURE, now)
    humidity = readings.lately(Reading.Kind.HUMIDITY, now)
    return {
        "temp_c": temperature.value if temperature else None,
        "humidity_percent": humidity.value if humidity else None,
    }


def of_strips(step):
    """The strips that are not in yet, out of the bundle of last time or the first that fits."""
    block, last = step.block, LogEntry.objects.newest(LogEntry.Kind.STRIPS, step=step)
    wanted = block.strips - strips.loaded(step) if block else 0
    lot_key = last.detail.get("lot_key") if last else ""
    if not lot_key and block:
        fits = Lot.objects.of(step.shop).here().filter(kind__in=Lot.WOODS, species=block.species_id)
        thick = fits.filter(thickness_mm=block.strip_mm).order_by("opened_on", "received_on", "pk").first()
        lot_key = thick and thick.key
    return {"count": wanted if wanted > 0 else None, "lot": lot_key}


def of_seal(step, now):
    """The next coat of the block's resin, with the hours of its sheet."""
    coat = LogEntry.objects.kept().filter(step=step, kind=LogEntry.Kind.SEAL).count() + 1
    resin = step.block.resin if step.block else None
    return {
        **air(step.shop, now),
        "resin": resin,
        "coat": coat,
        "open_h": resin.recoat_open_h if resin else None,
        "close_h": resin.recoat_close_h if resin else None,
        "done": coat > 1,
        **bottle_keys(resin, timezone.localdate(now, step.shop.tz)),
    }


def of_mould(step):
    """How far the mould was the last time, and what of it is ticked on its checklist."""
    last = LogEntry.objects.newest(LogEntry.Kind.MOULD, step=step)
    said = last.detail if last else {}
    ticked = step.checks.filter(text__in=AT_THE_MOULD).exclude(ticked_at=None).values_list("text", flat=True)
    known = {part for text in ticked for part in AT_THE_MOULD[text]}
    return {"machine": step.machine_id, **{name: said.get(name, False) or name in known for name in MOULD}}


MOULD = ("taped", "sealed", "tested_empty", "level")


def of_glue(step, now):
    """The part that the step is about, and the times of the last glue-up of the shop."""
    last = LogEntry.objects.newest(LogEntry.Kind.GLUE_UP, shop=step.shop)
    minutes = {clock["kind"]: clock["due_min"] for clock in last.detail.get("clocks", [])} if last else {}
    clamped = minutes.get("clamped")
    part, _, counted = step.title.partition(", ")[2].partition(": ")
    pieces = counted.partition(" ")[0]
    return {
        "part": part,
        "pieces": int(pieces) if pieces.isdecimal() else None,
        "temp_c": air(step.shop, now)["temp_c"],
        "open_min": minutes.get("glue"),
        "clamped_h": clamped and clamped / 60,
        "done": True,
    }


def of_coat(step, now):
    """The next coat, of what went on last."""
    coats = LogEntry.objects.kept().filter(project=step.project, kind=LogEntry.Kind.COAT)
    last = coats.order_by("-happened_at", "-pk").first()
    area_mm2 = last.detail.get("area_mm2") if last else None
    return {
        **air(step.shop, now),
        "number": coats.count() + 1,
        "area_m2": area_mm2 and area_mm2 / MM2_OF_M2,
        "supply": last.detail.get("finish_key") if last else "",
        "lot": last.detail.get("lot_key") if last else "",
        "done": True,
    }


def of_sanding(step):
    """The system, machine and area of the last session; the grade is for the maker to say."""
    last = SandingSession.objects.filter(step__project=step.project_id).order_by("-started_at", "-pk").first()
    if last is None:
        return {"side": SandingSession.Side.FRONT, "machine": step.machine_id}
    return {
        "side": last.side,
        "system": last.system,
        "wet": last.wet,
        "machine": last.machine_id,
        "area_m2": last.area_mm2 and last.area_mm2 / MM2_OF_M2,
    }


def bottle_keys(resin, today):
    """The bottles to use first by the keys that acts know them by; none without a resin."""
    found = {f"lot_{part.lower()}": asked.bottles(resin, part, today) for part in "AB" if resin}
    return {name: lots[0].key for name, lots in found.items() if lots}


def first_bottles(resin, today):
    """The bottles that a cup's form begins with: of each part the one in the order of use."""
    found = {f"lot_{part.lower()}": asked.bottles(resin, part, today) for part in "AB"}
    return {name: lots[0].pk for name, lots in found.items() if lots}
