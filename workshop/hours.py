"""Opening hours as rows, as text and as what the planner reads.

`week` is {weekday: [(opens, closes), …]} with Monday 0; `exceptions` is {date: [(opens, closes), …]},
an empty list where the shop is shut. Where a stretch closes at or before it opens, it ends next day.
"""

import re
from datetime import time

from workshop.models import DayException, OpeningHours

USUAL = {day: [(time(8), time(17))] for day in range(5)} | {5: [], 6: []}
"""Monday to Friday from eight to five, until the shop says otherwise; a guess."""
STRETCH = re.compile(r"^(\d{1,2})(?:[:.h](\d{2}))?\s*(?:-|–|—|to|until)\s*(\d{1,2})(?:[:.h](\d{2}))?$")
SHUT = {"", "shut", "closed", "–", "-"}
LIKE = "Write it like 8:00–12:30, 13–17, or leave it empty for shut."


class NotHours(ValueError):  # noqa: N818 an answer to who typed it
    """The text is no list of hours; the message says what would be."""


def week_of(shop):
    """The shop's week; the usual one until somebody has set it."""
    if shop.hours_set_at is None:
        return {day: list(hours) for day, hours in USUAL.items()}
    week = {day: [] for day in range(7)}
    for row in OpeningHours.objects.of(shop).order_by("weekday", "opens"):
        week[row.weekday].append((row.opens, row.closes))
    return week


def exceptions_of(shop, since=None):
    """The days that differ, from `since` on."""
    rows = DayException.objects.of(shop).order_by("date", "opens")
    found = {}
    for row in rows.filter(date__gte=since) if since else rows:
        found.setdefault(row.date, [])
        if row.opens is not None:
            found[row.date].append((row.opens, row.closes))
    return found


def parse(text):
    """The stretches that a text means, in order; none for shut.

    Raises NotHours with a sentence.
    """
    plain = text.strip().lower()
    if plain in SHUT:
        return []
    stretches = sorted(stretch(part.strip()) for part in re.split(r"[,;]|\band\b", plain) if part.strip())
    for (opens, closes), (next_opens, _) in zip(stretches, stretches[1:], strict=False):
        if closes <= opens or next_opens < closes:
            raise NotHours(f"{said([(opens, closes)])} runs into what comes after it. {LIKE}")
    return stretches


def stretch(text):
    """One stretch: 8–17, 8:00-12:30, 18 to 2, 8–24."""
    found = STRETCH.match(text)
    if not found:
        raise NotHours(f"“{text[:30]}” is not understood. {LIKE}")
    return wall(found[1], found[2], text), wall(found[3], found[4], text)


def wall(hour, minute, text):
    """A time on the clock; 24:00 is the midnight at the end of the day."""
    hour, minute = int(hour), int(minute or 0)
    if (hour, minute) == (24, 0):
        return time(0)
    if hour > 23 or minute > 59:
        raise NotHours(f"No clock shows “{text[:30]}”. {LIKE}")
    return time(hour, minute)


def said(stretches):
    """Stretches as people read them."""
    return ", ".join(f"{opens:%H:%M}–{closes:%H:%M}" for opens, closes in stretches) or "shut"
