"""What ties the steps of a route together, steps in parts, and what a design asks for."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST

from materials.science.errors import OutOfRange
from projects import gluing
from projects.actions import links, offered, parts, route
from projects.forms.route import LinkForm, PartsForm, SplitForm, window_of
from projects.models import StepLink
from projects.panel.design import NotMade
from projects.panel.rows import kept_of
from projects.views.route import (
    change_url,
    changed,
    project_row,
    step_of,
    steps_url,
    waits_by_step,
)
from workshop.access import shop_view
from workshop.acting import key_of, perform
from workshop.models import Receipt
from workshop.views.answers import form_again

SPLIT, WAITS, GLUE = "projects/step_split.html", "projects/step_link.html", "projects/glue_parts.html"
CHANGE = "projects/step_link_change.html"


def of_step(request, project, step, form, **more):
    """What a page about one step shows."""
    return {"project": project, "step": step, "form": form, "room": "projects", "inside": "steps", **more}


@shop_view
@require_http_methods(["GET", "POST"])
def step_split(request, project, key):
    """A step in parts, each with its share of the time."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    form = SplitForm(request.POST or None, initial={"parts": 2}, shop=request.shop)
    context = of_step(request, row, step, form)
    if request.method == "GET":
        return render(request, SPLIT, context)

    def act(act_key, moment):
        count = int(form.cleaned_data["parts"])
        parts.split_step(request.member, step, count, at=moment.received_at)
        return steps_url(row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, SPLIT, context)


@shop_view
@require_POST
def step_join(request, project, key):
    """A step and the one behind it as one."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    return changed(request, row, lambda at: parts.join_steps(request.member, step, at=at))


@shop_view
@require_http_methods(["GET", "POST"])
def step_link(request, project, key):
    """What a step waits for, and between which hours it may begin."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    places = route.in_place(row)
    number = places.index(step)
    initial = {"before": places[number - 1] if number else None, "law": StepLink.Law.WALL}
    form = LinkForm(request.POST or None, initial=initial, step=step, shop=request.shop)
    context = of_step(request, row, step, form, waits=waits_by_step(places).get(step.pk, ()))

    def keep(before, window, at):
        links.link(request.member, before, step, window, at=at)

    return kept_wait(request, WAITS, context, keep)


def kept_wait(request, template, context, keep):
    """The page with the form of a wait; sent and in order, `keep(before, window, at)` keeps it."""
    form = context["form"]
    if request.method == "GET":
        return render(request, template, context)

    def act(act_key, moment):
        keep(form.cleaned_data["before"], form.window(), moment.received_at)
        return change_url(context["step"])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, template, context)


@shop_view
@require_http_methods(["GET", "POST"])
def step_link_change(request, project, key, item):
    """Another window for what a step waits for, or another step; it can be taken back."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    found = link_row(request, step, item)
    if found is None:
        return changed(request, row, lambda at: None, back=change_url(step))
    form = LinkForm(
        request.POST or None, initial=window_of(found), step=step, shop=request.shop, row=[found, step]
    )
    context = of_step(request, row, step, form, link=found)

    def keep(before, window, at):
        links.change_link(request.member, found, before, window, at=at)

    return kept_wait(request, CHANGE, context, keep)


def link_row(request, step, key):
    """A link of a step; None where it is gone, and the act that asks for it was answered before."""
    rows = StepLink.objects.of(request.shop).filter(after=step, key=key)
    found = rows.select_related("before", "after__project").first()
    if found is None and not Receipt.objects.of(request.shop).filter(key=key_of(request.POST)).exists():
        raise Http404("No such page")
    return found


@shop_view
@require_POST
def step_unlink(request, project, key, item):
    """A step waits for another no more; it can be taken back."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    found = link_row(request, step, item)
    return changed(
        request, row, lambda at: found and links.unlink(request.member, found, at=at), back=change_url(step)
    )


@shop_view
@require_POST
def step_offer(request, project, code):
    """Steps that the design asks for, put in."""
    row = project_row(request, project)

    def act(at):
        added = offered.accept(request.member, row, code, at=at)
        messages.success(request, f"{len(added)} step{'' if len(added) == 1 else 's'} more in the route.")

    return changed(request, row, act)


@shop_view
@require_http_methods(["GET", "POST"])
def glue_parts(request, project):
    """The glue-up in parts, each with its own cup, open time and rest."""
    row = project_row(request, project)
    design, why = design_of(row)
    pace = gluing.pace_of(request.shop)
    open_min = gluing.open_minutes(request.shop)
    form = PartsForm(
        request.POST or None, initial={"way": "rows", "open_min": f"{open_min:g} min"}, shop=request.shop,
        ways=[(way, word) for way, (word, _) in gluing.groups_of(design).items()] if design else (),
    )  # fmt: skip
    if design and form.is_bound and form.is_valid():
        open_min = form.cleaned_data["open_min"]
    context = {
        "project": row,
        "form": form,
        "why": why,
        "pace": pace,
        "seconds": round(60 / pace.per_minute),
        "open_min": open_min,
        "proposals": gluing.proposals(design, pace, open_min) if design else (),
        "room": "projects",
        "inside": "steps",
    }
    if request.method == "GET" or not design:
        return render(request, GLUE, context, status=200 if request.method == "GET" else 422)

    def act(key, moment):
        chosen = next(one for one in context["proposals"] if one.way == form.cleaned_data["way"])
        offered.glue_in_parts(request.member, row, chosen.parts, at=moment.received_at)
        return steps_url(row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, GLUE, context)


def design_of(project):
    """The design of a project that has pieces to glue; None with the reason where there is none."""
    try:
        kept = kept_of(project)
        if kept is None:
            return None, "No panel is designed yet."
        return (kept.design, "") if len(kept.panel.number) else (None, "This design has no pieces.")
    except NotMade as problem:
        return None, str(problem.problem)
    except OutOfRange as problem:
        return None, str(problem)
