"""A long job: how far it is, on a page of its own or as the fragment that a page asks for again and again."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from workshop import jobs
from workshop.access import get_row, shop_view
from workshop.drawing.progress import progress_svg
from workshop.drawn import drawn
from workshop.models import Job
from workshop.refusals import Refused
from workshop.views.answers import form_again, go_to

NOTHING_NEW, STOP_ASKING = 204, 286


def job_context(row, at):
    """What the fragment of a job shows."""
    stands = row.stands(at)
    return {
        "job": row,
        "stands": stands,
        "moves": row.moves(at),
        "untaken": row.is_untaken(at),
        "again": row.may_start_again(at),
        "mark": f"{row.attempt}-{stands}-{row.done}-{'late' if row.is_untaken(at) else ''}",
        "bar": drawn(progress_svg(row.done, row.total, row.title)) if row.total else "",
        "job_page": jobs.KINDS[row.kind].page(row),
    }


@shop_view
@require_safe
def job(request, key):
    """The page of a job. As a fragment: nothing while nothing changed, and no more asking once it stands."""
    row, at = get_row(Job.objects.all(), request, key), timezone.now()
    context = {**job_context(row, at), "room": "shop"}
    if not request.htmx:
        return render(request, "workshop/job.html", context)
    if request.GET.get("seen") == context["mark"]:
        return HttpResponse(status=NOTHING_NEW)
    response = render(request, "workshop/_job.html", context)
    if not context["moves"]:
        response.status_code = STOP_ASKING
        # whoever shows what came out asks for it anew
        response["HX-Trigger"] = "job-stands"
    return response


@shop_view
@require_POST
def job_again(request, key):
    """Another try."""
    row, at = get_row(Job.objects.all(), request, key), timezone.now()
    try:
        jobs.begin_again(row, at=at)
    except Refused as refusal:
        return form_again(
            request, "workshop/job.html", {**job_context(row, at), "room": "shop", "refusal": refusal}
        )
    return go_to(request, jobs.KINDS[row.kind].page(row))
