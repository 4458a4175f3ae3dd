"""A reading, from a step, from a project, or from the shop: first its kind, then its value."""

from functools import partial

from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from materials.models import Reading
from projects import against
from projects.actions import readings as acts
from projects.actions.bench import bench_url
from projects.forms.measures import ReadingForm
from projects.models import Project, Step
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.units import shown_unit
from workshop.views.answers import form_again


def reading(request, back, *, title, project=None, step=None):
    """The kinds to choose from; once one is chosen, its value. Done, it goes `back`.

    As one types several, a fragment says how they are understood.
    """
    kind = request.GET.get("kind", "")
    context = {"back": back, "title": title, "kinds": Reading.Kind.choices, "room": "bench"}
    if kind not in Reading.Kind.values:
        answer = render if request.method == "GET" else form_again
        return answer(request, "projects/reading_kinds.html", context)
    typed = request.GET if request.htmx and "value" in request.GET else None
    form = ReadingForm(request.POST or typed, shop=request.shop, kind=kind)
    context |= {
        "form": form,
        "kind": kind,
        "word": Reading.Kind(kind).label,
        "bare_unit": unit_of(kind, request.shop),
        "understood": form.echoes().get("value", "") if form.is_bound else "",
    }
    if typed and request.method == "GET":
        return render(request, "_said.html", {"field": form["value"], "echo": context["understood"]})
    if request.method == "GET":
        return render(request, "projects/reading.html", context)

    def act(key, moment):
        values, moment = form.stands(partial(against.of_reading, request.shop, step, project), moment)
        acts.take_reading(request.member, values, key=key, moment=moment, project=project, step=step)
        return back

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/reading.html", context)


def unit_of(kind, shop):
    """The unit in which a bare number is read."""
    quantity = acts.SAYS.get(Reading.Kind(kind))
    return shown_unit(quantity, shop.units) if quantity else Reading.UNITS[Reading.Kind(kind)]


@shop_view
@require_http_methods(["GET", "POST"])
def at_step(request, key):
    """A reading at a step."""
    rows = Step.objects.kept().select_related("shop", "project")
    step = get_row(rows, request, key)
    return reading(request, bench_url(step), title=step.title, step=step)


@shop_view
@require_http_methods(["GET", "POST"])
def of_project(request, project):
    """A reading in a project's log."""
    row = get_row(Project.objects.kept(), request, project)
    back = reverse("projects:log", args=[request.shop.key, row.key])
    return reading(request, back, title=str(row), project=row)


@shop_view
@require_http_methods(["GET", "POST"])
def of_shop(request):
    """A reading of the shop, for no project."""
    return reading(request, reverse("projects:now", args=[request.shop.key]), title=request.shop.name)
