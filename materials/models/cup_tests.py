"""A thermometer in a real cup: the one measurement that makes a resin's forecast its own."""

from django.db import models
from django.db.models import Q

from materials.models.batches import Batch
from materials.models.resin import Resin
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.jobs import Job


class CupTestQuerySet(ShopQuerySet):
    """Questions about cup tests."""

    def kept(self):
        """Those that were not taken away."""
        return self.filter(removed_at=None)

    def newest_first(self):
        """By when the cup was read."""
        return self.order_by("-taken_at", "-pk")

    def in_use(self, resin):
        """The test that forecasts of a resin rest on: its newest kept one that the model could follow."""
        return self.kept().filter(resin=resin, fitted__isnull=False).newest_first().first()


class CupTest(ShopRow):
    """Readings of a cup that was left standing; `fitted` holds the model's figures by band once found."""

    resin = models.ForeignKey(Resin, on_delete=models.PROTECT, related_name="cup_tests")
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    mass_g = models.FloatField()
    temp_c = models.FloatField()
    taken_at = models.DateTimeField()
    points = models.JSONField(help_text="pairs of minutes from mixing on and °C")
    note = models.CharField(max_length=300, blank=True)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    fitted = models.JSONField(null=True, blank=True)
    residual_percent = models.FloatField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = CupTestQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(condition=Q(mass_g__gt=0), name="materials_cuptest_mass"),
        )
        indexes = [models.Index(fields=["resin", "-taken_at"], name="materials_cuptest_newest")]

    def __str__(self):
        return f"cup test of {self.resin}"

    @property
    def hottest_c(self):
        """The highest reading."""
        return max(temp_c for _, temp_c in self.points)

    @property
    def hottest_min(self):
        """When the highest reading was taken."""
        return max(self.points, key=lambda point: point[1])[0]
