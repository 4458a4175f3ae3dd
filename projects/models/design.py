"""What is being made: a project and its blocks."""

from django.db import models
from django.db.models import Q

from materials.models import Resin, Species
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.records import Picture

POSITIVE = ("strip_mm", "gap_mm", "finished_mm", "length_mm")
NOT_NEGATIVE = ("flatten_mm", "edge_mm", "rim_mm", "over_mm", "film_percent", "soak_percent")


class ProjectQuerySet(ShopQuerySet):
    """Questions about what is being made."""

    def kept(self):
        """Those that were not removed."""
        return self.filter(removed_at=None)

    def newest_first(self):
        """For the list: what was begun last stands on top."""
        return self.kept().order_by("-created_at", "-pk")

    def live(self):
        """Those that are planned or under way: what the shop works on."""
        return self.kept().filter(state__in=Project.LIVE)


class Project(ShopRow):
    """One piece from idea to finished panel."""

    class State(models.TextChoices):
        IDEA = "idea", "idea"
        PLANNED = "planned", "planned"
        UNDER_WAY = "under_way", "under way"
        FINISHED = "finished", "finished"
        SET_ASIDE = "set_aside", "set aside"

    class Purpose(models.TextChoices):
        PIECE = "piece", "a piece"
        CASTING = "casting", "a test casting"

    LIVE = (State.PLANNED, State.UNDER_WAY)

    code = models.CharField(max_length=12)
    title = models.CharField(max_length=120)
    state = models.CharField(max_length=12, choices=State, default=State.PLANNED)
    purpose = models.CharField(max_length=10, choices=Purpose, default=Purpose.PIECE)
    due_on = models.DateField(null=True, blank=True)
    customer = models.CharField(max_length=120, blank=True)
    customer_note = models.CharField(max_length=1000, blank=True)
    cover = models.ForeignKey(Picture, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    set_aside_why = models.CharField(max_length=300, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = ProjectQuerySet.as_manager()

    class Meta:
        constraints = row_meta(models.UniqueConstraint(fields=["shop", "code"], name="projects_project_code"))

    def __str__(self):
        return f"{self.code} {self.title}"


class Block(ShopRow):
    """A laminate block as planned. Everything else about it is computed from these figures."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="blocks")
    position = models.PositiveSmallIntegerField(default=0)
    species = models.ForeignKey(Species, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    resin = models.ForeignKey(Resin, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    strip_mm = models.FloatField(default=2)
    gap_mm = models.FloatField(default=2)
    finished_mm = models.FloatField(default=10)
    flatten_mm = models.FloatField(default=1)
    edge_mm = models.FloatField(default=3)
    strips = models.PositiveIntegerField(default=50)
    length_mm = models.FloatField(default=600)
    rim_mm = models.FloatField(default=4)
    over_mm = models.FloatField(default=1)
    film_percent = models.FloatField(default=3)
    soak_percent = models.FloatField(default=2)
    measured = models.JSONField(default=dict, blank=True)

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["project", "position"], name="projects_block_position"),
            models.CheckConstraint(
                condition=Q(strips__gt=0, **{f"{name}__gt": 0 for name in POSITIVE}),
                name="projects_block_positive",
            ),
            models.CheckConstraint(
                condition=Q(**{f"{name}__gte": 0 for name in NOT_NEGATIVE}),
                name="projects_block_not_negative",
            ),
        )

    def __str__(self):
        return f"Block {self.letter}"

    @property
    def letter(self):
        """A for the first block, B for the second."""
        return chr(ord("A") + self.position % 26)
