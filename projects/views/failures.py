"""What went wrong in a project: its photo, the facts of its pour beside the sheet's, and why."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects import advice, compared
from projects.actions import failures as acts
from projects.actions import lessons
from projects.forms.failures import CauseForm, FailureForm
from projects.models import Cause, Failure, LogEntry, Pour, Project
from projects.trouble import TROUBLES, pointed_to
from workshop import pictures
from workshop.access import get_row, shop_view
from workshop.acting import key_of, perform
from workshop.views.answers import form_again, go_to

PAGE = 10


@shop_view
@require_safe
def failures(request, project):
    """The failures of a project, newest first; the one taken off last can be brought back."""
    row = get_row(Project.objects.kept(), request, project)
    rows = Failure.objects.of(request.shop).filter(project=row)
    page = Paginator(rows.newest_first(), PAGE).get_page(request.GET.get("page"))
    removed = rows.exclude(removed_at=None).order_by("-removed_at").first()
    context = {"project": row, "page": page, "removed": removed, "room": "projects", "inside": "failures"}
    return render(request, "projects/failures.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def failure_new(request, project):
    """A failure with its photo; it is shown then, so that one can say why."""
    row = get_row(Project.objects.kept(), request, project)
    pours = Pour.objects.of(request.shop).filter(block__project=row).select_related("block", "entry__step")
    last = pours.order_by("-started_at", "-pk").first()
    form = FailureForm(
        request.POST or None, request.FILES or None, initial={"pour": last}, shop=request.shop, project=row
    )
    context = {
        "project": row,
        "form": form,
        "facts": with_held(acts.facts_of(last), request.shop.tz),
        "room": "projects",
        "inside": "failures",
    }
    if request.method == "GET":
        return render(request, "projects/failure_new.html", context)

    def keep(key, moment, picture):
        kept = acts.record_failure(
            request.member, row, form.cleaned_data, key=key, moment=moment, picture=picture
        )
        return page_of(kept, row)

    done = form.is_valid() and with_photo(request, form, keep)
    return done or form_again(request, "projects/failure_new.html", context)


def with_photo(request, form, keep):
    """Take the photo in and keep what was said; None when something is wrong, and the form says what.

    The photo is decoded before the act's transaction, so that the database is not held meanwhile;
    an act that is known already is answered without decoding again.
    """
    upload, picture = form.cleaned_data["photo"], None
    known = LogEntry.objects.of(request.shop).filter(key=key_of(request.POST)).exists()
    if upload and not known:
        try:
            picture = pictures.take_in(upload, request.member, at=timezone.now())
        except pictures.NotAPicture as problem:
            form.add_error("photo", str(problem))
            return None
    return perform(request, form, lambda key, moment: keep(key, moment, picture))


def page_of(failure, project):
    """Where a failure is told."""
    return reverse("projects:failure", args=[failure.shop.key, project.key, failure.key])


def failure_row(request, project, key):
    """The project and one of its failures that stands on a page."""
    row = get_row(Project.objects.kept(), request, project)
    rows = Failure.objects.kept().filter(project=row)
    return row, get_row(rows.select_related("shop", "pour", "entry", "entry__step"), request, key)


def with_held(facts, tz):
    """Facts with the conditions that held, for the pour and for each of its cups."""
    if not facts:
        return {}
    cups = [{**cup, "held": advice.conditions_of({**facts, "cups": [cup]}, tz)} for cup in facts["cups"]]
    return {**facts, "cups": cups, "held": advice.conditions_of(facts, tz)}


@shop_view
@require_safe
def failure(request, project, key):
    """One failure: what was seen, what is known of its pour, why, and what is checked since."""
    row = get_row(Project.objects.kept(), request, project)
    kept = get_row(Failure.objects.kept().filter(project=row).told(), request, key)
    facts = with_held(kept.gathered, request.shop.tz)
    held = [name for name, yes in facts.get("held", {}).items() if yes]
    pours = compared.seen(request.shop) if held else []
    context = {
        "project": row,
        "failure": kept,
        "facts": facts,
        "in_common": [
            found
            for found in compared.in_common(pours, kept.kind, request.shop.units)
            if found.condition in held
        ],
        "held": [compared.words_of(name, request.shop.units) for name in held],
        "causes": kept.causes.all(),
        "lessons": kept.lessons.all(),
        "trouble": TROUBLES[kept.kind],
        "room": "projects",
        "inside": "failures",
    }
    return render(request, "projects/failure.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def failure_change(request, project, key):
    """A failure said better, or completed with another photo."""
    row, kept = failure_row(request, project, key)
    initial = {
        "kind": kept.kind,
        "where": kept.where,
        "severity": kept.severity,
        "pour": kept.pour,
        "step": kept.entry.step,
        "done": kept.done,
    }
    form = FailureForm(
        request.POST or None, request.FILES or None, initial=initial, shop=request.shop, project=row
    )
    form.fields["photo"].label = "One more photo"
    context = {"project": row, "failure": kept, "form": form, "room": "projects", "inside": "failures"}
    if request.method == "GET":
        return render(request, "projects/failure_change.html", context)

    def keep(key, moment, picture):
        acts.change_failure(request.member, kept, form.cleaned_data, at=moment.received_at, picture=picture)
        return page_of(kept, row)

    done = form.is_valid() and with_photo(request, form, keep)
    return done or form_again(request, "projects/failure_change.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def failure_cause(request, project, key):
    """Why it happened; with `?code=` one that was named before, to say more or otherwise of it."""
    row, kept = failure_row(request, project, key)
    facts = with_held(kept.gathered, request.shop.tz)
    held = [name for name, yes in facts.get("held", {}).items() if yes]
    form = CauseForm(
        request.POST or None,
        initial=initial_cause(kept, request.GET.get("code", "")),
        shop=request.shop,
        kind=kept.kind,
        pointed=pointed_to(facts),
    )
    context = {
        "project": row,
        "failure": kept,
        "form": form,
        "facts": facts,
        "held": [compared.words_of(name, request.shop.units) for name in held],
        "room": "projects",
        "inside": "failures",
    }
    if request.method == "GET":
        return render(request, "projects/failure_cause.html", context)

    def act(key, moment):
        lessons.suspect(request.member, kept, **form.cleaned_data, at=moment.received_at)
        return page_of(kept, row)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/failure_cause.html", context)


def initial_cause(failure, code):
    """A cause that was named before as its form shows it; a suspicion where there is none."""
    found = failure.causes.filter(code=code).first() if code else None
    if found:
        return {"code": found.code, "status": found.status, "evidence": found.evidence}
    return {"status": Cause.Status.SUSPECTED}


@shop_view
@require_POST
def failure_remove(request, project, key):
    """Take a failure off the page, or bring it back."""
    row = get_row(Project.objects.kept(), request, project)
    kept = get_row(Failure.objects.filter(project=row), request, key)
    removed = request.POST.get("removed") == "yes"
    acts.remove_failure(request.member, kept, at=timezone.now(), removed=removed)
    return go_to(request, reverse("projects:failures", args=[request.shop.key, row.key]))
