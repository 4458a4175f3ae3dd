"""The list of projects, a new one, and its steps."""

from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from materials.models import Resin
from projects.actions import plan
from projects.forms.projects import ProjectForm
from projects.models import Block, Project
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE = 20


@shop_view
@require_GET
def project_list(request):
    """All projects, the newest on top."""
    blocks = Prefetch("blocks", Block.objects.select_related("resin", "species").order_by("position"))
    projects = Project.objects.of(request.shop).newest_first().prefetch_related(blocks)
    page = Paginator(projects, PAGE).get_page(request.GET.get("page"))
    return render(request, "projects/project_list.html", {"page": page, "room": "projects"})


@shop_view
@require_http_methods(["GET", "POST"])
def project_new(request):
    """A title makes a project; its block starts from good guesses and the newest resin."""
    form = ProjectForm(request.POST or None, shop=request.shop)
    context = {"form": form, "room": "projects"}
    if request.method == "GET":
        return render(request, "projects/project_new.html", context)

    def act(key, moment):
        resin = Resin.objects.of(request.shop).filter(removed_at=None).order_by("-created_at", "-pk").first()
        project = plan.begin_project(
            request.member, title=form.cleaned_data["title"].strip(), due_on=form.cleaned_data["due_on"],
            resin=resin, at=moment.received_at,
        )
        return reverse("projects:block", args=[request.shop.key, project.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/project_new.html", context)


@shop_view
@require_GET
def project(request, project):
    """A project opens at its block."""
    row = get_row(Project.objects.kept(), request, project)
    return redirect("projects:block", shop=request.shop.key, project=row.key)


@shop_view
@require_GET
def steps(request, project):
    """What has to be done, and where it stands."""
    row = get_row(Project.objects.kept(), request, project)
    rows = row.steps.select_related("block", "block__resin").prefetch_related("checks").order_by("position", "pk")
    context = {"project": row, "steps": rows, "room": "projects", "inside": "steps"}
    return render(request, "projects/steps.html", context)
