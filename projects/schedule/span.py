"""Which stretch of time the Week shows, in which rows: a day, a week, or six of them."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

SIX = time(6)
DAY, WEEK, WEEKS = "day", "week", "weeks"
VIEWS = {DAY: "Day", WEEK: "Week", WEEKS: "Six weeks"}
BYS = {"day": "By day", "project": "By project", "hands": "By hands and machine", "list": "As a list"}
LENGTH = {DAY: 1, WEEK: 7, WEEKS: 42}


@dataclass(frozen=True)
class Span:
    """The days that are shown: how many, from which one on, and what each row stands for."""

    view: str
    by: str
    first: date
    tz: object

    @property
    def days(self):
        """How many days are shown."""
        return LENGTH[self.view]

    @property
    def starts_at(self):
        """Six in the morning of the first day."""
        return wall(self.first, self.tz)

    @property
    def ends_at(self):
        """Six in the morning after the last day."""
        return wall(self.first + timedelta(days=self.days), self.tz)

    @property
    def row_days(self):
        """How many days lie in one row."""
        if self.by not in ("day", "list"):
            return self.days
        return 7 if self.view == WEEKS else 1

    @property
    def row_firsts(self):
        """The first day of each row, where rows are days."""
        return [self.first + timedelta(days=n) for n in range(0, self.days, self.row_days)]

    def hours(self, moment, first):
        """How many hours by the clock on the wall a moment lies after six on the first day of its row."""
        local = moment.astimezone(self.tz).replace(tzinfo=None)
        return (local - datetime.combine(first, SIX)) / timedelta(hours=1)

    def shown(self, start, end):
        """Whether any of a stretch is shown."""
        return start < self.ends_at and end > self.starts_at

    @property
    def title(self):
        """What stands at the head of the page."""
        last = self.first + timedelta(days=self.days - 1)
        if self.view == DAY:
            return f"{self.first:%A} {said(self.first)}"
        if self.view == WEEK:
            return f"Week of {said(self.first)}"
        return f"{said(self.first)} to {said(last)}"


def said(day):
    """A day as people say it: 9 March."""
    return f"{day.day} {day:%B}"


def wall(day, tz):
    """Six in the morning of a day, as an instant."""
    return datetime.combine(day, SIX, tzinfo=tz).astimezone(UTC)


def span_of(view, by, on, now, tz):
    """The span that an address asks for; this week by day where it asks for nothing or for nonsense.

    Before six in the morning it is still the day before: the shop's night belongs to its day.
    """
    view = view if view in VIEWS else WEEK
    by = by if by in BYS else "day"
    local = now.astimezone(tz)
    today = local.date() - timedelta(days=1 if local.time() < SIX else 0)
    day = day_of(on) or today
    return Span(view, by, day if view == DAY else day - timedelta(days=day.weekday()), tz)


def day_of(text):
    """A day from an address; none for nonsense and for what lies beyond any plan."""
    try:
        found = date.fromisoformat(text or "")
    except ValueError:
        return None
    return found if 2000 <= found.year <= 2100 else None
