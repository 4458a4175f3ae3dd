"""The dry fit: the map of the pieces, ticked off at the bench row by row, ring by ring or bar by bar."""

from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from materials.science.errors import OutOfRange
from projects.actions import dry_fit as acts
from projects.forms.dry_fit import MarkForm
from projects.models import PieceMark, Project
from projects.panel import laying
from projects.panel.design import in_the_shop, planned
from projects.panel.rows import kept_of
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE, EACH = "projects/dry_fit.html", 24


@shop_view
@require_http_methods(["GET", "POST"])
def dry_fit(request, project):
    """GET shows the map and its groups, or one group piece by piece; POST says how pieces lie."""
    row = get_row(Project.objects.kept().select_related("shop"), request, project)
    form = MarkForm(request.POST if request.method == "POST" else None, shop=request.shop)
    context = {"project": row, "form": form, "room": "projects", "inside": "cuts", **shown(request, row)}
    if request.method == "GET":
        return render(request, PAGE, context)

    def act(key, moment):
        state, numbers = form.cleaned_data["mark"]
        version = form.cleaned_data["version"]
        acts.mark(request.member, row, numbers, state, version=version, at=moment.happened_at)
        page = reverse("projects:dry-fit", args=[request.shop.key, row.key])
        where = {name: request.GET[name] for name in ("by", "group", "page") if name in request.GET}
        return f"{page}?{urlencode(where)}" if where else page

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, context)


def shown(request, project):
    """The map of the design in force, how far it is laid, and its groups."""
    kept = kept_of(project)
    if kept is None:
        return {"kept": None}
    design, version = kept.design, kept.version
    try:
        planned(design)
    except OutOfRange as problem:
        return {"kept": kept, "reason": in_the_shop(problem)}
    marks = acts.marks_of(project, version)
    way = request.GET.get("by", "rows")
    if way not in laying.WAYS:
        raise Http404("No such page")
    groups = laying.groups_by(design, way, marks)
    return {
        "kept": kept,
        "version": version,
        "marks": marks,
        "laid": len(marks),
        "pieces": len(kept.panel.number),
        "odd": odd_of(marks),
        "stale": PieceMark.objects.of_other_versions(project, version).count(),
        "ways": laying.ways_of(design),
        "way": way,
        **one_or_all(request, design, groups, marks),
    }


def one_or_all(request, design, groups, marks):
    """One group piece by piece where the address names it, else a page of all."""
    asked = request.GET.get("group", "")
    if not asked:
        page = Paginator(groups, EACH).get_page(request.GET.get("page"))
        return {"page": page, "map": laying.map_of(design, frozenset(marks))}
    if not asked.isdecimal() or not 1 <= int(asked) <= len(groups):
        raise Http404("No such page")
    group = groups[int(asked) - 1]
    return {
        "group": group,
        "group_pieces": laying.pieces_of(design, group.numbers, marks),
        "map": laying.map_of(design, frozenset(marks), group.numbers),
    }


def odd_of(marks):
    """Pieces that lie, but not as the map has them: (number, word) each."""
    words = dict(PieceMark.State.choices)
    return [
        (number, words[state]) for number, state in sorted(marks.items()) if state != PieceMark.State.LAID
    ]
