"""What the shop works with."""

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.changes import machines
from workshop.forms.machines import FIELDS, FIGURES_OF, SEVERAL, MachineForm
from workshop.forms.people import DeedForm
from workshop.models import Machine
from workshop.views.answers import form_again


def figures_of(machine):
    """What is known of a machine: label, value, kind of quantity."""
    found = [
        (label, getattr(machine, name), FIELDS[name]["kind"])
        for name, label in FIGURES_OF[machine.kind].items()
    ]
    return [figure for figure in found if figure[1] is not None]


def page_of(request, form):
    """What the list shows; `form` carries what an act refused."""
    rows = Machine.objects.of(request.shop).order_by("kind", "name", "pk")
    listed = [(row, figures_of(row), row.kind in SEVERAL) for row in rows]
    return {
        "form": form,
        "in_use": [line for line in listed if line[0].retired_at is None],
        "retired": [line for line in listed if line[0].retired_at],
        "kinds": Machine.Kind.choices,
        "room": "shop",
    }


@shop_view
@require_safe
def machine_list(request):
    """Machines in use, those retired, and what can be added."""
    return render(request, "workshop/machines.html", page_of(request, DeedForm(shop=request.shop)))


@shop_view
@require_http_methods(["GET", "POST"])
def machine_new(request, kind):
    """Another machine of a kind."""
    if kind not in Machine.Kind.values:
        raise Http404("No such kind")
    form = MachineForm(request.POST or None, kind=kind, shop=request.shop)
    context = {"form": form, "kind": Machine.Kind(kind).label, "machine": None, "room": "shop"}
    if request.method == "GET":
        return render(request, "workshop/machine.html", context)

    def act(key, moment):
        machines.add(request.member, kind, form.cleaned_data, at=moment.received_at)
        return reverse("workshop:machines", args=[request.shop.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/machine.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def machine(request, key):
    """A machine's figures, to read and to change."""
    row = get_row(Machine.objects.all(), request, key)
    form = MachineForm(request.POST or None, kind=row.kind, shop=request.shop, row=row, initial=vars(row))
    context = {"form": form, "kind": row.get_kind_display(), "machine": row, "room": "shop"}
    if request.method == "GET":
        return render(request, "workshop/machine.html", context)

    def act(act_key, moment):
        machines.change(request.member, row, form.cleaned_data, at=moment.received_at)
        return reverse("workshop:machines", args=[request.shop.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/machine.html", context)


@shop_view
@require_POST
def machine_retire(request, key):
    """Out of use, or back."""
    row = get_row(Machine.objects.all(), request, key)
    form = DeedForm(request.POST, shop=request.shop)

    def act(act_key, moment):
        retired = request.POST.get("retired") == "yes"
        machines.retire(request.member, row, retired=retired, at=moment.received_at)
        return reverse("workshop:machines", args=[request.shop.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "workshop/machines.html", page_of(request, form))
