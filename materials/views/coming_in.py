"""What came in: first what it is, then a short form."""

import uuid

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from materials import actions
from materials.forms.coming_in import BottlesForm, BundleForm, LeftoverForm, SawnForm, SupplyLotForm
from materials.models import Lot, Resin, Supply
from materials.views.photos import with_upload
from workshop import units
from workshop.access import shop_view
from workshop.views.answers import form_again

PAGE = 40
ARRIVALS = {
    "sawn": (SawnForm, "S", "Sawn stock came in", "Put it on the rack"),
    "leftover": (LeftoverForm, "L", "A leftover to keep", "Keep it under the bench"),
}
"""Kinds with a form of their own: the form, the letter of a code, the title, the deed."""
SUPPLIES = {
    "consumable": ("K", "Tape and the like came in", "Put it under the bench"),
    "finish": ("F", "A finish came in", "Put it under the bench"),
    "abrasive": ("P", "Paper or discs came in", "Put it under the bench"),
}
"""Kinds that stand on the list of supplies: the letter of a code, the title, the deed."""


@shop_view
@require_safe
def something_in(request):
    """Asks what it is."""
    return render(request, "materials/something_in.html", {"room": "shelf"})


def next_code(shop, letter):
    """A free code that begins with a letter: A-01, A-02, …"""
    taken = set(Lot.objects.of(shop).filter(code__istartswith=f"{letter}-").values_list("code", flat=True))
    number = len(taken) + 1
    while f"{letter}-{number:02d}" in taken:
        number += 1
    return f"{letter}-{number:02d}"


def is_key(text):
    """Whether a text of the address is a key."""
    try:
        uuid.UUID(text or "")
    except ValueError:
        return False
    return True


def day_of(request, moment):
    """The shop's day on which an act happened."""
    return moment.happened_at.astimezone(request.shop.tz).date()


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
    form = BottlesForm(request.POST or None, request.FILES or None, initial=initial, shop=request.shop)
    context = {
        "form": form,
        "any_resin": initial["resin"] is not None,
        "bare_mass": units.shown_unit("mass", request.shop.units),
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/bottles_in.html", context)

    def act(key, moment, picture):
        for values, amount in form.lots(day_of(request, moment)):
            actions.receive(request.member, {**values, "picture": picture}, amount, at=moment.received_at)
        return reverse("materials:shelf", args=[request.shop.key])

    done = with_upload(request, form, "photo", act)
    return done or form_again(request, "materials/bottles_in.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def bundle_in(request):
    """A bundle of strips came in."""
    initial = {"code": next_code(request.shop, "W"), "thickness_mm": 2.0}
    form = BundleForm(request.POST or None, request.FILES or None, initial=initial, shop=request.shop)
    return one_lot(request, form, title="A bundle came in", deed="Put it on the rack")


@shop_view
@require_http_methods(["GET", "POST"])
def lot_in(request, kind):
    """Sawn stock, a leftover, or something of the list of supplies came in."""
    if kind in ARRIVALS:
        form_class, letter, title, deed = ARRIVALS[kind]
        initial = {"code": next_code(request.shop, letter)}
        form = form_class(request.POST or None, request.FILES or None, initial=initial, shop=request.shop)
        return one_lot(request, form, title=title, deed=deed)
    if kind not in SUPPLIES:
        raise Http404("No such page")
    listed = Supply.objects.of(request.shop).kept().filter(kind=kind)
    supply = chosen_supply(request, listed)
    return which_supply(request, kind, listed) if supply is None else supply_in(request, kind, supply)


def chosen_supply(request, listed):
    """The supply that the address names, or the only one there is; None where it has to be asked."""
    asked = request.GET.get("supply")
    if asked is not None:
        return listed.filter(key=asked).first() if is_key(asked) else None
    some = listed[:2]
    return some[0] if len(some) == 1 else None


def which_supply(request, kind, listed):
    """Asks which of the list it is."""
    context = {
        "kind": kind,
        "title": SUPPLIES[kind][1],
        "page": Paginator(listed.in_order(), PAGE).get_page(request.GET.get("page")),
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/which_supply.html", context)
    return form_again(request, "materials/which_supply.html", context | {"not_chosen": True})


def supply_in(request, kind, supply):
    """The short form for one supply."""
    letter, title, deed = SUPPLIES[kind]
    initial = {"code": next_code(request.shop, letter), "maker": supply.maker}
    form = SupplyLotForm(
        request.POST or None, request.FILES or None, initial=initial, shop=request.shop, supply=supply
    )
    return one_lot(request, form, title=title, deed=deed, supply=supply)


def one_lot(request, form, *, title, deed, supply=None):
    """The page of a form that makes one lot, and what it does."""
    context = {"form": form, "title": title, "deed": deed, "supply": supply, "room": "shelf"}
    if request.method == "GET":
        return render(request, "materials/lot_in.html", context)

    def act(key, moment, picture):
        values, amount = form.lot(day_of(request, moment))
        actions.receive(request.member, {**values, "picture": picture}, amount, at=moment.received_at)
        return reverse("materials:shelf", args=[request.shop.key])

    done = with_upload(request, form, "photo", act)
    return done or form_again(request, "materials/lot_in.html", context)
