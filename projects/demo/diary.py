"""When things happened in the demo: weeks before the anchor's week, and the hours in which the shop is open.

The story keeps to its weekdays: it is laid down against the Monday of the week in which the anchor lies, so
that two loads whose anchors lie whole weeks apart differ by these weeks and nothing else.
"""

import heapq
from datetime import UTC, datetime, time, timedelta


class Diary:
    """The demo's calendar: `week` maps weekdays to stretches, `days` the (weeks, weekday) that differ."""

    def __init__(self, anchor, tz, week, days):
        local = anchor.astimezone(tz)
        self.anchor, self.tz = anchor, tz
        self.monday = local.date() - timedelta(days=local.weekday())
        self.week = week
        self.days = {self.date(weeks, weekday): stretches for (weeks, weekday), stretches in days.items()}

    def date(self, weeks, weekday):
        """The date of a weekday so many weeks before this week; negative weeks are to come."""
        return self.monday + timedelta(days=weekday - 7 * weeks)

    def at(self, weeks, weekday, clock):
        """The moment at which the clock on the wall showed `clock` (8:20) on that day."""
        return self.on(self.date(weeks, weekday), time.fromisoformat(clock.zfill(5)))

    def on(self, day, clock):
        """A date and a time of the shop's clock as a moment."""
        return datetime.combine(day, clock, self.tz).astimezone(UTC)

    def local(self, moment):
        """A moment by the shop's clock."""
        return moment.astimezone(self.tz)

    def stretches(self, day):
        """From when to when the shop is open on a date, as moments."""
        hours = self.days.get(day, self.week[day.weekday()])
        return [(self.on(day, opens), self.on(day, closes)) for opens, closes in hours]

    def is_open(self, moment):
        """Whether somebody is in the shop."""
        return any(opens <= moment < closes for opens, closes in self.stretches(self.local(moment).date()))

    def open_from(self, moment, minutes):
        """The first moment from `moment` on at which so many minutes of work fit before the shop shuts.

        What is longer than any stretch begins where an hour is left.
        """
        wanted = timedelta(minutes=min(minutes, 120))
        day = self.local(moment).date()
        for later in range(60):
            for opens, closes in self.stretches(day + timedelta(days=later)):
                begin = max(opens, to_the_minute(moment))
                if begin + wanted <= closes:
                    return begin
        raise ValueError(f"the demo's shop is shut for two months from {day}")

    def open_before(self, earliest, latest):
        """The last moment between two at which somebody was in the shop, or None."""
        day, best = self.local(earliest).date(), None
        while day <= self.local(latest).date():
            for opens, closes in self.stretches(day):
                end = min(closes, latest)
                if end >= max(opens, earliest):
                    best = end
            day += timedelta(days=1)
        return best


def to_the_minute(moment):
    """A moment rounded up to the full minute, as people write times down."""
    rest = timedelta(seconds=moment.second, microseconds=moment.microsecond)
    return moment + (timedelta(minutes=1) - rest if rest else rest)


class Lines:
    """Story lines told side by side: each yields the moment at which it wants to go on."""

    def __init__(self):
        self.waiting, self.number = [], 0

    def begin(self, line):
        """Take in one more line."""
        self.wait(line)

    def wait(self, line):
        """Ask a line for its next moment and put it in the queue; one that is over is let go."""
        when = next(line, None)
        if when is not None:
            self.number += 1
            heapq.heappush(self.waiting, (when, self.number, line))

    def run(self):
        """Tell all lines to their end, whatever comes first in time first."""
        while self.waiting:
            _, _, line = heapq.heappop(self.waiting)
            self.wait(line)
