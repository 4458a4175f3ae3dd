"""The woods: what handbooks say of them, and the shop's own."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from materials import actions, advice
from materials.forms.woods import WoodForm
from materials.models import Species
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE = 60


@shop_view
@require_safe
def wood_list(request):
    """All woods with their figures and where those come from."""
    page = Paginator(Species.objects.of(request.shop).order_by("name", "pk"), PAGE)
    context = {"page": page.get_page(request.GET.get("page")), "room": "shelf"}
    return render(request, "materials/woods.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def wood_new(request):
    """A wood of the shop's own."""
    form = WoodForm(request.POST or None, shop=request.shop)
    context = {"form": form, "wood": None, "own": True, "room": "shelf"}
    if request.method == "GET":
        return render(request, "materials/wood.html", context)

    def act(key, moment):
        row = actions.add_species(request.member, form.cleaned_data, at=moment.received_at)
        return reverse("materials:wood", args=[request.shop.key, row.key])

    done = perform(request, form, act)
    return done or form_again(request, "materials/wood.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def wood(request, key):
    """One wood and what its figures mean; the shop's own can be changed, a handbook's can't."""
    row = get_row(Species.objects.all(), request, key)
    form = WoodForm(request.POST or None, shop=request.shop, row=row, initial=vars(row) | {"pk": row.pk})
    context = {
        "form": form,
        "wood": row,
        "own": not row.reference,
        "across_mm": advice.change_of_100_mm(row.radial),
        "along_mm": advice.change_of_100_mm(row.tangential),
        "year_mm": advice.change_across_a_year(row.tangential),
        "shop_percent": advice.moisture_in_the_shop(request.shop),
        "lots": row.lots.here().with_on_hand().with_names().in_order()[:50],
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/wood.html", context)

    def act(act_key, moment):
        actions.change_species(request.member, row, form.cleaned_data, at=moment.received_at)
        return reverse("materials:wood", args=[request.shop.key, row.key])

    if row.reference and form.is_valid():
        form.add_error(None, "These figures are a handbook’s. Add a wood of your own with other ones.")
    done = perform(request, form, act)
    return done or form_again(request, "materials/wood.html", context)
