"""What the check before a mix asks, and what it takes for an answer until somebody gives another."""

from statistics import median

from materials import ageing
from materials.models import Lot, Reading, Resin
from projects import mixing
from projects.checklists import HELD_DOWN, LOOKED_OVER
from projects.models import CheckItem, LogEntry, Pour, Step
from workshop.models import Machine

USUAL_MIX_FILL_MIN = 20.0  # common practice, no source, until the shop's own log says another
SERVICE_PERCENT = 7.0  # of wood in a warm dry light box; common practice, no source
SOFTENS_C = 60.0  # printed combs and hot glue, about; common practice, no source
FILM_MM = 0.3  # a seal coat or a glue line; common practice, no source
COMB_SPACING_MM = 100.0
LAST_POURS = 6
COATS = {Step.Kind.SEAL: "seal coat", Step.Kind.GLUE_UP: "glue-up"}
CHECKED = {Step.Kind.POUR, *COATS}
"""The kinds of step before which a cup is mixed."""
SAID_AT_THE_MOULD = {
    "taped": ("taped",),
    "sealed": ("sealed",),
    "tested_empty": ("leak-tested",),
    "level": ("levelled", "tray under it"),
}
"""The looks at a mould that the act of building it says."""
KEPT = (
    "depth_mm", "lifts", "cups", "night_c", "board", "board_mm", "weakest", "weakest_c", "comb_spacing_mm",
    "combs_at_ends", "hold_down_g", "mix_fill_min", "fill_from", "tint_percent", "service_percent",
    "mould_checks", "strip_moisture_percent",
)  # fmt: skip
"""What a later check takes over from the last one; warmth and humidity it asks anew."""


def last_check(step):
    """The newest check that was kept for a step, as its entry; None without one."""
    return LogEntry.objects.select_related("member").newest(LogEntry.Kind.CHECK, step=step)


def first_answers(step, last=None, *, at):
    """The answers that a step's check begins with: those of the last check, else good guesses.

    Warmth and humidity are what was read lately; older air is not the air at the cup.
    """
    shop, kept = step.shop, (last.detail["answers"] if last else {})
    temperature = Reading.objects.of(shop).lately(Reading.Kind.TEMPERATURE, at)
    humidity = Reading.objects.of(shop).lately(Reading.Kind.HUMIDITY, at)
    moisture = Reading.objects.of(shop).latest_of(Reading.Kind.MOISTURE)
    answers = guesses(step) | {name: kept[name] for name in KEPT if name in kept}
    if last and mixing.mixed_since(step, last.happened_at):
        answers["cups"] = cups_for(step)  # some of those that were planned are mixed by now
    answers["mould_checks"] = mould_known(answers["mould_checks"], step)
    answers["held_down"] = held_down(step)
    return answers | {
        "resin": resin_for(step, kept.get("resin")),
        "shop_c": temperature.value if temperature else None,
        "humidity_percent": humidity.value if humidity else None,
        "surface_c": None,
        **({"strip_moisture_percent": moisture.value} if moisture else {}),
    }


def guesses(step):
    """What is taken for granted until somebody says otherwise."""
    coat = step.kind in COATS
    return {
        "depth_mm": FILM_MM if coat else depth_left_mm(step.block),
        "lifts": 1,
        "cups": cups_for(step),
        "night_c": step.shop.night_c,
        "board": "mdf",
        "board_mm": 18.0,
        "weakest": "" if coat else "combs",
        "weakest_c": SOFTENS_C,
        "comb_spacing_mm": COMB_SPACING_MM,
        "combs_at_ends": "",
        "hold_down_g": None,
        "mix_fill_min": usual_mix_fill_min(step.shop),
        "fill_from": "above",
        "tint_percent": 0.0,
        "service_percent": SERVICE_PERCENT,
        "mould_checks": mould_ticks(step),
        "strip_moisture_percent": None,
    }


def cups_for(step):
    """In how many cups what the block still takes is mixed; one for a film."""
    need = mixing.needed(step.block) if step.block and step.kind not in COATS else None
    return mixing.cups_left(step, step.block.resin, need) if need else 1


def depth_left_mm(block):
    """How deep the block is still to be poured, with what stands over the strips."""
    if block is None:
        return None
    return max(mixing.left_to_pour_mm(block), 1.0)


def usual_mix_fill_min(shop):
    """How long mixing and filling take here: the middle of the last pours, else a guess."""
    pours = Pour.objects.of(shop).order_by("-started_at", "-pk").prefetch_related("batches")[:LAST_POURS]
    took = [
        (pour.started_at - min(batch.met_at for batch in pour.batches.all())).total_seconds() / 60
        for pour in pours
        if pour.batches.all()
    ]
    return median(took) if len(took) >= 3 else USUAL_MIX_FILL_MIN


def resin_for(step, key=None):
    """The resin of the step: the one of the last check, of its block, or the newest of its kind."""
    resins = Resin.objects.of(step.shop).filter(removed_at=None)
    found = resins.filter(key=key).first() if key else None
    if found is None and step.kind in COATS:
        found = resins.filter(use=Resin.Use.COATING).order_by("-created_at", "-pk").first()
    return found or (step.block.resin if step.block else None)


def mould_ticks(step):
    """What log and checklists say of the mould: which of the six looks were taken."""
    entry = LogEntry.objects.around(step).newest(LogEntry.Kind.MOULD)
    said = entry.detail if entry else {}
    done = [look for part, looks in SAID_AT_THE_MOULD.items() if said.get(part) for look in looks]
    done += [look for text in ticked_lines(step, LOOKED_OVER) for look in LOOKED_OVER[text]]
    wet = entry is not None and entry.timers.running().filter(kind="sealant").exists()
    dry = ["sealant dry"] if said.get("sealed") else []
    return [look for look in dict.fromkeys([*done, *dry]) if not (wet and look == "sealant dry")]


def ticked_lines(step, texts):
    """Which of some lines are ticked on the checklists of a step's block; on its own where it has none."""
    of = {"step__block": step.block_id} if step.block_id else {"step": step}
    lines = CheckItem.objects.filter(text__in=texts, ticked_at__isnull=False, step__removed_at=None, **of)
    return list(lines.values_list("text", flat=True).order_by("step__position", "pk"))


def held_down(step):
    """Whether somebody ticked, or said as the strips went in, that they are held down."""
    loaded = LogEntry.objects.around(step).newest(LogEntry.Kind.STRIPS)
    said = loaded is not None and loaded.detail.get("step") == "done"  # “All strips are in and held down”
    return said or bool(ticked_lines(step, HELD_DOWN))


def mould_known(ticked, step):
    """What a check ticked of the mould, and what the log says of it since: asked once, known from then on."""
    return list(dict.fromkeys([*ticked, *mould_ticks(step)]))


def scale_step_g(shop):
    """The step of the finest scale that is in use; None where no scale is known."""
    scales = Machine.objects.of(shop).in_use().filter(kind=Machine.Kind.SCALE)
    steps = [scale.scale_step_g for scale in scales if scale.scale_step_g]
    return min(steps, default=None)


def bottles(resin, part, today):
    """The bottles of a part that hold something, in the order of use."""
    lots = Lot.objects.of(resin.shop).bottles(resin, part).some_left().with_names()
    return ageing.to_use(lots, today)


def days_left(lots, today):
    """Days until the bottle that is used first is past its time; None without a bottle or a date."""
    day = ageing.keeps_until(lots[0]) if lots else None
    return float((day - today).days) if day else None
