"""Days on which somebody is not in the shop."""

from django.db import models
from django.db.models import F, Q

from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.people import Member


class AbsenceQuerySet(ShopQuerySet):
    """Questions about who is away when."""

    def kept(self):
        """Those that nobody has taken out."""
        return self.filter(removed_at=None)

    def not_over(self, day):
        """Those that last until a day or longer."""
        return self.filter(last_day__gte=day)

    def very_days(self, member, first_day, last_day):
        """Those of somebody from just this day to just that one."""
        return self.filter(member=member, first_day=first_day, last_day=last_day)

    def of_hands(self):
        """Those of makers who belong to the shop: nobody plans with anybody else's hands."""
        makers = [Member.Role.OWNER, Member.Role.MAKER]
        return self.filter(member__left_at=None, member__role__in=makers)

    def in_order(self):
        """With whose they are, what begins first in front."""
        return self.select_related("member").order_by("first_day", "last_day", "pk")


class Absence(ShopRow):
    """A member is away from one day to another, both of them whole."""

    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="absences")
    first_day = models.DateField()
    last_day = models.DateField()
    note = models.CharField(max_length=80, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = AbsenceQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")), name="workshop_absence_ends_after"
            ),
        )

    def __str__(self):
        return f"{self.member}, {self.days}"

    @property
    def days(self):
        """The days as people say them: 24 December to 6 January 2027; one day once."""
        first, last = self.first_day, self.last_day
        end = f"{last.day} {last:%B %Y}"
        if first == last:
            return end
        if (first.year, first.month) == (last.year, last.month):
            return f"{first.day} to {end}"
        year = "" if first.year == last.year else f" {first.year}"
        return f"{first.day} {first:%B}{year} to {end}"
