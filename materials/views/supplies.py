"""The list of what the shop buys again."""

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from materials import actions
from materials.forms.supplies import SupplyForm
from materials.models import Supply
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.forms.people import DeedForm
from workshop.views.answers import form_again

PAGE = 40


def list_context(request, form=None):
    """The list, or with `?off` what was taken off it; `form` carries what an act refused."""
    off = "off" in request.GET
    rows = Supply.objects.of(request.shop)
    rows = rows.exclude(removed_at=None) if off else rows.kept()
    return {
        "page": Paginator(rows.in_order(), PAGE).get_page(request.GET.get("page")),
        "off": off,
        "kinds": Supply.Kind.choices,
        "form": form or DeedForm(shop=request.shop),
        "room": "shelf",
    }


@shop_view
@require_safe
def supply_list(request):
    """What the shop buys again, by kind."""
    return render(request, "materials/supplies.html", list_context(request))


@shop_view
@require_http_methods(["GET", "POST"])
def supply_new(request, kind):
    """Something more for the list; then what came in of it."""
    if kind not in Supply.Kind.values:
        raise Http404("No such page")
    form = SupplyForm(request.POST or None, kind=kind, shop=request.shop)
    context = {"form": form, "supply": None, "kind": Supply.Kind(kind), "room": "shelf"}
    if request.method == "GET":
        return render(request, "materials/supply_form.html", context)

    def act(key, moment):
        row = actions.add_supply(request.member, {**form.cleaned_data, "kind": kind}, at=moment.received_at)
        return reverse("materials:lot-in", args=[request.shop.key, kind]) + f"?supply={row.key}"

    done = perform(request, form, act)
    return done or form_again(request, "materials/supply_form.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def supply(request, key):
    """What its label says, to read and to change."""
    row = get_row(Supply.objects.all(), request, key)
    form = SupplyForm(
        request.POST or None, kind=row.kind, shop=request.shop, row=row, initial=vars(row) | {"pk": row.pk}
    )
    lots = row.lots.here().with_on_hand().with_names().to_use_first()[:50]
    context = {
        "form": form,
        "supply": row,
        "lots": lots,
        "kind": Supply.Kind(row.kind),
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/supply_form.html", context)

    def act(act_key, moment):
        actions.change_supply(request.member, row, form.cleaned_data, at=moment.received_at)
        return reverse("materials:supplies", args=[request.shop.key])

    done = perform(request, form, act)
    return done or form_again(request, "materials/supply_form.html", context)


@shop_view
@require_POST
def supply_remove(request, key):
    """Off the list, or back on it."""
    row = get_row(Supply.objects.all(), request, key)
    form = DeedForm(request.POST, shop=request.shop)

    def act(act_key, moment):
        removed = request.POST.get("removed") != "no"
        actions.remove_supply(request.member, row, removed=removed, at=moment.received_at)
        return reverse("materials:supplies", args=[request.shop.key])

    done = perform(request, form, act)
    return done or form_again(request, "materials/supplies.html", list_context(request, form))
