"""The Steps page: a project's route to read, to change, and to lay out in time."""

from itertools import groupby

from django.contrib import messages
from django.db.models import Count
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects import offers, own_times, standing
from projects.actions import dates, route
from projects.forms.steps import LineForm, StepForm
from projects.links import waits_of
from projects.models import CheckItem, Project, Step
from projects.standing import WaitLine
from workshop.access import get_row, shop_view
from workshop.acting import key_of, perform
from workshop.forms.quantities import ShopForm
from workshop.models import Event, Receipt
from workshop.templatetags.figures import hours
from workshop.views.answers import form_again

PAGE, CHANGE = "projects/steps.html", "projects/step_change.html"


def project_row(request, key):
    """A project of this shop."""
    return get_row(Project.objects.kept(), request, key)


def step_of(request, project, key):
    """A step of a project's route, as it stands."""
    rows = project.steps.kept().select_related("project", "block", "machine", "assignee")
    step = rows.filter(key=key).first()
    if step is None:
        raise Http404("No such page")
    return step


def steps_url(project):
    """The page of a project's route."""
    return reverse("projects:steps", args=[project.shop.key, project.key])


@shop_view
@require_safe
def steps(request, project):
    """What has to be done, where it stands, and what is next."""
    row = project_row(request, project)
    return render(request, PAGE, steps_context(request, row))


def steps_context(request, project, form=None):
    """The route in two parts: what is over, and what is ahead, block by block."""
    now, tz = timezone.now(), request.shop.tz
    rows = project.steps.kept().select_related("block", "block__resin", "assignee", "machine")
    found = list(rows.annotate(to_check=Count("checks")).in_order())
    on = standing.next_of(found)
    waits = waits_by_step(found)
    lines = [standing.step_row(step, now, tz, is_next=step is on) for step in found]
    for line in lines:
        line.step.waits = waits.get(line.step.pk, ())
    over = (Step.State.DONE, Step.State.SKIPPED)
    ahead = [line for line in lines if line.step.state not in over]
    return {
        "project": project,
        "over": [line for line in lines if line.step.state in over],
        "ahead": ahead,
        "groups": by_block(ahead),
        "ends": standing.ends_of(project, found),
        "change": route.last_change(project),
        "offers": offers.offers_of(project, found),
        "in_parts": offers.glues_in_parts(project, found),
        "laid_out": dates.last_dates(request.shop),
        "form": form,
        "room": "projects",
        "inside": "steps",
    }


def by_block(lines):
    """Steps ahead as (heading, lines, whether it is open), block by block in the order of the route.

    Steps of no block stand before, between or after those of blocks. Of one block alone nothing is folded.
    """
    runs = [(block, list(own)) for block, own in groupby(lines, lambda line: line.step.block)]
    letters = [block and block.letter for block, _ in runs]
    if len(set(letters) - {None}) < 2:
        return [("", lines, True)] if lines else []
    return [
        (heading_of(letters, place), own, any(line.is_next for line in own))
        for place, (_, own) in enumerate(runs)
    ]


def heading_of(letters, place):
    """What steps are headed with: their block, or what they stand before, between or after."""
    letter = letters[place]
    if letter:
        return f"Block {letter}, further steps" if letter in letters[:place] else f"Block {letter}"
    if not any(letters[place:]):
        return "The panel"
    return "Between the blocks" if any(letters[:place]) else "Before the blocks"


def waits_by_step(steps):
    """The links that steps have of their own, with the words of each, by the pk of the step that waits."""
    found = {}
    for wait in waits_of(steps):
        if wait.link:
            found.setdefault(wait.after.pk, []).append(WaitLine(wait, wait.before.title))
    return found


def changed(request, project, act, *, back=None):
    """An act of the Steps page that asks nothing: done once, then the page again."""
    form = ShopForm(request.POST, shop=request.shop)

    def do(key, moment):
        act(moment.received_at)
        return back or steps_url(project)

    return perform(request, form, do) or form_again(request, PAGE, steps_context(request, project, form))


