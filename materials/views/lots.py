"""One lot: its ticket, its ledger, and what becomes of it."""

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from materials import actions, ageing
from materials.forms.lots import CONDITIONS, ChangeForm, LevelForm, LineForm, OpenForm, ReverseForm
from materials.models import Lot, Movement
from materials.views.photos import with_upload
from materials.views.shelf import ticket
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.forms.people import DeedForm
from workshop.views.answers import form_again

PAGE = 30


def lot_row(request, key):
    """A lot of this shop with what is on hand."""
    rows = Lot.objects.with_on_hand().select_related("resin", "species", "supply", "picture")
    return get_row(rows, request, key)


def lot_url(request, lot):
    """The page of a lot."""
    return reverse("materials:lot", args=[request.shop.key, lot.key])


def lot_context(request, lot, *, form=None, reverse_form=None, level_form=None, deed_form=None):
    """The lot's ticket, its ledger and the forms for a line, or for its level."""
    lines = lot.movements.select_related("lot", "reverses", "reversed_by", "created_by").order_by(
        "-happened_at", "-pk"
    )
    today = timezone.localdate()
    counted = lot.is_counted
    return {
        "lot": lot,
        "ticket": ticket(lot, today),
        "aged": None if lot.removed_at else ageing.aged(lot, today),
        "today": today,
        "condition_says": CONDITIONS.get(lot.condition, ""),
        "form": form or LineForm(shop=request.shop, lot=lot),
        "reverse_form": reverse_form,
        "level_form": level_form or LevelForm(shop=request.shop, initial={"level": lot.level}),
        "deed_form": deed_form,
        "page": Paginator(lines, PAGE).get_page(request.GET.get("page")) if counted else None,
        "room": "shelf",
    }


@shop_view
@require_http_methods(["GET", "POST"])
def lot(request, key):
    """What came in and went out; POST writes a line."""
    row = lot_row(request, key)
    form = LineForm(request.POST or None, shop=request.shop, lot=row)
    if request.method == "GET":
        return render(request, "materials/lot.html", lot_context(request, row, form=form))

    def act(act_key, moment):
        write_line(request.member, row, form.cleaned_data, moment)
        return lot_url(request, row)

    if not row.is_counted:
        form.is_valid()
        form.add_error(None, f"{row.code} is not counted: say whether there is enough.")
    done = perform(request, form, act)
    return done or form_again(
        request, "materials/lot.html", lot_context(request, lot_row(request, key), form=form)
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
        return lot_url(request, row)

    done = perform(request, form, act)
    return done or form_again(
        request, "materials/lot.html", lot_context(request, lot_row(request, key), reverse_form=form)
    )


@shop_view
@require_http_methods(["GET", "POST"])
def lot_ticket(request, key):
    """What the ticket says, to be put right."""
    row = lot_row(request, key)
    initial = {name: getattr(row, name) for name in (*ChangeForm.TICKET, *ChangeForm.sizes_of(row))}
    form = ChangeForm(
        request.POST or None,
        request.FILES or None,
        shop=request.shop,
        row=row,
        lot=row,
        initial={**initial, "pk": row.pk},
    )
    context = {"form": form, "lot": row, "room": "shelf"}
    if request.method == "GET":
        return render(request, "materials/lot_ticket.html", context)

    def act(act_key, moment, picture):
        actions.change_lot(request.member, row, form.row_values(), at=moment.received_at, picture=picture)
        return lot_url(request, row)

    done = with_upload(request, form, "photo", act)
    return done or form_again(request, "materials/lot_ticket.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def lot_open(request, key):
    """A lot is opened, and how it was found."""
    row, today = lot_row(request, key), timezone.localdate()
    opened = row.opened_on or today
    initial = {
        "opened_on": opened,
        "condition": row.condition or Lot.Condition.FINE,
        "use_by": ageing.proposed_use_by(row, opened),
        "note": row.note,
    }
    form = OpenForm(request.POST or None, shop=request.shop, row=row, lot=row, today=today, initial=initial)
    context = {
        "form": form,
        "lot": row,
        "sheet_allows": ageing.sheet_allows(row, opened),
        "conditions": [(Lot.Condition(name).label, said) for name, said in CONDITIONS.items()],
        "room": "shelf",
    }
    if request.method == "GET":
        return render(request, "materials/lot_open.html", context)

    def act(act_key, moment):
        actions.open_lot(request.member, row, form.cleaned_data, at=moment.received_at)
        return lot_url(request, row)

    done = perform(request, form, act)
    return done or form_again(request, "materials/lot_open.html", context)


@shop_view
@require_POST
def lot_level(request, key):
    """Enough, low or gone."""
    row = lot_row(request, key)
    form = LevelForm(request.POST, shop=request.shop)

    def act(act_key, moment):
        actions.set_level(request.member, row, form.cleaned_data["level"], at=moment.received_at)
        return lot_url(request, row)

    done = perform(request, form, act)
    return done or form_again(
        request, "materials/lot.html", lot_context(request, lot_row(request, key), level_form=form)
    )


@shop_view
@require_POST
def lot_off(request, key):
    """Off the shelf, or back on it."""
    row = lot_row(request, key)
    form = DeedForm(request.POST, shop=request.shop)

    def act(act_key, moment):
        place = actions.put_back if request.POST.get("removed") == "no" else actions.take_off
        place(request.member, row, at=moment.received_at)
        return lot_url(request, row)

    done = perform(request, form, act)
    return done or form_again(
        request, "materials/lot.html", lot_context(request, lot_row(request, key), deed_form=form)
    )
