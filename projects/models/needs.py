"""What a project still wants from the shelf."""

from django.db import models
from django.db.models import Q

from materials.models import Lot, Resin, Species, Supply
from projects.models.design import Block, Project
from projects.models.steps import Step
from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class NeedQuerySet(ShopQuerySet):
    """Questions about what is wanted."""

    def open(self):
        """What live projects still want."""
        return self.filter(
            thousandths__gt=0, removed_at=None, project__removed_at=None, project__state__in=Project.LIVE
        )


class Need(ShopRow):
    """An amount of one thing that a project still wants; from a block it follows figures and pours."""

    class Source(models.TextChoices):
        BLOCK = "block", "from the block"
        HAND = "hand", "written in"

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="needs")
    block = models.ForeignKey(Block, on_delete=models.PROTECT, null=True, blank=True, related_name="needs")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="needs")
    source = models.CharField(max_length=6, choices=Source, default=Source.HAND)
    resin = models.ForeignKey(Resin, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    part = models.CharField(max_length=1, choices=Lot.Part, blank=True)
    species = models.ForeignKey(Species, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    supply = models.ForeignKey(Supply, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    thousandths = models.BigIntegerField()
    unit = models.CharField(max_length=10, choices=Lot.Unit)
    thickness_mm = models.FloatField(null=True, blank=True)
    width_mm = models.FloatField(null=True, blank=True)
    length_mm = models.FloatField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = NeedQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(
                    resin__isnull=False, species__isnull=True, supply__isnull=True, part__in=["A", "B"]
                )
                | Q(resin__isnull=True, species__isnull=False, supply__isnull=True, part="")
                | Q(resin__isnull=True, species__isnull=True, supply__isnull=False, part=""),
                name="projects_need_one_target",
            ),
            models.CheckConstraint(condition=Q(thousandths__gte=0), name="projects_need_amount"),
        )

    def __str__(self):
        return f"{self.thousandths / 1000:g} {self.unit}"

    @property
    def amount(self):
        """In its unit."""
        return self.thousandths / 1000
