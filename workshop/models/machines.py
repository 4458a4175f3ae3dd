"""What the shop works with, and how exactly."""

from django.db import models
from django.db.models import Q

from workshop.models.base import ShopQuerySet, ShopRow, row_meta

FIGURES = (
    "kerf_mm",
    "gauge_max_deg",
    "angle_error_deg",
    "length_error_mm",
    "bed_mm",
    "max_length_mm",
    "depth_mm",
    "scale_step_g",
)


class MachineQuerySet(ShopQuerySet):
    """Questions about machines."""

    def in_use(self):
        """Those that have not been retired."""
        return self.filter(retired_at=None)


class Machine(ShopRow):
    """A machine, a mould or a set of clamps; a kind asks only for the figures that it has."""

    class Kind(models.TextChoices):
        SAW = "saw", "saw"
        PLANER = "planer", "planer"
        SANDER = "sander", "drum sander"
        PRINTER = "printer", "printer"
        SCALE = "scale", "scale"
        MOULD = "mould", "mould"
        CLAMPS = "clamps", "clamps"

    kind = models.CharField(max_length=10, choices=Kind)
    name = models.CharField(max_length=80)
    amount = models.PositiveIntegerField(default=1)
    kerf_mm = models.FloatField(null=True, blank=True)
    gauge_max_deg = models.FloatField(null=True, blank=True)
    angle_error_deg = models.FloatField(null=True, blank=True)
    length_error_mm = models.FloatField(null=True, blank=True)
    bed_mm = models.FloatField(null=True, blank=True)
    max_length_mm = models.FloatField(null=True, blank=True)
    depth_mm = models.FloatField(null=True, blank=True)
    scale_step_g = models.FloatField(null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = MachineQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(condition=Q(amount__gt=0), name="workshop_machine_amount"),
            *(
                models.CheckConstraint(
                    condition=Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__gt": 0}),
                    name=f"workshop_machine_{name}",
                )
                for name in FIGURES
            ),
        )

    def __str__(self):
        return self.name
