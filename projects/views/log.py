"""The log: one river of a project and one of the shop, and what is written into it by hand."""

from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.actions import bench as acts
from projects.actions import take_back
from projects.forms.bench import NoteForm, PhotoForm
from projects.forms.steps import TakeBackForm
from projects.models import LogEntry, Project
from projects.models.log import GROUPS
from projects.views.bench import keep_photo
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.models import Member
from workshop.views.answers import form_again, go_to

PAGE = 30
TO_CHOOSE = 40  # projects in the list of choices; an older one is reached from its own log


def found_entries(request, entries):
    """The part of the log that was asked for, a page of it, and what was asked."""
    members = list(Member.objects.of(request.shop).order_by("left_at", "name", "pk"))
    asked = {name: request.GET.get(name, "") for name in ("who", "kind", "q")}
    person = next((member for member in members if str(member.key) == asked["who"]), None)
    found = entries.of_group(asked["kind"]).saying(asked["q"])
    if person:
        found = found.filter(member=person)
    return {
        "page": Paginator(found.river().with_readings(), PAGE).get_page(request.GET.get("page")),
        "members": members,
        "person": person,
        "groups": [(name, word) for name, word, _ in GROUPS],
        "asked": asked,
        "narrowed": any(asked.values()),
    }


def log_context(request, project, *, note=None, photo=None):
    """The river of a project and the two forms beside it; what was taken out last can be brought back."""
    entries = LogEntry.objects.of(request.shop).filter(project=project)
    return {
        "project": project,
        **found_entries(request, entries),
        "removed": entries.taken_out().order_by("-removed_at").first(),
        "note_form": note or NoteForm(shop=request.shop, prefix="note"),
        "photo_form": photo or PhotoForm(shop=request.shop),
        "room": "projects",
        "inside": "log",
    }


@shop_view
@require_safe
def log(request, project):
    """All that happened in a project, newest first; all of it, or what was asked for."""
    row = get_row(Project.objects.kept(), request, project)
    return render(request, "projects/log.html", log_context(request, row))


@shop_view
@require_safe
def river(request):
    """All that happened in the shop, newest first; all of it, or what was asked for."""
    rows = Project.objects.of(request.shop).newest_first()
    code = request.GET.get("project", "")
    chosen = rows.filter(code=code).first() if code else None
    projects = list(rows[:TO_CHOOSE])
    if chosen and chosen not in projects:
        projects.append(chosen)
    entries = LogEntry.objects.of(request.shop)
    if chosen:
        entries = entries.filter(project=chosen)
    found = found_entries(request, entries)
    context = {
        **found,
        "projects": projects,
        "chosen": chosen,
        "narrowed": found["narrowed"] or chosen is not None,
        "room": "now",
    }
    return render(request, "projects/river.html", context)


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


@shop_view
@require_POST
def entry_remove(request, key):
    """Take a note or a photo out of the log, or bring it back."""
    rows = LogEntry.objects.filter(kind__in=LogEntry.REMOVABLE).select_related("project")
    entry = get_row(rows, request, key)
    removed = request.POST.get("removed") == "yes"
    acts.remove_entry(request.member, entry, at=timezone.now(), removed=removed)
    if entry.project is None:
        return go_to(request, reverse("projects:river", args=[request.shop.key]))
    return go_to(request, reverse("projects:log", args=[request.shop.key, entry.project.key]))


@shop_view
@require_http_methods(["GET", "POST"])
def entry_back(request, key):
    """Take an act back that was written down by mistake: asks why first."""
    rows = LogEntry.objects.filter(kind__in=LogEntry.TAKEABLE)
    if request.method == "GET":
        rows = rows.kept()  # a second press still finds what its first one took back
    entry = get_row(rows.select_related("project", "step__shop", "member"), request, key)
    form = TakeBackForm(request.POST or None, shop=request.shop)
    back = back_of(entry)
    context = {"entry": entry, "form": form, "back": back, "clocks": entry.timers.running(), "room": "now"}
    if request.method == "GET":
        return render(request, "projects/entry_back.html", context)

    def act(act_key, moment):
        take_back.take_back(request.member, entry, form.sentence(), key=act_key, moment=moment)
        return back

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/entry_back.html", context)


def back_of(entry):
    """Where one goes on after an act was taken back: its step, its project's log, or the shop's."""
    if entry.step_id and entry.step.removed_at is None:
        return acts.bench_url(entry.step)
    if entry.project:
        return reverse("projects:log", args=[entry.shop.key, entry.project.key])
    return reverse("projects:river", args=[entry.shop.key])
