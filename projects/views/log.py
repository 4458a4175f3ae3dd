"""The log of a project: one river, and a line or a photo for it."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from projects.actions import bench as acts
from projects.forms.bench import NoteForm, PhotoForm
from projects.models import LogEntry, Project
from projects.views.bench import keep_photo
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE = 30


def log_context(request, project, *, note=None, photo=None):
    """The river and the two forms beside it."""
    entries = LogEntry.objects.of(request.shop).filter(project=project).river()
    return {
        "project": project, "page": Paginator(entries, PAGE).get_page(request.GET.get("page")),
        "note_form": note or NoteForm(shop=request.shop, prefix="note"),
        "photo_form": photo or PhotoForm(shop=request.shop),
        "room": "projects", "inside": "log",
    }


@shop_view
@require_GET
def log(request, project):
    """All that happened in a project, newest first."""
    row = get_row(Project.objects.kept(), request, project)
    return render(request, "projects/log.html", log_context(request, row))


@shop_view
@require_POST
def note(request, project):
    """A line for the log."""
    row = get_row(Project.objects.kept(), request, project)
    form = NoteForm(request.POST, shop=request.shop, prefix="note")

    def act(key, moment):
        acts.add_note(request.member, key=key, moment=moment, project=row, text=form.cleaned_data["text"])
        return reverse("projects:log", args=[request.shop.key, row.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/log.html", log_context(request, row, note=form))


@shop_view
@require_POST
def photo(request, project):
    """A photo for the log."""
    row = get_row(Project.objects.kept(), request, project)
    form = PhotoForm(request.POST, request.FILES, shop=request.shop)
    back = reverse("projects:log", args=[request.shop.key, row.key])
    done = form.is_valid() and keep_photo(request, form, project=row, step=None, back=back)
    return done or form_again(request, "projects/log.html", log_context(request, row, photo=form))
