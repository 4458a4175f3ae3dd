"""What a project still wants from the shelf."""

from django.db import models
from django.db.models import Case, Exists, OuterRef, Q, Subquery, When

from materials.models import Lot, Resin, Species, Supply
from projects.models.design import Block, Project
from projects.models.steps import Step
from workshop.models.base import ShopQuerySet, ShopRow, row_meta

NOT_OVER = (Step.State.TO_DO, Step.State.UNDER_WAY)
POURS = (Step.Kind.POUR,)
FOR_STRIPS = (Step.Kind.CONDITION, Step.Kind.MEASURE, Step.Kind.SEAL, Step.Kind.LOAD)


class NeedQuerySet(ShopQuerySet):
    """Questions about what is wanted."""

    def open(self):
        """What live projects still want: nothing of a block whose pours, or loading, are over."""
        live = self.filter(
            thousandths__gt=0, removed_at=None, project__removed_at=None, project__state__in=Project.LIVE
        )
        for target, kind in (("resin", Step.Kind.POUR), ("species", Step.Kind.LOAD)):
            steps = Step.objects.kept().filter(block=OuterRef("block"), kind=kind)
            over = Exists(steps) & ~Exists(steps.filter(state__in=NOT_OVER))
            live = live.exclude(Q(source=Need.Source.BLOCK, **{f"{target}__isnull": False}) & over)
        return live

    def with_names(self):
        """With the rows that say what it is and whose."""
        return self.select_related("project", "block", "resin", "species", "supply")

    def with_plan(self):
        """Each with the first planned step that needs it: `planned_at` and `planned_step`."""
        return self.annotate(planned_at=of_first_step("planned_start"), planned_step=of_first_step("title"))

    def in_order(self):
        """Resin, wood, then what was written in."""
        return self.order_by(
            models.F("resin").asc(nulls_last=True), "part", models.F("species").asc(nulls_last=True), "pk"
        )


def of_first_step(field):
    """A field of the first planned step that needs a thing: a pour, the first work on strips, or its own."""
    planned = Step.objects.kept().filter(state__in=NOT_OVER, planned_start__isnull=False)
    of_block = planned.filter(block=OuterRef("block")).order_by("planned_start", "pk")
    pours, wood = (of_block.filter(kind__in=kinds).values(field)[:1] for kinds in (POURS, FOR_STRIPS))
    own = planned.filter(pk=OuterRef("step")).values(field)[:1]
    return Case(
        When(resin__isnull=False, then=Subquery(pours)),
        When(species__isnull=False, then=Subquery(wood)),
        default=Subquery(own),
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
