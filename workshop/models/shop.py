"""The shop: the tenant every other row belongs to."""

import uuid
import zoneinfo
from datetime import time

from django.core.exceptions import ValidationError
from django.db import models


def check_zone(name):
    """Only names that the time zone tables know."""
    if name not in zoneinfo.available_timezones():
        raise ValidationError(f"“{name}” is no time zone. They look like Europe/Berlin.")


class TenantQuerySet(models.QuerySet):
    """Questions about shops as such."""

    def real(self):
        """Shops that somebody founded; as long as there is none, the first set-up stays open."""
        return self.filter(is_demo=False)

    def demos(self):
        """Shops that were made to look around in, the newest in front."""
        return self.filter(is_demo=True).order_by("-pk")


class Shop(models.Model):
    """A workshop with its habits; all but the name has a default."""

    class Units(models.TextChoices):
        METRIC = "metric", "millimetres, grams, °C"
        INCH = "inch", "inches, ounces, °F"

    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=80)
    zone = models.CharField(max_length=60, default="UTC", validators=[check_zone])
    currency = models.CharField(max_length=3, default="EUR")
    units = models.CharField(max_length=10, choices=Units, default=Units.METRIC)
    public_address = models.URLField(blank=True)
    day_c = models.FloatField(default=20.0)
    night_c = models.FloatField(default=16.0)
    # guesses for a workshop that is heated by day; no source
    day_from = models.TimeField(default=time(8))
    day_to = models.TimeField(default=time(18))
    day_humidity_percent = models.FloatField(default=50.0)
    night_humidity_percent = models.FloatField(default=55.0)
    hours_set_at = models.DateTimeField(null=True, blank=True)
    is_demo = models.BooleanField(default=False)
    created_at = models.DateTimeField()

    objects = TenantQuerySet.as_manager()

    def __str__(self):
        return self.name

    @property
    def tz(self):
        """The zone that the shop's clock on the wall shows."""
        return zoneinfo.ZoneInfo(self.zone)
