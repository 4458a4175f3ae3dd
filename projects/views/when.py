"""When done: a range of days for each project, windows that may be missed, and what would help most."""

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from projects.schedule import absent
from projects.schedule.matter import gather
from projects.schedule.when import when
from workshop.access import shop_view

NO_HOURS = "The shop has no opening hours ahead, so no day can be named. Set them under Shop, opening hours."


@shop_view
@require_safe
def when_done(request):
    """When all that is planned and under way will be done."""
    from projects.planning.network import CycleError

    matter, why, found = gather(request.shop, timezone.now()), "", None
    if not matter.sessions(matter.today, matter.days):
        why = NO_HOURS
    elif matter.steps:
        try:
            found = when(matter)
        except CycleError as problem:
            why = f"No day can be named: {problem}."
    template = "projects/_when.html" if request.htmx else "projects/when.html"
    return render(request, template, {"room": "week", "when": found, "why": why, "away": absent.told(matter)})
