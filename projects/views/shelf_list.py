"""The Shelf list of a project: what it wants, what the shelf has for it, what is missing."""

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from materials import buying
from materials.models import Supply
from projects.actions import needs
from projects.forms.shelf_list import WriteInForm
from projects.models import Need, Project
from projects.panel import casting
from projects.wants import want_of
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.forms.people import DeedForm
from workshop.views.answers import form_again

PAGE = "projects/shelf_list.html"


def page_of(request, project, form):
    """What the page shows; `form` carries what was typed, or what an act refused."""
    today, live = timezone.localdate(), project.state in Project.LIVE
    rows = Need.objects.of(request.shop).filter(project=project)
    if live:
        served = [row for row in buying.serve(request.shop, today) if row.want.project_key == project.key]
    else:
        kept = rows.filter(removed_at=None, thousandths__gt=0).with_names().with_plan().in_order()
        served = [buying.Served(want_of(need, request.shop), 0.0, ()) for need in kept]
    by_hand = rows.filter(source=Need.Source.HAND).select_related("supply").order_by("pk")
    return {
        "project": project,
        "live": live,
        "served": served,
        "missing": sum(1 for row in served if row.missing) if live else 0,
        "by_hand": {need.key for need in by_hand if not need.removed_at},
        "struck": [need for need in by_hand if need.removed_at],
        "more_blocks": casting.more_blocks(project),
        "any_supply": Supply.objects.of(request.shop).kept().exists(),
        "form": form,
        "today": today,
        "room": "projects",
        "inside": "shelf",
    }


@shop_view
@require_http_methods(["GET", "POST"])
def shelf_list(request, project):
    """What the project wants of the shelf; POST writes something in."""
    row = get_row(Project.objects.kept(), request, project)
    form = WriteInForm(request.POST or None, shop=request.shop, project=row)
    if request.method == "GET":
        return render(request, PAGE, page_of(request, row, form))

    def act(key, moment):
        needs.write_in(request.member, row, form.cleaned_data, at=moment.received_at)
        return reverse("projects:shelf-list", args=[request.shop.key, row.key])

    done = perform(request, form, act)
    return done or form_again(request, PAGE, page_of(request, row, form))


@shop_view
@require_POST
def need_strike(request, project, key):
    """A line that was written in: struck off, or back on the list."""
    row = get_row(Project.objects.kept(), request, project)
    by_hand = Need.objects.of(request.shop).filter(project=row, source=Need.Source.HAND)
    need = by_hand.filter(key=key).first()
    if need is None:
        raise Http404("No such page")
    form = DeedForm(request.POST, shop=request.shop)

    def act(act_key, moment):
        removed = request.POST.get("removed") != "no"
        needs.strike(request.member, need, removed=removed, at=moment.received_at)
        return reverse("projects:shelf-list", args=[request.shop.key, row.key])

    done = perform(request, form, act)
    if done:
        return done
    blank = WriteInForm(shop=request.shop, project=row)
    return form_again(request, PAGE, page_of(request, row, blank) | {"refused": form})
