"""Who is away when, as a plan takes it in: whole days, from midnight to midnight by the shop's clock."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from workshop.models import Absence, Member

MOST_TOLD = 4


@dataclass(frozen=True)
class Away:
    """One stretch in which somebody is away: days that touch or overlap are one."""

    member_pk: int
    name: str
    start: datetime
    end: datetime

    def last(self, tz):
        """The last day of it."""
        return (self.end - timedelta(seconds=1)).astimezone(tz).date()


def hands_of(member_pk):
    """A pair of hands as the planner knows it."""
    return f"member {member_pk}"


def away_of(shop, at):
    """The stretches that are not over at a moment, what begins first in front."""
    today = at.astimezone(shop.tz).date()
    rows = Absence.objects.of(shop).kept().of_hands().not_over(today).in_order()
    found = {}
    for row in rows:
        start, end = midnight(row.first_day, shop.tz), midnight(row.last_day + timedelta(days=1), shop.tz)
        mine = found.setdefault(row.member_id, [])
        if mine and start <= mine[-1].end:
            start, end = mine[-1].start, max(mine.pop().end, end)
        mine.append(Away(row.member_id, row.member.name, start, end))
    stretches = [each for mine in found.values() for each in mine]
    return tuple(sorted(stretches, key=lambda each: (each.start, each.member_pk)))


def midnight(day, tz):
    """The midnight with which a day begins."""
    return datetime.combine(day, time(0), tzinfo=tz)


def away_at(away, moment):
    """Who is away at a moment."""
    return [each for each in away if each.start <= moment < each.end]


def away_within(away, start, end):
    """Who is away at any time of a stretch."""
    return [each for each in away if each.start < end and each.end > start]


def alone_of(shop, at):
    """The stretches from a moment on in which nobody is in a shop, all its makers being away."""
    return nobody_here(away_of(shop, at), Member.objects.of(shop).hands())


def nobody_here(away, people):
    """The stretches in which all hands of the shop are away at once, in order."""
    moments = sorted({moment for each in away for moment in (each.start, each.end)})
    found = []
    for start, end in zip(moments, moments[1:], strict=False):
        if len({each.member_pk for each in away_at(away, start)}) >= people:
            first = found.pop()[0] if found and found[-1][1] == start else start
            found.append((first, end))
    return found


def said(each, now, tz):
    """One stretch in words: Joris is away until 6 January, or from 24 December to 6 January."""
    last = each.last(tz)
    until = f"{last.day} {last:%B}"
    if each.start <= now:
        return f"{each.name} is away until {until}, that day too."
    first = each.start.astimezone(tz).date()
    if first == last:
        return f"{each.name} is away on {until}."
    begins = (
        f"{first.day}" if (first.year, first.month) == (last.year, last.month) else f"{first.day} {first:%B}"
    )
    return f"{each.name} is away from {begins} to {until}."


def told(matter, until=None):
    """Who is away from now on, in sentences; who else until a moment, where one is given."""
    tz = matter.shop.tz
    rows = [each for each in matter.away if until is None or each.start < until]
    found = [said(each, matter.at, tz) for each in rows[:MOST_TOLD]]
    return [*found, f"{len(rows) - MOST_TOLD} more are away later."] if len(rows) > MOST_TOLD else found
