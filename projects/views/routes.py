"""The routes that a shop keeps for later projects."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.actions import routes
from projects.forms.route import RouteForm
from projects.models import Route
from projects.views.route import project_row
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.forms.quantities import ShopForm
from workshop.views.answers import form_again

LIST, KEEP, PAGE = "projects/route_list.html", "projects/route_keep.html", 20


@shop_view
@require_safe
def route_list(request):
    """All kept routes with their steps."""
    return render(request, LIST, list_context(request))


def list_context(request, form=None):
    """Kept routes by name, and the one that was taken off last."""
    rows = Route.objects.of(request.shop)
    page = Paginator(rows.kept(), PAGE).get_page(request.GET.get("page"))
    return {"page": page, "removed": rows.removed_last(), "form": form, "room": "projects"}


@shop_view
@require_http_methods(["GET", "POST"])
def route_keep(request, project):
    """The route of a project kept under a name."""
    row = project_row(request, project)
    form = RouteForm(request.POST or None, shop=request.shop)
    names = list(Route.objects.of(request.shop).kept().values_list("name", flat=True)[:PAGE])
    context = {"project": row, "form": form, "names": names, "room": "projects", "inside": "steps"}
    if request.method == "GET":
        return render(request, KEEP, context)

    def act(key, moment):
        routes.keep_route(request.member, row, form.cleaned_data["name"], at=moment.received_at)
        return reverse("projects:routes", args=[request.shop.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, KEEP, context)


@shop_view
@require_POST
def route_remove(request, key):
    """A kept route off the list, or back on it."""
    row = get_row(Route.objects.all(), request, key)
    form = ShopForm(request.POST, shop=request.shop)

    def act(act_key, moment):
        removed = request.POST.get("removed") != "no"
        routes.remove_route(request.member, row, at=moment.received_at, removed=removed)
        return reverse("projects:routes", args=[request.shop.key])

    return perform(request, form, act) or form_again(request, LIST, list_context(request, form))
