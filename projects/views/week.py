"""Week: the shop's days and nights, with what is planned, what cures, and which windows are open."""

from datetime import timedelta

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from projects.actions import dates
from projects.models import Plan, Step
from projects.schedule import absent, agenda, clashes, evening, pictures, risks, span, stretches, today
from projects.schedule.matter import gather
from workshop.access import shop_view
from workshop.drawn import drawn
from workshop.views.answers import UNPROCESSABLE


@shop_view
@require_safe
def week(request):
    """A day, a week or six weeks as one picture; on a phone as a list by day."""
    return week_page(request)


def week_page(request, form=None):
    """The Week, with what was refused where an act of it was."""
    now, shop = timezone.now(), request.shop
    asked = request.GET
    shown = span.span_of(asked.get("view"), asked.get("by"), asked.get("on"), now, shop.tz)
    context = {**week_context(request, shown, gather(shop, now)), "form": form}
    return render(request, "projects/week.html", context, status=UNPROCESSABLE if form else 200)


def week_context(request, shown, matter):
    """What the Week shows of a span."""
    done = list(Step.objects.of(request.shop).gone_on(shown.starts_at, shown.ends_at))
    since = min(shown.first, matter.today) - timedelta(days=45)
    sessions = matter.sessions(since, (shown.first - since).days + shown.days + matter.days)
    pieces = stretches.stretches(matter, done, sessions)
    windows = stretches.openings(matter)
    found = clashes.clashes(matter, pieces, sessions)
    visible = [clash for clash in found if shown.shown(clash.at, clash.at + timedelta(minutes=1))]
    svg = pictures.picture(
        shown, pieces, windows, visible, sessions, matter.at,
        sentence=pictures.sentence(shown, pieces, visible), away=matter.away, alone=matter.alone,
    )  # fmt: skip
    newest = Plan.objects.of(request.shop).newest_first().first()
    return {
        "room": "week",
        "span": shown,
        "picture": "" if shown.by == "list" else drawn(svg),
        "days": agenda.days_of(shown, matter, pieces, windows),
        "clashes": visible,
        "away": absent.told(matter, max(shown.ends_at, matter.at)),
        "views": choices(request, shown, "view", span.VIEWS, shown.view),
        "bys": choices(request, shown, "by", span.BYS, shown.by),
        "earlier": address(request, shown, on=shown.first - timedelta(days=shown.days)),
        "later": address(request, shown, on=shown.first + timedelta(days=shown.days)),
        "today_url": address(request, shown, on=""),
        "undated": sum(step.planned_start is None for step in matter.steps if step.state == "to_do"),
        "steps": len(matter.steps),
        "late": today.lates(matter),
        "risks": risks.at_risk(matter, sessions),
        "proposed": newest if newest and newest.is_open else None,
        "evening": evening_of(matter, sessions, newest),
        "laid_out": dates.last_dates(request.shop),
    }


def evening_of(matter, sessions, newest):
    """How today went, near its end."""
    day = span.span_of(span.DAY, "day", "", matter.at, matter.shop.tz)
    done = list(Step.objects.of(matter.shop).gone_on(day.starts_at, day.ends_at))
    return evening.evening(matter, sessions, done, day, newest)


def choices(request, shown, name, words, chosen):
    """Ways to look at the Week: word, address, whether it is the one."""
    return [(word, address(request, shown, **{name: key}), key == chosen) for key, word in words.items()]


def address(request, shown, **changed):
    """The Week's address with something changed."""
    kept = {"view": shown.view, "by": shown.by, "on": shown.first} | changed
    return f"{reverse('projects:week', args=[request.shop.key])}?{urlencode(kept)}"
