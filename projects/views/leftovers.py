"""Leftovers: cut first from the shelf, given back, and kept when the cutting is done."""

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from materials import actions as shelf
from materials.forms.coming_in import LeftoverForm
from materials.models import Lot, Movement
from materials.science.errors import OutOfRange
from materials.views.coming_in import day_of, next_code
from materials.views.photos import with_upload
from projects.actions import leftovers as acts
from projects.models import Project
from projects.panel.named import letters_of
from projects.panel.rows import kept_of
from projects.panel.stock import left_over
from projects.views import cuts
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.forms.quantities import ShopForm
from workshop.views.answers import form_again

PAGE = "projects/leftover_keep.html"


def project_row(request, project):
    """A project that was not taken off the list."""
    return get_row(Project.objects.kept().select_related("shop"), request, project)


def cuts_url(request, project):
    """The Cuts page, at its leftovers."""
    return reverse("projects:cuts", args=[request.shop.key, project.key]) + "#leftovers"


@shop_view
@require_POST
def leftover_use(request, project, key):
    """A leftover comes off the shelf and is cut first."""
    row = project_row(request, project)
    lot = get_row(Lot.objects.here().filter(kind=Lot.Kind.LEFTOVER), request, key)
    return acted(request, row, lambda moment: acts.use(request.member, row, lot, at=moment.received_at))


@shop_view
@require_POST
def leftover_back(request, project, line):
    """A leftover that was not cut goes back on the shelf."""
    row, drawn = project_row(request, project), get_row(Movement.objects, request, line)
    return acted(
        request, row, lambda moment: acts.give_back(request.member, row, drawn, at=moment.received_at)
    )


def acted(request, project, what):
    """Does it and goes back to the cuts; what can't be done is said there."""
    form = ShopForm(request.POST, shop=request.shop)

    def act(key, moment):
        what(moment)
        return cuts_url(request, project)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, cuts.PAGE, cuts.context_of(request, project) | {"refused": form})


@shop_view
@require_http_methods(["GET", "POST"])
def leftover_keep(request, project, number):
    """What the cutting left goes on the shelf, its figures filled in from the plan."""
    row = project_row(request, project)
    kept = kept_of(row)
    left = left_of(kept, number)
    initial = {**figures_of(kept, left), "code": next_code(request.shop, "L")}
    form = LeftoverForm(request.POST or None, request.FILES or None, initial=initial, shop=request.shop)
    context = {"project": row, "form": form, "left": left, "room": "projects", "inside": "cuts"}
    if request.method == "GET":
        return render(request, PAGE, context)

    def act(key, moment, picture):
        values, amount = form.lot(day_of(request, moment))
        shelf.receive(request.member, {**values, "picture": picture}, amount, at=moment.received_at)
        return cuts_url(request, row)

    done = with_upload(request, form, "photo", act)
    return done or form_again(request, PAGE, context)


def left_of(kept, number):
    """One of the ends that the plan leaves."""
    try:
        found = left_over(kept.design, letters_of(kept)) if kept else []
    except OutOfRange:
        found = []
    if not 1 <= number <= len(found):
        raise Http404("No such page")
    return found[number - 1]


def figures_of(kept, left):
    """What the plan knows of it, as the form takes it."""
    wood = next((block.species for block in kept.blocks if block.species), None)
    return {
        "species": wood,
        "strip_mm": left.strip_mm,
        "gap_mm": left.gap_mm,
        "thickness_mm": left.depth_mm,
        "length_mm": round(left.length_mm, 1),
        "width_mm": round(left.width_mm, 2),
        "phase_mm": round(left.phase_mm, 2),
        "came_from": acts.came_from(kept.row.project, left),
        "pieces": 1,
    }
