"""The shelf: what stands on it, and what came in."""

import uuid

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from materials import actions
from materials.forms import BottlesForm, BundleForm
from materials.models import Lot, Resin
from workshop import units
from workshop.access import shop_view
from workshop.acting import perform
from workshop.drawn import drawn
from workshop.views.answers import form_again

PAGE = 24
LOW_G = 100  # less than a test cup is "low"


@shop_view
@require_safe
def shelf(request):
    """Bottles and bundles, and the resins they belong to."""
    lots = Lot.objects.of(request.shop).here().with_on_hand().select_related("resin", "species")
    lots = lots.order_by("kind", "resin__name", "received_on", "pk")
    page = Paginator(lots, PAGE).get_page(request.GET.get("page"))
    today = timezone.localdate()
    context = {
        "page": page,
        "bottles": [ticket(lot, today) for lot in page if lot.kind == Lot.Kind.RESIN],
        "bundles": [ticket(lot, today) for lot in page if lot.kind == Lot.Kind.WOOD],
        "resins": Resin.objects.of(request.shop).filter(removed_at=None).order_by("name")[:50],
        "room": "shelf",
    }
    return render(request, "materials/shelf.html", context)


def ticket(lot, today):
    """A lot as it stands on the shelf: its drawing and its state."""
    return {"lot": lot, "svg": drawing(lot), "state": state(lot, today)}


def state(lot, today):
    """The state that a lot's ticket shows, or an empty text."""
    if lot.on_hand < 0:
        return "short"
    if lot.use_by and lot.use_by < today:
        return "past"
    if lot.kind == Lot.Kind.RESIN and lot.on_hand < LOW_G:
        return "low"
    return ""


def drawing(lot):
    """A bottle filled to what is on hand; bundles are drawn as stacks by the page."""
    from workshop.drawing.bottle import bottle_svg

    if lot.kind != Lot.Kind.RESIN:
        return ""
    came_g = max(lot.received_thousandths / 1000, 1.0)
    filled = min(max(lot.on_hand / came_g, 0.0), 1.0)
    return drawn(bottle_svg(lot.part, filled, f"lot{lot.pk}", pack_g=came_g))


def next_code(shop, letter):
    """A free code that begins with a letter: A-01, A-02, …"""
    taken = set(Lot.objects.of(shop).filter(code__istartswith=f"{letter}-").values_list("code", flat=True))
    number = len(taken) + 1
    while f"{letter}-{number:02d}" in taken:
        number += 1
    return f"{letter}-{number:02d}"


@shop_view
@require_http_methods(["GET", "POST"])
def bottles_in(request):
    """Part A and part B came in."""
    initial = {
        "resin": request.GET.get("resin"),
        "code_a": next_code(request.shop, "A"),
        "code_b": next_code(request.shop, "B"),
    }
    newest = Resin.objects.of(request.shop).filter(removed_at=None).order_by("-created_at", "-pk")
    chosen = newest.filter(key=initial["resin"]).first() if is_key(initial["resin"]) else None
    initial["resin"] = chosen or newest.first()
    form = BottlesForm(request.POST or None, initial=initial, shop=request.shop)
    context = {
        "form": form,
        "any_resin": initial["resin"] is not None,
        "bare_mass": units.shown_unit("mass", request.shop.units),
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/bottles_in.html", context)

    def act(key, moment):
        for values, amount in form.lots(moment.happened_at.astimezone(request.shop.tz).date()):
            actions.receive(request.member, values, amount, at=moment.received_at)
        return reverse("materials:shelf", args=[request.shop.key])

    done = perform(request, form, act)
    return done or form_again(request, "materials/bottles_in.html", context)


def is_key(text):
    """Whether a text of the address is a key."""
    try:
        uuid.UUID(text or "")
    except ValueError:
        return False
    return True


@shop_view
@require_http_methods(["GET", "POST"])
def bundle_in(request):
    """A bundle of strips came in."""
    initial = {"code": next_code(request.shop, "W"), "thickness_mm": 2.0}
    form = BundleForm(request.POST or None, initial=initial, shop=request.shop)
    context = {"form": form, "room": "shelf"}
    if request.method == "GET":
        return render(request, "materials/bundle_in.html", context)

    def act(key, moment):
        values, amount = form.lot(moment.happened_at.astimezone(request.shop.tz).date())
        actions.receive(request.member, values, amount, at=moment.received_at)
        return reverse("materials:shelf", args=[request.shop.key])

    done = perform(request, form, act)
    return done or form_again(request, "materials/bundle_in.html", context)
