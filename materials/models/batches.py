"""Mixed cups, and what was measured."""

from datetime import timedelta

from django.db import models
from django.db.models import Q

from materials.models.lots import Lot
from materials.models.resin import Resin
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.people import Member


class Batch(ShopRow):
    """One mixed cup. Ratio and pot life are frozen, so that a later change of the sheet leaves it true."""

    resin = models.ForeignKey(Resin, on_delete=models.PROTECT, related_name="batches")
    lot_a = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="+", null=True, blank=True)
    lot_b = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="+", null=True, blank=True)
    cup = models.PositiveSmallIntegerField()
    parts_a = models.FloatField(help_text="by mass")
    parts_b = models.FloatField(help_text="by mass")
    tolerance_percent = models.FloatField()
    target_a_g = models.FloatField()
    target_b_g = models.FloatField()
    actual_a_g = models.FloatField()
    actual_b_g = models.FloatField(null=True, blank=True)
    met_at = models.DateTimeField()
    room_c = models.FloatField()
    humidity_percent = models.FloatField(null=True, blank=True)
    pot_life_min = models.FloatField()
    pot_life_heavier = models.BooleanField(help_text="heavier than the sheet's cup: the real time is shorter")
    pot_life_source = models.CharField(max_length=300)

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(
                    parts_a__gt=0, parts_b__gt=0, target_a_g__gt=0, target_b_g__gt=0, actual_a_g__gt=0
                )
                & (Q(actual_b_g__isnull=True) | Q(actual_b_g__gt=0)),
                name="materials_batch_masses",
            )
        )
        verbose_name_plural = "batches"

    def __str__(self):
        return f"cup {self.cup}"

    @property
    def thick_at(self):
        """When the sheet's pot life of it is over, in the warmth at which its parts met."""
        return self.met_at + timedelta(minutes=self.pot_life_min)

    @property
    def mixed_g(self):
        """What is in the cup, in grams; with the B that was asked for until it is weighed."""
        return self.actual_a_g + (self.target_b_g if self.actual_b_g is None else self.actual_b_g)


FRESH = timedelta(hours=2)  # older air is no longer the air at the bench


class ReadingQuerySet(ShopQuerySet):
    """Questions about measurements."""

    def kept(self):
        """Readings that were not taken back."""
        return self.filter(removed_at=None)

    def lately(self, kind, now):
        """The newest reading of a kind if it is young enough to stand for now, or None."""
        return self.filter(taken_at__gte=now - FRESH).latest_of(kind)

    def latest_of(self, kind):
        """The newest reading of a kind, or None."""
        return self.kept().filter(kind=kind).order_by("-taken_at", "-pk").first()

    def thicknesses_of(self, species):
        """What strips of a wood measured, the newest first."""
        found = self.kept().filter(kind=Reading.Kind.THICKNESS, lot__species=species)
        return found.order_by("-taken_at", "-pk").values_list("value", flat=True)


class Reading(ShopRow):
    """A measured value."""

    class Kind(models.TextChoices):
        TEMPERATURE = "temperature", "temperature in the shop"
        HUMIDITY = "humidity", "humidity of the air"
        BLOCK = "block", "warmth of the block"
        MOISTURE = "moisture", "moisture of the wood"
        MASS = "mass", "mass"
        THICKNESS = "thickness", "thickness"
        WIDTH = "width", "width"
        LENGTH = "length", "length"
        BOW = "bow", "bow"
        HARDNESS = "hardness", "hardness (Shore D)"

    UNITS = {
        Kind.TEMPERATURE: "°C",
        Kind.HUMIDITY: "%",
        Kind.BLOCK: "°C",
        Kind.MOISTURE: "%",
        Kind.MASS: "g",
        Kind.THICKNESS: "mm",
        Kind.WIDTH: "mm",
        Kind.LENGTH: "mm",
        Kind.BOW: "mm",
        Kind.HARDNESS: "Shore D",
    }

    kind = models.CharField(max_length=12, choices=Kind)
    value = models.FloatField()
    unit = models.CharField(max_length=8)
    taken_at = models.DateTimeField()
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, null=True, blank=True, related_name="readings")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="readings")
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = ReadingQuerySet.as_manager()

    class Meta:
        constraints = row_meta()
        indexes = [models.Index(fields=["shop", "kind", "taken_at"], name="materials_reading_kind")]

    def __str__(self):
        return f"{self.value:g} {self.unit}"