@shop_view
@require_http_methods(["GET", "POST"])
def step_new(request, project):
    """One more step, behind the one that the address names."""
    row = project_row(request, project)
    behind = request.GET.get("after", request.POST.get("after", ""))
    after = next((step for step in route.in_place(row) if str(step.key) == behind), None)
    initial = {"kind": Step.Kind.OTHER, "mode": Step.Mode.HANDS_ON, "minutes": "60 min", "people": 1}
    form = StepForm(request.POST or None, initial=initial, shop=request.shop)
    context = {"project": row, "form": form, "after": after, "room": "projects", "inside": "steps"}
    if request.method == "GET":
        return render(request, "projects/step_new.html", context)

    def act(key, moment):
        values = {**form.cleaned_data, "after": after}
        route.add_step(request.member, row, values, at=moment.received_at)
        return steps_url(row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/step_new.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def step_change(request, project, key):
    """A step's words, hours and hands, its place and its checklist."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    form = step_form(request, step, request.POST or None)
    if request.method == "GET":
        return render(request, CHANGE, change_context(request, row, step, form))

    def act(act_key, moment):
        route.change_step(request.member, step, form.cleaned_data, at=moment.received_at)
        return steps_url(row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, CHANGE, change_context(request, row, step, form))


def step_form(request, step, data=None):
    """The form of a step, filled with what it is."""
    names = ("title", "kind", "mode", "people", "machine", "assignee")
    initial = {name: getattr(step, name) for name in names}
    initial["minutes"] = hours(step.minutes).replace("\u00a0", " ")
    begun = step.state != Step.State.TO_DO
    return StepForm(data, initial=initial, shop=request.shop, row=step, begun=begun)


def change_context(request, project, step, form, line=None):
    """What the page of one step shows."""
    places = route.in_place(project)
    number = places.index(step)
    return {
        "project": project,
        "step": step,
        "form": form,
        "line_form": line or LineForm(shop=request.shop, prefix="line"),
        "checks": step.checks.all(),
        "own_time": own_times.of_step(step),
        "waits": waits_by_step(places).get(step.pk, ()),
        "joins": joins(places, number),
        "number": number + 1,
        "of": len(places),
        "before": places[number - 1] if number else None,
        "room": "projects",
        "inside": "steps",
    }


def joins(places, number):
    """The step behind one, if the two can become one; None else."""
    pair = places[number : number + 2]
    if len(pair) < 2 or any(step.state != Step.State.TO_DO for step in pair):
        return None
    return pair[1] if (pair[0].kind, pair[0].mode) == (pair[1].kind, pair[1].mode) else None


def change_url(step):
    """The page of one step."""
    return reverse("projects:step-change", args=[step.shop.key, step.project.key, step.key])


@shop_view
@require_POST
def step_move(request, project, key):
    """A step earlier or later by one place."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    places = -1 if request.POST.get("to") == "earlier" else 1
    return changed(
        request,
        row,
        lambda at: route.move_step(request.member, step, places, at=at),
        back=change_url(step),
    )


@shop_view
@require_POST
def own_time(request, project, key):
    """A step is planned with the time that the shop's log says."""
    row = project_row(request, project)
    step = step_of(request, row, key)

    def act(at):
        found = own_times.of_step(step)
        if found is not None:
            route.change_step(request.member, step, {"minutes": found.minutes}, at=at)

    return changed(request, row, act)


@shop_view
@require_POST
def step_remove(request, project, key):
    """A step out of the route; it can be taken back."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    return changed(request, row, lambda at: route.remove_step(request.member, step, at=at))


@shop_view
@require_POST
def step_undo(request, project):
    """The newest change of the route taken back."""
    row = project_row(request, project)
    return changed(request, row, lambda at: route.undo(request.member, row, at=at))


@shop_view
@require_POST
def line_add(request, project, key):
    """A line more on a step's checklist."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    form = LineForm(request.POST, shop=request.shop, prefix="line")

    def act(act_key, moment):
        route.add_check(request.member, step, form.cleaned_data["text"], at=moment.received_at)
        return change_url(step)

    done = form.is_valid() and perform(request, form, act)
    context = change_context(request, row, step, step_form(request, step), form)
    return done or form_again(request, CHANGE, context)


@shop_view
@require_POST
def line_remove(request, project, key, item):
    """A line off a step's checklist; it can be taken back."""
    row = project_row(request, project)
    step = step_of(request, row, key)
    line = (
        CheckItem.objects.of(request.shop).filter(step=step, key=item).select_related("step__project").first()
    )
    sent_before = Receipt.objects.of(request.shop).filter(key=key_of(request.POST)).exists()
    if line is None and not sent_before:
        raise Http404("No such page")
    return changed(
        request,
        row,
        lambda at: line and route.remove_check(request.member, line, at=at),
        back=change_url(step),
    )


@shop_view
@require_POST
def dates_lay_out(request, project):
    """First dates for all that the shop works on, from now."""
    row = project_row(request, project)

    def act(at):
        route.lay_out(request.member, at=at)
        messages.success(request, "All that is planned and under way has dates from now on.")

    return changed(request, row, act)


@shop_view
@require_POST
def dates_back(request, project, key):
    """The dates as they were before they were laid out."""
    row = project_row(request, project)
    event = get_row(Event.objects.all(), request, key)
    return changed(request, row, lambda at: dates.dates_back(request.member, event, at=at))
