"""Woods, with the properties that handbooks print."""

from django.db import models

from workshop.models.base import ShopRow, row_meta


class Species(ShopRow):
    """A wood. Those copied from the handbook carry their source; a shop may add its own."""

    name = models.CharField(max_length=80)
    reference = models.CharField(max_length=80, blank=True)
    specific_gravity = models.FloatField(null=True, blank=True)
    modulus_gpa = models.FloatField(null=True, blank=True)
    radial = models.FloatField(
        null=True, blank=True, help_text="change per percent of moisture, across the rings"
    )
    tangential = models.FloatField(
        null=True, blank=True, help_text="change per percent of moisture, along the rings"
    )
    source = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["shop", "name"], name="materials_species_name")
        )
        verbose_name_plural = "species"

    def __str__(self):
        return self.name
