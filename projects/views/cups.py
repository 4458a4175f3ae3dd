"""The cup: A weighed, B following it, the ratio, the clock from the moment the parts met."""

import uuid
from functools import partial

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from materials import advice as shelf_advice
from materials.advice import MOST_CUPS
from materials.models import Batch, Lot
from materials.science.errors import OutOfRange
from projects import against, clock_model, defaults, mixing, second_look
from projects.actions import bench as acts
from projects.actions.check import overrule
from projects.check.standing import standing_of
from projects.forms.bench import CupForm, WeighForm
from projects.models import LogEntry
from projects.views.bench import block_row
from projects.views.clocks import running_rows
from workshop.access import shop_view
from workshop.acting import perform
from workshop.drawn import drawn
from workshop.views.answers import form_again


@shop_view
@require_http_methods(["GET", "POST"])
def mix(request, key):
    """Before the parts meet: how much A, how much B for the A that is on the scale.

    A keystroke sends the form by GET and gets the fragment with B back.
    """
    step = block_row(request, key)
    resin = step.block.resin
    if resin is None or not (has_bottle(request.shop, resin, "A") and has_bottle(request.shop, resin, "B")):
        return render(request, "projects/mix_missing.html", {"step": step, "resin": resin, "room": "bench"})
    wanted = mixing.wanted_cup(step, resin, cups_asked(request))
    typed = request.POST if request.method == "POST" else (request.GET if "a_g" in request.GET else None)
    check = standing_of(step)
    initial = initial_of(request.shop, wanted) | defaults.first_bottles(
        resin, timezone.localdate(timezone=request.shop.tz)
    )
    form = CupForm(typed, initial=initial, shop=request.shop, resin=resin)
    context = {
        "step": step,
        "resin": resin,
        "form": form,
        "wanted": wanted,
        "check": check,
        "room": "bench",
        "window": against.window_says(step, timezone.now()),
        "unticked": step.checks.filter(ticked_at=None).count(),
        **following(form, resin),
        **slips(form, wanted),
    }
    if request.method == "GET":
        return render(
            request, "projects/_mix_b.html" if request.htmx and typed else "projects/mix.html", context
        )

    def act(act_key, moment):
        cup, moment = form.stands(partial(against.of_cup, step), moment)
        for code in [each.of_check for each in form.objections if each.of_check]:
            why = cup["all_the_same"]["why"]
            overrule(request.member, step, code, why, key=uuid.uuid5(act_key, code), moment=moment)
        batch = acts.parts_meet(request.member, step, key=act_key, moment=moment, resin=resin, cup=cup)
        return reverse("projects:cup", args=[request.shop.key, step.key, batch.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/mix.html", context)


def has_bottle(shop, resin, part):
    """Whether there is any bottle of a part, whatever is left in it."""
    return Lot.objects.of(shop).bottles(resin, part).exists()


def cups_asked(request):
    """In how many cups the maker wants to mix the rest; None where that is left to us."""
    text = request.GET.get("cups", request.POST.get("cups", ""))
    if not text.isdecimal():
        return None
    return min(max(int(text[:4]), 1), MOST_CUPS)  # a number may be too long to be read


def initial_of(shop, wanted):
    """The air, and the A that is wanted."""
    air = defaults.air(shop, timezone.now())
    wanted_a_g = round(wanted.mix.a_g, 3)
    return {"room_c": air["temp_c"], "humidity_percent": air["humidity_percent"], "wanted_a_g": wanted_a_g}


def following(form, resin):
    """B for the A that was typed, and the pot life of that cup; nothing while A is not understood."""
    if not form.is_bound:
        return {"echoes": {}}
    form.is_valid()
    a_g, room_c = form.cleaned_data.get("a_g"), form.cleaned_data.get("room_c")
    found = {"echoes": form.echoes(), "a_g": a_g}
    if a_g is None:
        return found
    found["b_g"] = shelf_advice.b_for_a(shelf_advice.parts_by_mass(resin), a_g)
    if room_c is not None:
        try:
            found["life"] = shelf_advice.cup_life(resin, a_g + found["b_g"], room_c)
            found |= by_model(resin, a_g + found["b_g"], room_c, found["life"])
        except OutOfRange as problem:
            form.add_error("room_c", str(problem))
    return found


def by_model(resin, mixed_g, room_c, life):
    """How long a heavy cup lasts by the model, and what its clock runs for: that, or half of the sheet's."""
    if not life.heavier:
        return {}
    minutes, read = clock_model.heavy_cup(resin, mixed_g, room_c)
    sooner = minutes is not None and minutes < life.ring_minutes
    return {"model_min": minutes, "model_is_sooner": sooner, "cup_was_read": read}


def slips(form, wanted):
    """What looks like a slip in what was typed; nothing while it is not understood."""
    if not form.is_bound:
        return {}
    typed = form.cleaned_data
    return second_look.slips(typed.get("a_g"), typed.get("lot_a"), wanted.mix.a_g)


def cup_row(request, step, key):
    """A cup of this step."""
    cups = (
        Batch.objects.of(request.shop)
        .select_related("resin", "lot_a", "lot_b")
        .filter(key=key, pk__in=LogEntry.objects.filter(step=step, kind=LogEntry.Kind.MIX).values("batch"))
    )
    row = cups.first()
    if row is None:
        raise Http404("No such page")
    return row


def cup_context(request, step, batch, form, part):
    """What the card of a cup shows."""
    ratio = shelf_advice.ratio_of(batch)
    timers = running_rows(request.shop, timezone.now(), batch=batch, kind="pot_life")
    poured = batch.pours.exists()
    return {
        "step": step,
        "batch": batch,
        "form": form,
        "part": part,
        "ratio": ratio,
        "b_wanted_g": shelf_advice.b_for_a((batch.parts_a, batch.parts_b), batch.actual_a_g),
        "gauge": gauge(ratio),
        "clock": timers[0] if timers else None,
        "poured": poured,
        "add": shelf_advice.to_add(batch, ratio),
        "mistyped": shelf_advice.looks_mistyped(batch),
        "more": not poured and mixing.wanted_cup(step, batch.resin).is_wanted,
        "room": "bench",
    }


def gauge(ratio):
    """The drawn scale of the ratio."""
    from workshop.drawing.ratio import ratio_gauge

    if ratio is None:
        return ""
    return drawn(ratio_gauge(ratio.error_percent, ratio.tolerance_percent, ratio.stop_percent))


@shop_view
@require_http_methods(["GET"])
def cup(request, key, cup):
    """The card of a cup whose parts have met; `?change=A` or `B` opens a weighed figure again."""
    step = block_row(request, key)
    batch = cup_row(request, step, cup)
    part = request.GET.get("change", "")
    if part not in {"A", "B"}:
        part = "B" if batch.actual_b_g is None else ""
    form = WeighForm(shop=request.shop, part=part) if part else None
    return render(request, "projects/cup.html", cup_context(request, step, batch, form, part))


@shop_view
@require_POST
def weigh(request, key, cup, part):
    """A part as the scale shows it."""
    step = block_row(request, key)
    batch = cup_row(request, step, cup)
    if part not in {"A", "B"}:
        raise Http404("No such page")
    form = WeighForm(request.POST, shop=request.shop, part=part)

    def act(act_key, moment):
        acts.weigh(request.member, step, batch, part, form.cleaned_data["grams"], key=act_key, moment=moment)
        return reverse("projects:cup", args=[request.shop.key, step.key, batch.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/cup.html", cup_context(request, step, batch, form, part))
