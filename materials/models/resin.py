"""Resins as their data sheets describe them."""

from django.db import models
from django.db.models import Q

from workshop.models.base import ShopRow, row_meta
from workshop.models.records import Document

POSITIVE = (
    "parts_a",
    "parts_b",
    "density_a_g_ml",
    "density_b_g_ml",
    "pot_minutes",
    "pot_mass_g",
    "refractive_index",
    "ratio_tolerance_percent",
)


class Resin(ShopRow):
    """A product of two liquids, field by field as its sheet says."""

    class Use(models.TextChoices):
        CASTING = "casting", "casting: poured deep, sets slowly"
        COATING = "coating", "coating: thin films, sets fast"

    class Basis(models.TextChoices):
        MASS = "mass", "by mass"
        VOLUME = "volume", "by volume"

    class PotMeaning(models.TextChoices):
        THICK = "viscosity", "it has become twice as thick"
        GEL = "gel", "it has gelled"
        WARM = "temperature", "it has become warm"

    name = models.CharField(max_length=80)
    maker = models.CharField(max_length=80, blank=True)
    use = models.CharField(max_length=10, choices=Use, default=Use.CASTING)
    parts_a = models.FloatField()
    parts_b = models.FloatField()
    basis = models.CharField(max_length=10, choices=Basis, default=Basis.MASS)
    density_a_g_ml = models.FloatField()
    density_b_g_ml = models.FloatField()
    viscosity_pa_s = models.FloatField(null=True, blank=True)
    pot_minutes = models.FloatField()
    pot_mass_g = models.FloatField(default=100)
    pot_c = models.FloatField(default=25)
    pot_meaning = models.CharField(max_length=12, choices=PotMeaning, default=PotMeaning.THICK)
    second_pot_minutes = models.FloatField(null=True, blank=True)
    second_pot_mass_g = models.FloatField(null=True, blank=True)
    second_pot_c = models.FloatField(null=True, blank=True)
    cup_peak_c = models.FloatField(null=True, blank=True)
    max_depth_mm = models.FloatField(null=True, blank=True)
    depth_c = models.FloatField(default=25)
    recoat_open_h = models.FloatField(null=True, blank=True)
    recoat_close_h = models.FloatField(null=True, blank=True)
    demould_h = models.FloatField(null=True, blank=True)
    full_cure_h = models.FloatField(null=True, blank=True)
    recoat_c = models.FloatField(default=25)
    min_c = models.FloatField(null=True, blank=True)
    max_c = models.FloatField(null=True, blank=True)
    max_humidity_percent = models.FloatField(null=True, blank=True)
    pack_g = models.FloatField(null=True, blank=True, help_text="what one kit mixes to")
    lead_days = models.PositiveSmallIntegerField(null=True, blank=True)
    shelf_months_closed = models.PositiveSmallIntegerField(null=True, blank=True)
    shelf_months_open = models.PositiveSmallIntegerField(null=True, blank=True)
    sheet = models.ForeignKey(Document, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    refractive_index = models.FloatField(default=1.55)
    ratio_tolerance_percent = models.FloatField(default=2)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["shop", "name"], name="materials_resin_name"),
            *(
                models.CheckConstraint(condition=Q(**{f"{field}__gt": 0}), name=f"materials_resin_{field}")
                for field in POSITIVE
            ),
        )

    def __str__(self):
        return self.name

    @property
    def densities(self):
        """Density of A and of B in g/ml."""
        return self.density_a_g_ml, self.density_b_g_ml

    @property
    def says_pot_life_alone(self):
        """Whether a pot life is all that its sheet says of heat."""
        return self.max_depth_mm is None and self.second_pot_minutes is None and self.cup_peak_c is None

    @property
    def sheet_parts(self):
        """The sheet's ratio in words: 100 : 45 by mass."""
        return f"{self.parts_a:g} : {self.parts_b:g} {self.get_basis_display()}"
