"""The Week as a list by day: what is done when, what is over by itself, which windows open and close."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

from projects.models import Step
from projects.schedule.absent import away_at, midnight
from projects.schedule.span import wall
from workshop import hours
from workshop.templatetags.figures import span as span_said


@dataclass(frozen=True)
class Line:
    """One line of a day: when, what, of which step, what is to be said, and whether midnight is past."""

    at: object
    title: str
    step: Step
    said: str
    shape: str = ""
    word: str = ""
    after_midnight: bool = False


@dataclass(frozen=True)
class Day:
    """One day: when the shop is open, its lines in order, and who is away on it."""

    day: date
    is_today: bool
    hours: str
    lines: list[Line]
    away: tuple[str, ...] = ()


def days_of(span, matter, pieces, openings):
    """The days of a span, those without a line too while they are few."""
    lines = [line for piece in pieces for line in lines_of(piece)]
    lines += [line for opening in openings for line in window_lines(opening)]
    lines.sort(key=lambda line: (line.at, line.step.pk, line.title))
    found = []
    for number in range(span.days):
        day = span.first + timedelta(days=number)
        starts, ends = wall(day, span.tz), wall(day + timedelta(days=1), span.tz)
        today = starts <= matter.at < ends
        mine = [dated(line, day, span.tz) for line in lines if starts <= line.at < ends]
        if mine or today or span.days < 8:
            found.append(Day(day, today, hours_of(matter, day), mine, gone_on(matter, day)))
    return found


def dated(line, day, tz):
    """A line of a day, which lasts until the next morning: does the calendar say another day by then?"""
    return replace(line, after_midnight=line.at.astimezone(tz).date() != day)


def gone_on(matter, day):
    """The names of those who are away on a day."""
    noon = midnight(day, matter.shop.tz) + timedelta(hours=12)
    return tuple(each.name for each in away_at(matter.away, noon))


def hours_of(matter, day):
    """When the shop is open on a day, as people read it."""
    return hours.said(matter.exceptions.get(day, matter.week.get(day.weekday(), [])))


def lines_of(piece):
    """What a day says of a stretch: its beginning where hands are wanted, its end where it goes by itself."""
    step = piece.step
    if piece.is_hands:
        minutes = (piece.end - piece.start).total_seconds() / 60
        shape, word = {"over": ("clear", "done"), "late": ("caution", "later than planned")}.get(
            piece.state, ("", "")
        )
        if piece.state == "over" and step.state != step.State.DONE:
            shape, word = "running", "under way"
        # an act that was written down as it happened took no time that anybody knows
        said = span_said(minutes) if minutes >= 1 else ""
        return [Line(piece.start, step.title, step, said, shape, word)]
    word = {"running": "waits"}.get(piece.state, "")
    if not step.is_passive:
        return [Line(piece.end, step.title, step, "has dried by then")]
    begins = [Line(piece.start, step.title, step, "begins by itself")] if piece.state == "ahead" else []
    if piece.state == "over":
        return [Line(piece.end, step.title, step, "is over", "clear", "done")]
    return [*begins, Line(piece.end, step.title, step, "is over by then", "waiting" if word else "", word)]


def window_lines(opening):
    """When a window opens, and when it closes."""
    found = [Line(opening.opens, opening.name, opening.step, "opens")]
    if opening.closes:
        found.append(Line(opening.closes, opening.name, opening.step, "its window ends", "caution", "closes"))
    return found
