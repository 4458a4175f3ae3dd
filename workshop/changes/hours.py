"""Changes of the opening hours. History holds them as text, so that the last one can be put back."""

from datetime import date

from django.db import transaction

from workshop import history, hours
from workshop.changes.people import lock_shop
from workshop.models import DayException, Event, OpeningHours
from workshop.refusals import Refused

WEEK, DAY = "changed the opening hours", "set the hours of a day"
AS_USUAL = "as usual"


def told_week(week):
    """A week as history keeps it: by the weekday's name."""
    return {label.lower(): hours.said(week[day]) for day, label in OpeningHours.Weekday.choices}


def told_day(shop, day):
    """A day as history keeps it, with what it is for."""
    rows = list(DayException.objects.of(shop).filter(date=day).order_by("opens"))
    if not rows:
        return {"date": str(day), "hours": AS_USUAL}
    found = hours.said([(row.opens, row.closes) for row in rows if row.opens is not None])
    note = {"note": rows[0].note} if rows[0].note else {}
    return {"date": str(day), "hours": found, **note}


@transaction.atomic
def set_week(member, week, *, at, why=""):
    """The hours of all seven days; nothing happens where none has changed."""
    shop = lock_shop(member.shop_id)
    before, after = told_week(hours.week_of(shop)), told_week(week)
    if before == after and shop.hours_set_at:
        return
    OpeningHours.objects.of(shop).delete()
    OpeningHours.objects.bulk_create(
        OpeningHours(
            shop=shop, created_at=at, created_by=member.user, weekday=day, opens=opens, closes=closes
        )
        for day, stretches in week.items()
        for opens, closes in stretches
    )
    shop.hours_set_at = at
    shop.save(update_fields=["hours_set_at"])
    changed = [name for name in before if before[name] != after[name]]
    history.record(
        member,
        WEEK,
        shop,
        at=at,
        label=shop.name,
        before={name: before[name] for name in changed},
        after={name: after[name] for name in changed},
        why=why,
    )


@transaction.atomic
def set_day(member, day, stretches, *, at, note="", why=""):
    """The hours of one date: a list, an empty one for shut, None for as usual."""
    shop = lock_shop(member.shop_id)
    before = told_day(shop, day)
    DayException.objects.of(shop).filter(date=day).delete()
    if stretches is not None:
        DayException.objects.bulk_create(
            DayException(
                shop=shop,
                created_at=at,
                created_by=member.user,
                date=day,
                opens=opens,
                closes=closes,
                note=note,
            )
            for opens, closes in (stretches or [(None, None)])
        )
    after = told_day(shop, day)
    if before != after:
        history.record(
            member, DAY, shop, at=at, label=f"{day.day} {day:%B %Y}", before=before, after=after, why=why
        )


def last_change(shop):
    """The newest line about hours that can be put back, or None."""
    return Event.objects.about(shop.key).filter(verb__in=[WEEK, DAY]).select_related("actor").first()


@transaction.atomic
def put_back(member, event, *, at):
    """Undo a change of hours by a second one; refused once somebody has changed them again."""
    shop = lock_shop(member.shop_id)
    newest = last_change(shop)
    if newest is None or newest.pk != event.pk:
        raise Refused("The hours have been changed again since. Look at them as they are now.")
    why = "put back"
    if event.verb == WEEK:
        now = hours.week_of(shop)
        for day, label in OpeningHours.Weekday.choices:
            if label.lower() in event.before:
                now[day] = hours.parse(event.before[label.lower()])
        set_week(member, now, at=at, why=why)
        return
    was = event.before
    stretches = None if was["hours"] == AS_USUAL else hours.parse(was["hours"])
    set_day(member, date.fromisoformat(was["date"]), stretches, at=at, note=was.get("note", ""), why=why)
