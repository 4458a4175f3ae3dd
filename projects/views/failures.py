"""What went wrong in a project, with its photo and the facts of its pour."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.actions import failures as acts
from projects.forms.bench import FailureForm
from projects.models import Failure, LogEntry, Pour, Project
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
    """A failure with its photo."""
    row = get_row(Project.objects.kept(), request, project)
    last = Pour.objects.of(request.shop).filter(block__project=row).order_by("-started_at", "-pk").first()
    form = FailureForm(
        request.POST or None, request.FILES or None, initial={"pour": last}, shop=request.shop, project=row
    )
    context = {
        "project": row,
        "form": form,
        "facts": acts.facts_of(last),
        "room": "projects",
        "inside": "failures",
    }
    if request.method == "GET":
        return render(request, "projects/failure_new.html", context)
    done = form.is_valid() and keep_failure(request, form, row)
    return done or form_again(request, "projects/failure_new.html", context)


def keep_failure(request, form, project):
    """Take the photo in and record the failure; None when something is wrong, and the form says what."""
    upload, picture = form.cleaned_data["photo"], None
    known = LogEntry.objects.of(request.shop).filter(key=key_of(request.POST)).exists()
    if upload and not known:
        try:
            picture = pictures.take_in(upload, request.member, at=timezone.now())
        except pictures.NotAPicture as problem:
            form.add_error("photo", str(problem))
            return None

    def act(key, moment):
        acts.record_failure(
            request.member, project, form.cleaned_data, key=key, moment=moment, picture=picture
        )
        return reverse("projects:failures", args=[request.shop.key, project.key])

    return perform(request, form, act)


@shop_view
@require_POST
def failure_remove(request, project, key):
    """Take a failure off the page, or bring it back."""
    row = get_row(Project.objects.kept(), request, project)
    failure = get_row(Failure.objects.filter(project=row), request, key)
    removed = request.POST.get("removed") == "yes"
    acts.remove_failure(request.member, failure, at=timezone.now(), removed=removed)
    return go_to(request, reverse("projects:failures", args=[request.shop.key, row.key]))
