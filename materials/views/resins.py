"""A resin: what its sheet says."""

from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from materials import actions, advice
from materials.forms.resins import ResinForm
from materials.models import Lot, Resin
from materials.views.photos import with_upload
from workshop.access import get_row, shop_view
from workshop.views.answers import form_again


@shop_view
@require_http_methods(["GET", "POST"])
def resin_new(request):
    """A resin from its sheet; its bottles come next."""
    form = ResinForm(request.POST or None, request.FILES or None, shop=request.shop)
    context = {"form": form, "resin": None, "room": "shelf"}
    if request.method == "GET":
        return render(request, "materials/resin_form.html", context)

    def act(key, moment, sheet):
        row = actions.add_resin(request.member, {**form.values(), "sheet": sheet}, at=moment.received_at)
        return reverse("materials:bottles-in", args=[request.shop.key]) + f"?resin={row.key}"

    done = with_upload(request, form, "sheet", act)
    return done or form_again(request, "materials/resin_form.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def resin(request, key):
    """The sheet's figures, to read and to change."""
    row = get_row(Resin.objects.filter(removed_at=None).select_related("sheet"), request, key)
    initial = {name: getattr(row, name) for name in ResinForm.figures()}
    form = ResinForm(
        request.POST or None,
        request.FILES or None,
        initial={**initial, "pk": row.pk},
        shop=request.shop,
        row=row,
    )
    lots = Lot.objects.of(request.shop).here().filter(resin=row, kind=Lot.Kind.RESIN)
    context = {
        "form": form,
        "resin": row,
        "lots": lots.with_on_hand().with_names().order_by("part", "received_on", "pk")[:50],
        "by_mass": advice.to_100_of_a(row),
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/resin_form.html", context)

    def act(act_key, moment, sheet):
        kept = None if form.cleaned_data["no_sheet"] else row.sheet
        values = {**form.values(), "sheet": sheet or kept}
        actions.change_resin(request.member, row, values, at=moment.received_at)
        return reverse("materials:resin", args=[request.shop.key, row.key])

    done = with_upload(request, form, "sheet", act)
    return done or form_again(request, "materials/resin_form.html", context)
