"""One lot with its ledger."""

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from materials import actions
from materials.forms import LineForm, ReverseForm
from materials.models import Lot, Movement
from materials.views.shelf import ticket
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE = 30


def lot_row(request, key):
    """A lot of this shop with what is on hand."""
    return get_row(Lot.objects.with_on_hand().select_related("resin", "species"), request, key)


def lot_context(request, lot, form, reverse_form=None):
    """The lot's ticket, its ledger and the forms for a line."""
    lines = lot.movements.select_related("lot", "reverses", "reversed_by", "created_by").order_by(
        "-happened_at", "-pk"
    )
    return {
        "lot": lot,
        "ticket": ticket(lot, timezone.localdate()),
        "form": form,
        "reverse_form": reverse_form,
        "page": Paginator(lines, PAGE).get_page(request.GET.get("page")),
        "room": "shelf",
    }


@shop_view
@require_http_methods(["GET", "POST"])
def lot(request, key):
    """What came in and went out; POST writes a line."""
    row = lot_row(request, key)
    form = LineForm(request.POST or None, shop=request.shop, lot=row)
    if request.method == "GET":
        return render(request, "materials/lot.html", lot_context(request, row, form))

    def act(act_key, moment):
        write_line(request.member, row, form.cleaned_data, moment)
        return reverse("materials:lot", args=[request.shop.key, row.key])

    done = perform(request, form, act)
    return done or form_again(
        request, "materials/lot.html", lot_context(request, lot_row(request, key), form)
    )


def write_line(member, lot, line, moment):
    """The line that the form asks for."""
    if line["kind"] == Movement.Kind.COUNT:
        actions.count(member, lot, line["amount"], at=moment.received_at, why=line["why"])
    else:
        actions.draw_at_shelf(
            member, lot, line["amount"], at=moment.received_at, kind=line["kind"], why=line["why"]
        )


@shop_view
@require_POST
def reverse_line(request, key, line):
    """Take a line back by a second one."""
    row = lot_row(request, key)
    movement = Movement.objects.of(request.shop).filter(lot=row, key=line).first()
    if movement is None:
        raise Http404("No such page")
    form = ReverseForm(request.POST)

    def act(act_key, moment):
        actions.reverse(request.member, movement, at=moment.received_at, why=form.cleaned_data["why"])
        return reverse("materials:lot", args=[request.shop.key, row.key])

    done = perform(request, form, act)
    blank = LineForm(shop=request.shop, lot=row)
    return done or form_again(
        request, "materials/lot.html", lot_context(request, lot_row(request, key), blank, form)
    )
