"""Now: what can be done, which clocks run, how the air is."""

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from materials import advice as shelf_advice
from materials.models import Lot, Reading, Resin
from projects.models import LogEntry, Project, Step
from projects.standing import step_row
from projects.views.clocks import running_rows
from workshop.access import shop_view

MOST_ACTS, MOST_ENTRIES = 8, 5


@shop_view
@require_safe
def now(request):
    """The shop's first page."""
    moment, shop = timezone.now(), request.shop
    rows = running_rows(shop, moment)
    steps = Step.objects.can_be_done(shop).with_story()
    steps = list(steps[:MOST_ACTS])
    context = {
        "room": "now",
        "now": moment,
        "clock_rows": rows,
        "first_clock": rows[0] if rows else None,
        "steps": steps,
        "lines": [step_row(step, moment, shop.tz) for step in steps],
        "air": air(shop),
        "next": next_thing(shop),
        "entries": LogEntry.objects.of(shop).river()[:MOST_ENTRIES],
    }
    return render(request, "projects/now.html", context)


def air(shop):
    """The newest temperature and humidity, and the margin above the dew point."""
    temperature = Reading.objects.of(shop).latest_of(Reading.Kind.TEMPERATURE)
    humidity = Reading.objects.of(shop).latest_of(Reading.Kind.HUMIDITY)
    margin = shelf_advice.dew_margin_k(
        temperature.value if temperature else None, humidity.value if humidity else None
    )
    return {"temperature": temperature, "humidity": humidity, "dew_margin_k": margin}


def next_thing(shop):
    """What a new shop does next: a resin, its bottles, a project; empty once all are there."""
    if not Resin.objects.of(shop).exists():
        return "resin"
    if not Lot.objects.of(shop).filter(kind=Lot.Kind.RESIN).exists():
        return "bottles"
    return "" if Project.objects.of(shop).kept().exists() else "project"
