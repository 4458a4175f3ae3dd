"""Which backups to keep: many of the last days, fewer of what is long ago. No disk, no clock."""

LATEST, DAYS, WEEKS, MONTHS = 3, 7, 4, 12


def kept(moments):
    """Those of the moments whose backups stay: the latest three, and the newest of each of the last seven
    days, four weeks and twelve months that have any.

    >>> from datetime import datetime, timedelta
    >>> nights = [datetime(2026, 1, 1, 3) + timedelta(days=day) for day in range(31)]
    >>> [f"{night:%d}" for night in sorted(kept(nights))]
    ['11', '18', '25', '26', '27', '28', '29', '30', '31']
    """
    found = set(sorted(moments)[-LATEST:])
    for count, span in ((DAYS, day_of), (WEEKS, week_of), (MONTHS, month_of)):
        newest = {}
        for moment in sorted(moments):
            newest[span(moment)] = moment
        found |= {newest[name] for name in sorted(newest)[-count:]}
    return found


def day_of(moment):
    """The day of a moment, as something that sorts."""
    return moment.date()


def week_of(moment):
    """Its week, Monday to Sunday."""
    return tuple(moment.isocalendar())[:2]


def month_of(moment):
    """Its month."""
    return moment.year, moment.month
