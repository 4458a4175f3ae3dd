"""The one place where stored values become text on a page."""

import uuid
from datetime import date, datetime

from django import template
from django.utils.html import format_html
from django.utils.safestring import mark_safe

from workshop import units
from workshop.drawing.empty import empty_svg
from workshop.drawn import drawn

register = template.Library()
TO_THE_MINUTE_H, IN_DAYS_H = 10, 48
"""From so many hours on a span that is only about so long is said in whole hours, and in days."""


@register.simple_tag(takes_context=True)
def figure(context, value, kind, size="", places=None):
    """A big figure with its small unit, in the shop's units; a dash where nothing is known."""
    if value is None or value == "":
        return mark_safe('<span class="fig">–</span>')  # noqa: S308 a constant
    number, unit = units.write(float(value), kind, system_of(context), places)
    unit_part = format_html("<u>{}</u>", unit) if unit not in {"parts", "pieces"} else ""
    return format_html('<span class="fig {}">{}{}</span>', size, number, unit_part)


@register.simple_tag(takes_context=True)
def quantity(context, value, kind, places=None):
    """A quantity inside a sentence or a table, in the shop's units."""
    if value is None or value == "":
        return "–"
    return units.say(float(value), kind, system_of(context), places)


@register.simple_tag
def empty_place(kind):
    """The dashed outline of what is missing; a block where nothing else is named."""
    return drawn(empty_svg(kind or "block"))


@register.simple_tag(takes_context=True)
def act_key(context):
    """The key of a form's act: the one it was sent with, or a new one, for a browser without script."""
    return context["request"].POST.get("key") or str(uuid.uuid4())


@register.filter
def ratio(value):
    """A number of parts: 100, 45.2."""
    return units.digits(float(value), 1)


@register.filter
def of(mapping, name):
    """What a mapping holds under a name; nothing where it holds nothing."""
    return (mapping or {}).get(name, "")


@register.filter
def percent_of(fraction, places=0):
    """A fraction in percent: 0.5 is 50."""
    return units.digits(100 * float(fraction), int(places))


@register.filter
def instant(text):
    """A moment kept as text in a snapshot, as a moment again."""
    return datetime.fromisoformat(text) if text else None


@register.filter
def day(text):
    """A date kept as text in a snapshot, as a date again."""
    return date.fromisoformat(text) if text else None


@register.filter
def hours(minutes):
    """A span to the minute, where one counts on it: 95 min, 6 h, 6:30 h."""
    whole = round(float(minutes))
    if whole < 120:
        return f"{whole}\u00a0min"
    return f"{whole // 60}\u00a0h" if whole % 60 == 0 else f"{whole // 60}:{whole % 60:02d}\u00a0h"


@register.filter
def as_span(in_hours):
    """Hours as a span that people say: 12 min, 5:16 h."""
    return hours(60 * in_hours)


@register.filter
def span(minutes):
    """About how long it takes, where no minute counts: 95 min, 6:30 h, 34 h, 4 days, 4 days 4 h."""
    whole = round(float(minutes) / 60)
    if float(minutes) < 60 * TO_THE_MINUTE_H:
        return hours(minutes)
    if whole < IN_DAYS_H:
        return f"{whole}\u00a0h"
    days, rest = divmod(whole, 24)
    return f"{days}\u00a0days\u00a0{rest}\u00a0h" if rest else f"{days}\u00a0days"


def system_of(context):
    """The units that the shop of this page reads."""
    shop = context.get("shop")
    return shop.units if shop else "metric"
