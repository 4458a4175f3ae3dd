"""Job sheets: making one, and reading it again."""

from django.db.models import Max
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from projects import advice
from projects import sheets as papers
from projects.forms.bench import SheetForm
from projects.models import Pour, Project, Sheet
from projects.panel import casting
from projects.panel.rows import blocks_of
from workshop import paper
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

MOST = 20


@shop_view
@require_http_methods(["GET", "POST"])
def sheets(request, project):
    """The sheets of a project, which of them is current, and a new one."""
    row = get_row(Project.objects.kept(), request, project)
    blocks = blocks_of(row)
    block = blocks[0]
    form = SheetForm(request.POST or None, shop=request.shop, blocks=blocks)
    current = advice.design_hash(block)
    poured_at = Pour.objects.filter(block=block).aggregate(last=Max("started_at"))["last"]
    made = row.sheets.order_by("-number")[:MOST]
    context = {
        "project": row,
        "kept": block,  # not "block": inside a template's blocks that name is Django's own
        "form": form,
        "room": "projects",
        "inside": "sheet",
        "more_blocks": casting.more_blocks(row),
        "sheets": [(sheet, standing(sheet, current, poured_at)) for sheet in made],
    }
    if request.method == "GET":
        return render(request, "projects/sheets.html", context)

    def act(key, moment):
        papers.make_sheet(
            request.member,
            form.block(),
            key=key,
            moment=moment,
            paper_size=form.cleaned_data["paper"],
            origin=paper.address_for_codes(request),
        )
        return reverse("projects:sheets", args=[request.shop.key, row.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/sheets.html", context)


def standing(sheet, current, poured_at):
    """Whether a sheet still holds: its state and the word for it."""
    if sheet.hash != current:
        return "caution", "older than the block"
    if poured_at and sheet.made_at < poured_at:
        return "caution", "made before the last pour"
    return "clear", "current"


@shop_view
@require_safe
def sheet_pdf(request, project, number):
    """A sheet as it was made."""
    row = get_row(Project.objects.kept(), request, project)
    sheet = (
        Sheet.objects.of(request.shop)
        .select_related("shop", "project")
        .filter(project=row, number=number)
        .first()
    )
    if sheet is None:
        raise Http404("No such page")
    response = HttpResponse(papers.pdf_of(sheet), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{row.code}-sheet-{number}.pdf"'
    response["Cache-Control"] = "private, no-cache"
    return response
