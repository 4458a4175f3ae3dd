"""Things used up beside wood and resin: tape and the like, finishes, abrasives."""

from django.db import models
from django.db.models import Q

from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class SupplyQuerySet(ShopQuerySet):
    """Questions about supplies."""

    def kept(self):
        """Those that were not taken off the list."""
        return self.filter(removed_at=None)

    def in_order(self):
        """As the list shows them."""
        return self.order_by("kind", "name", "grade", "pk")


class Supply(ShopRow):
    """A product that the shop buys again: what its label says. What stands on the shelf of it is a lot."""

    class Kind(models.TextChoices):
        CONSUMABLE = "consumable", "tape and the like"
        FINISH = "finish", "finish"
        ABRASIVE = "abrasive", "abrasive"

    class System(models.TextChoices):
        FEPA_P = "P", "P (FEPA)"
        CAMI = "CAMI", "CAMI"

    class Unit(models.TextChoices):
        LEVEL = "level", "only enough or low"
        GRAM = "g", "g"
        MILLILITRE = "ml", "ml"
        PIECE = "pieces", "pieces"
        METRE = "m", "m"

    kind = models.CharField(max_length=12, choices=Kind)
    name = models.CharField(max_length=80)
    maker = models.CharField(max_length=80, blank=True)
    unit = models.CharField(max_length=10, choices=Unit, default=Unit.LEVEL)
    grade = models.CharField(max_length=10, blank=True)
    grade_system = models.CharField(max_length=8, choices=System, blank=True)
    coverage_m2_l = models.FloatField(null=True, blank=True)
    recoat_h = models.FloatField(null=True, blank=True)
    recoat_close_h = models.FloatField(null=True, blank=True)
    recoat_c = models.FloatField(default=20)
    penetrating = models.BooleanField(default=False, help_text="soaks into wood, not into resin")
    pack = models.FloatField(null=True, blank=True, help_text="what one pack holds, in the unit")
    lead_days = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = SupplyQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(
                fields=["shop", "name", "grade", "grade_system"], name="materials_supply_name"
            ),
            models.CheckConstraint(
                condition=Q(kind="abrasive") | Q(grade="", grade_system=""), name="materials_supply_grade"
            ),
            models.CheckConstraint(
                condition=Q(grade="") | Q(grade_system__in=["P", "CAMI"]), name="materials_supply_system"
            ),
        )
        verbose_name_plural = "supplies"

    def __str__(self):
        return f"{self.name} {self.grade_shown}".strip()

    @property
    def grade_shown(self):
        """The grade with its system, as it is read out: P240, CAMI 240; empty without one."""
        if not self.grade:
            return ""
        return f"P{self.grade}" if self.grade_system == self.System.FEPA_P else f"CAMI {self.grade}"
