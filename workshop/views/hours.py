"""The page of the opening hours: the week, the days that differ, and the way back."""

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from workshop import hours
from workshop.access import get_row, owners_only, shop_view
from workshop.acting import perform
from workshop.changes import hours as changes
from workshop.forms.hours import DayForm, WeekForm
from workshop.forms.people import DeedForm
from workshop.models import DayException, Event
from workshop.told import Teller
from workshop.views.answers import form_again

TEMPLATE = "workshop/hours.html"


def page_of(request, **forms):
    """What the page shows; a form that came back with a sentence takes the place of a fresh one."""
    shop, today = request.shop, timezone.localdate()
    last = changes.last_change(shop)
    return {
        "week_form": WeekForm(week=hours.week_of(shop), shop=shop, row=shop),
        "day_form": DayForm(shop=shop),
        "undo_form": DeedForm(shop=shop),
        "days": days_of(shop, today),
        "last": Teller(shop.units).tell(last) if last else None,
        "is_set": shop.hours_set_at is not None,
        "room": "shop",
        **forms,
    }


def days_of(shop, since):
    """The days to come that differ: date, hours as text, what for."""
    rows = DayException.objects.of(shop).filter(date__gte=since).order_by("date", "opens")
    notes = {row.date: row.note for row in rows}
    found = hours.exceptions_of(shop, since)
    return [(day, hours.said(stretches), notes.get(day, "")) for day, stretches in found.items()]


def act_on_hours(request, form, name, deed):
    """Do one of the changes and come back to the page."""
    owners_only(request)

    def act(key, moment):
        deed(form, moment.received_at)
        return reverse("workshop:hours", args=[request.shop.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, TEMPLATE, page_of(request, **{name: form}))


@shop_view
@require_http_methods(["GET", "POST"])
def hours_page(request):
    """The week, to read and to change."""
    if request.method == "GET":
        return render(request, TEMPLATE, page_of(request))
    form = WeekForm(request.POST, week=hours.week_of(request.shop), shop=request.shop, row=request.shop)
    return act_on_hours(
        request, form, "week_form", lambda form, at: changes.set_week(request.member, form.week(), at=at)
    )


@shop_view
@require_POST
def day_set(request):
    """A date that differs."""
    form = DayForm(request.POST, shop=request.shop)

    def deed(form, at):
        typed = form.cleaned_data
        changes.set_day(request.member, typed["date"], typed["hours"], at=at, note=typed["note"])

    return act_on_hours(request, form, "day_form", deed)


@shop_view
@require_POST
def day_usual(request, day):
    """A date as its weekday again."""
    form = DeedForm(request.POST, shop=request.shop)
    return act_on_hours(
        request, form, "undo_form", lambda form, at: changes.set_day(request.member, day, None, at=at)
    )


@shop_view
@require_POST
def hours_undo(request, key):
    """Put back the last change."""
    event = get_row(Event.objects.filter(verb__in=[changes.WEEK, changes.DAY]), request, key)
    form = DeedForm(request.POST, shop=request.shop)
    return act_on_hours(
        request, form, "undo_form", lambda form, at: changes.put_back(request.member, event, at=at)
    )
