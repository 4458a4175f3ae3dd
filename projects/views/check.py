"""The check before a mix: one page for a pour, a seal coat or a glue-up, live as one types."""

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from materials.fit import told as fit_told
from projects.actions import check as acts
from projects.check import asked, below, facts, picture, told
from projects.check.ahead import checking_step
from projects.forms.check import CheckForm, OverruleForm
from projects.models import Step
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE, FOUND = "projects/check.html", "projects/_check_found.html"


def checked_step(request, key):
    """A step before which a cup is mixed."""
    rows = Step.objects.filter(project__removed_at=None, kind__in=asked.CHECKED)
    wanted = ("shop", "project", "block__resin", "block__species", "block__project")
    return get_row(rows.select_related(*wanted), request, key)


@shop_view
@require_http_methods(["GET", "POST"])
def check(request, key):
    """GET shows the check with the last answers, or with those in the address; POST keeps it."""
    step = checked_step(request, key)
    last = asked.last_check(step)
    typed = request.POST if request.method == "POST" else request.GET if "shop_c" in request.GET else None
    at = timezone.now()
    first = asked.first_answers(step, last, at=at)
    form = CheckForm(typed, initial=first, shop=request.shop, coat=step.kind in asked.COATS)
    context = {**page_of(request, step, last, form), **found(step, form, first, at)}
    if request.method == "GET":
        return render(request, FOUND if request.htmx and typed else PAGE, context)

    def act(act_key, moment):
        acts.keep_check(
            request.member, step, context["answers"], context["checked"], key=act_key, moment=moment
        )
        return reverse("projects:check", args=[request.shop.key, step.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, context)


def page_of(request, step, last, form):
    """What the page shows beside its findings."""
    return {
        "step": step,
        "last": last,
        "form": form,
        "over_form": None,
        "coat": asked.COATS.get(step.kind, ""),
        "before": checking_step(step, list(step.project.steps.kept().in_order())),
        "echoes": form.echoes() if form.is_bound and form.is_valid() else {},
        "room": "bench",
    }


def found(step, form, first, at):
    """The findings for what is typed, or for the first answers; none while a figure is wrong."""
    if form.is_bound and not form.is_valid():
        return {"rows": [], "wrong": True}
    answers = {**first, **form.cleaned_data} if form.is_bound else first
    checked = facts.check(step, answers, at)
    rows = told.rows_of(
        checked.findings,
        step.shop.units,
        step.overrules.select_related("entry__member").order_by("created_at"),
    )
    warmth = picture.warmth_of(step, answers, checked, at)
    return {
        "answers": answers,
        "checked": checked,
        "rows": [row for row in rows if row.level != "clear" and row.code != told.MISSING],
        "missing": [row.remedy for row in rows if row.code == told.MISSING],
        "usual_c": facts.warm_c(step, answers) if answers["shop_c"] is None else None,
        "fine": [row for row in rows if row.level == "clear"],
        "verdict": told.verdict_of(rows),
        "drawings": picture.drawings(warmth, step.shop.units),
        "set_out": set_out(step, answers, checked, at.astimezone(step.shop.tz).date()),
        "at": at,
        "resin": answers["resin"],
        "flags": checked.outlook.flags,
        "rests_on": fit_told.test_says(checked.outlook.test, step.shop.units) if checked.outlook.test else "",
        "why_not": checked.outlook.why_not,
        "lies": below.says(checked.mould, checked.outlook, at, step.shop),
    }


def set_out(step, answers, checked, today):
    """What to set out the evening before: the bottles with their places, and the masses of each cup."""
    resin, facts_found = answers["resin"], checked.facts
    if resin is None:
        return None
    return {
        "bottles": [lot for part in "AB" for lot in asked.bottles(resin, part, today)[:1]],
        "cup_g": facts_found.cup_mass_g,
        "b_g": facts_found.part_b_per_cup_g,
        "a_g": facts_found.cup_mass_g and facts_found.cup_mass_g - facts_found.part_b_per_cup_g,
        "cups": answers["cups"] * answers["lifts"],
    }


@shop_view
@require_POST
def overrule(request, key, code):
    """A stop overruled with a reason, from the row that shows it."""
    step = checked_step(request, key)
    if code not in told.NAMES:
        raise Http404("No such page")
    form = OverruleForm({**request.POST.dict(), "code": code}, shop=request.shop)

    def act(act_key, moment):
        acts.overrule(request.member, step, code, form.cleaned_data["reason"], key=act_key, moment=moment)
        return reverse("projects:check", args=[request.shop.key, step.key])

    done = form.is_valid() and perform(request, form, act)
    if done:
        return done
    last = asked.last_check(step)
    at = timezone.now()
    first = asked.first_answers(step, last, at=at)
    plain = CheckForm(initial=first, shop=request.shop, coat=step.kind in asked.COATS)
    context = {**page_of(request, step, last, plain), **found(step, plain, first, at)}
    return form_again(request, PAGE, {**context, "over_form": form, "over_code": code})
