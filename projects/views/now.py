"""Now: what can be done, which clocks run, how the air is."""

from datetime import timedelta

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from materials import advice as shelf_advice
from materials.models import Lot, Reading, Resin
from projects.models import LogEntry, Plan, Project, Step
from projects.schedule import absent, evening, pictures, risks, span, stretches, today
from projects.schedule.matter import gather
from projects.schedule.wanted import wanted
from projects.views.clocks import running_rows
from workshop.access import shop_view
from workshop.drawn import drawn

MOST_ACTS, MOST_ENTRIES, MOST_LINES = 8, 5, 4
MOST_PROJECTS = 40  # that the page looks at; nobody works on more in a day (judgement)


@shop_view
@require_safe
def now(request):
    """The shop's first page."""
    moment, shop = timezone.now(), request.shop
    rows, matter = running_rows(shop, moment), gather(shop, moment, most=MOST_PROJECTS)
    measured = air(shop)
    context = {
        "room": "now",
        "now": moment,
        "clock_rows": rows,
        "first_clock": rows[0] if rows else None,
        "air": measured,
        "next": next_thing(shop),
        "entries": LogEntry.objects.of(shop).river()[:MOST_ENTRIES],
        **work_now(matter),
        "looked_at": MOST_PROJECTS if matter.cut_short else 0,
        "wanted": wanted(matter, measured["temperature"])[:MOST_LINES],
    }
    return render(request, "projects/now.html", context)


def work_now(matter):
    """What can be done, what today's windows ask, what is late, and the day drawn."""
    sessions = matter.sessions(matter.today - timedelta(days=1), 16)
    lines = today.doables(matter, sessions)
    shown = span.span_of(span.DAY, "day", "", matter.at, matter.shop.tz)
    windows = stretches.openings(matter)
    late = today.lates(matter)
    done = list(Step.objects.of(matter.shop).gone_on(shown.starts_at, shown.ends_at))
    newest = Plan.objects.of(matter.shop).newest_first().first()
    return {
        "lines": lines[:MOST_ACTS],
        "steps": [line.step for line in lines[:MOST_ACTS]],
        "more_acts": len(lines) - MOST_ACTS,
        "must": next((line for line in lines if line.must_by), None),
        "windows": today.windows_today(matter, windows, sessions, shown.ends_at)[:MOST_LINES],
        "risks": risks.at_risk(matter, sessions)[:MOST_LINES],
        "late": late[:MOST_LINES],
        "away": absent.told(matter, shown.ends_at),
        "more_late": len(late) - MOST_LINES,
        "evening": evening.evening(matter, sessions, done, shown, newest),
        "band": day_drawn(matter, done, shown, windows, sessions),
    }


def day_drawn(matter, done, shown, windows, sessions):
    """The shop's day and night as a band; nothing where nothing is dated, runs or was done."""
    pieces = stretches.stretches(matter, done, sessions)
    if not any(shown.shown(piece.start, piece.end) for piece in pieces):
        return ""
    said = pictures.sentence(shown, pieces, [])
    return drawn(
        pictures.picture(shown, pieces, windows, [], sessions, matter.at, "day", said, alone=matter.alone)
    )


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
