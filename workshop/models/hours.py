"""When the shop is open: its week, and the days that differ."""

from django.db import models

from workshop.models.base import ShopRow, row_meta


class OpeningHours(ShopRow):
    """One stretch of a weekday. Where it closes at or before it opens, it runs past midnight."""

    class Weekday(models.IntegerChoices):
        MONDAY = 0, "Monday"
        TUESDAY = 1, "Tuesday"
        WEDNESDAY = 2, "Wednesday"
        THURSDAY = 3, "Thursday"
        FRIDAY = 4, "Friday"
        SATURDAY = 5, "Saturday"
        SUNDAY = 6, "Sunday"

    weekday = models.PositiveSmallIntegerField(choices=Weekday)
    opens = models.TimeField()
    closes = models.TimeField()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["shop", "weekday", "opens"], name="workshop_hours_once"),
            models.CheckConstraint(condition=models.Q(weekday__lte=6), name="workshop_hours_weekday"),
        )

    def __str__(self):
        return f"{self.get_weekday_display()} {self.opens:%H:%M} to {self.closes:%H:%M}"


class DayException(ShopRow):
    """One stretch of a day that differs from its weekday; a single row without times means shut."""

    date = models.DateField()
    opens = models.TimeField(null=True, blank=True)
    closes = models.TimeField(null=True, blank=True)
    note = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["shop", "date", "opens"], name="workshop_day_once"),
            models.CheckConstraint(
                condition=models.Q(opens__isnull=True, closes__isnull=True)
                | models.Q(opens__isnull=False, closes__isnull=False),
                name="workshop_day_both_times",
            ),
        )

    def __str__(self):
        return str(self.date)
