"""What is wrong with a block as it lies there: places that no piece may use."""

from django.db import models
from django.db.models import Q

from projects.models.design import Block
from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class FlawQuerySet(ShopQuerySet):
    """Questions about flaws."""

    def kept(self):
        """Those that were not taken off again."""
        return self.filter(removed_at=None)

    def in_order(self):
        """As they are counted on the drawing: along the block, then across it."""
        return self.order_by("casting", "along_mm", "across_mm", "pk")

    def removed_last(self):
        """The one that was taken off last; it can be put back. None without one."""
        return self.exclude(removed_at=None).order_by("-removed_at", "-pk").first()


class Flaw(ShopRow):
    """A rectangle of a block, seen from above, that the cut plan goes around.

    `along_mm` and `across_mm` say where its middle is: from the end that is squared, and from the long
    edge that rips are counted from.
    """

    class Kind(models.TextChoices):
        VOID = "void", "void"
        BUBBLE = "bubble", "bubbles"
        LEAN = "lean", "leaned strip"
        CRACK = "crack", "crack"
        BURN = "burn", "burn"
        HAZE = "haze", "haze"
        THIN = "thin", "thin place"
        OTHER = "other", "something else"

    block = models.ForeignKey(Block, on_delete=models.PROTECT, related_name="flaws")
    # which of them, where a block is cast more than once
    casting = models.PositiveSmallIntegerField(default=1)
    kind = models.CharField(max_length=8, choices=Kind)
    along_mm = models.FloatField()
    across_mm = models.FloatField()
    length_mm = models.FloatField()
    width_mm = models.FloatField()
    note = models.CharField(max_length=200, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = FlawQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(
                    length_mm__gt=0, width_mm__gt=0, along_mm__gte=0, across_mm__gte=0, casting__gt=0
                ),
                name="projects_flaw_sizes",
            )
        )

    def __str__(self):
        return self.get_kind_display()
