"""The list of projects, and a new one."""

from django.core.paginator import Paginator
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from materials.models import Resin
from projects import standing
from projects.actions import plan
from projects.forms.projects import ProjectForm
from projects.models import Block, Project, Step
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE = 20
CHOICES = (
    (Project.AT_WORK, "at work"),
    (Project.State.IDEA, "ideas"),
    (Project.State.FINISHED, "finished"),
    (Project.State.SET_ASIDE, "set aside"),
    ("all", "all"),
)


@shop_view
@require_safe
def project_list(request):
    """Projects of one choice, what is wanted soonest on top; or those that a search finds."""
    text = request.GET.get("search", "").strip()[:100]
    which = request.GET.get("which", "")
    which = which if which in dict(CHOICES) else ("all" if text else Project.AT_WORK)
    kept = Project.objects.of(request.shop).kept()
    found = kept.among(which).saying(text)
    found = found.wanted_first() if which == Project.AT_WORK else found.newest_first()
    page = Paginator(found.select_related("cover"), PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": rows_of(request.shop, list(page.object_list)),
        "which": which,
        "search": text,
        "choices": CHOICES,
        "any": bool(page.object_list) or kept.exists(),
        "removed": Project.objects.of(request.shop).removed_last(),
        "room": "projects",
    }
    return render(request, "projects/project_list.html", context)


def rows_of(shop, projects):
    """Each project with its blocks and the step where it stands, in as many questions as for one."""
    now = timezone.now()
    rows = Block.objects.filter(project__in=projects).select_related("resin", "species").order_by("position")
    blocks = {}
    for block in rows:
        blocks.setdefault(block.project_id, []).append(block)
    steps = {step.project_id: step for step in Step.objects.of(shop).where_each_stands(projects)}
    return [
        {
            "project": project,
            "blocks": blocks.get(project.pk, []),
            "row": project.pk in steps and standing.step_row(steps[project.pk], now, shop.tz),
        }
        for project in projects
    ]


@shop_view
@require_http_methods(["GET", "POST"])
def project_new(request):
    """A title makes a project; its block starts from good guesses and the newest resin."""
    form = ProjectForm(request.POST or None, initial={"purpose": Project.Purpose.PIECE}, shop=request.shop)
    context = {"form": form, "room": "projects"}
    if request.method == "GET":
        return render(request, "projects/project_new.html", context)

    def act(key, moment):
        resin = Resin.objects.of(request.shop).filter(removed_at=None).order_by("-created_at", "-pk").first()
        project = plan.begin_project(
            request.member,
            title=form.cleaned_data["title"].strip(),
            due_on=form.cleaned_data["due_on"],
            resin=resin,
            purpose=form.cleaned_data["purpose"] or Project.Purpose.PIECE,
            route=form.cleaned_data.get("route"),
            at=moment.received_at,
        )
        return reverse("projects:block", args=[request.shop.key, project.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/project_new.html", context)


@shop_view
@require_safe
def project(request, project):
    """A project opens at its block."""
    row = get_row(Project.objects.kept(), request, project)
    return redirect("projects:block", shop=request.shop.key, project=row.key)
