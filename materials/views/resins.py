"""A resin: what its sheet says."""

from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from materials import actions, advice
from materials.forms import ResinForm
from materials.models import Lot, Resin
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again


@shop_view
@require_http_methods(["GET", "POST"])
def resin_new(request):
    """A resin from its sheet; its bottles come next."""
    form = ResinForm(request.POST or None, shop=request.shop)
    context = {"form": form, "resin": None, "room": "shelf"}
    if request.method == "GET":
        return render(request, "materials/resin_form.html", context)

    def act(key, moment):
        row = actions.add_resin(request.member, form.values(), at=moment.received_at)
        return reverse("materials:bottles-in", args=[request.shop.key]) + f"?resin={row.key}"

    done = perform(request, form, act)
    return done or form_again(request, "materials/resin_form.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def resin(request, key):
    """The sheet's figures, to read and to change."""
    row = get_row(Resin.objects.filter(removed_at=None), request, key)
    initial = {name: getattr(row, name) for name in ResinForm.base_fields}
    form = ResinForm(request.POST or None, initial={**initial, "pk": row.pk}, shop=request.shop)
    lots = Lot.objects.of(request.shop).here().filter(resin=row).with_on_hand().select_related("resin")
    context = {
        "form": form,
        "resin": row,
        "lots": lots.order_by("part", "received_on", "pk")[:50],
        "by_mass": advice.to_100_of_a(row),
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/resin_form.html", context)

    def act(act_key, moment):
        actions.change_resin(request.member, row, form.values(), at=moment.received_at)
        return reverse("materials:resin", args=[request.shop.key, row.key])

    done = perform(request, form, act)
    return done or form_again(request, "materials/resin_form.html", context)
