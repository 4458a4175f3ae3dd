"""Counting in months, as labels and data sheets do."""

import calendar


def months_from(day, months):
    """The same day so many months on (or back, with a minus), or the month's last where it has no such day.

    >>> from datetime import date
    >>> months_from(date(2026, 1, 31), 1), months_from(date(2026, 3, 31), -13)
    (datetime.date(2026, 2, 28), datetime.date(2025, 2, 28))
    """
    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    return day.replace(year=year, month=month, day=min(day.day, calendar.monthrange(year, month)[1]))
