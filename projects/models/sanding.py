"""Sanding, session by session."""

from datetime import datetime, timedelta

from django.db import models
from django.db.models import Q

from projects import fold
from projects.models.log import LogEntry
from projects.models.steps import Step
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.machines import Machine


class SandingQuerySet(ShopQuerySet):
    """Questions about sanding."""

    def going_on(self):
        """Sessions that nobody has stopped."""
        return self.filter(ended_at=None).order_by("started_at", "pk")

    def with_story(self):
        """Newest first, with all that a list of them shows."""
        return self.select_related("step", "machine").order_by("-started_at", "-pk")


class SandingSession(ShopRow):
    """One grade on one side, start to stop; its times are a fold over the log, kept to be asked for."""

    class Side(models.TextChoices):
        FRONT = "front", "front"
        BACK = "back", "back"
        EDGES = "edges", "edges"

    entry = models.OneToOneField(LogEntry, on_delete=models.PROTECT, related_name="sanding")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="sanding_sessions")
    grade = models.CharField(max_length=10)
    system = models.CharField(max_length=8, choices=[("P", "P (FEPA)"), ("CAMI", "CAMI")])
    wet = models.BooleanField(default=False)
    machine = models.ForeignKey(Machine, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    side = models.CharField(max_length=8, choices=Side, default=Side.FRONT)
    area_mm2 = models.FloatField(null=True, blank=True)
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    pauses = models.JSONField(default=list, help_text="[from, to] as instants; to is null while it lasts")
    discs = models.PositiveSmallIntegerField(null=True, blank=True)
    removed_mm = models.FloatField(null=True, blank=True)

    objects = SandingQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=models.F("started_at")),
                name="projects_sanding_order",
            )
        )

    def __str__(self):
        return f"{self.grade_name}, {self.get_side_display()}"

    @property
    def grade_name(self):
        """The grade with its system, as it is read out: P240, CAMI 240."""
        return f"P{self.grade}" if self.system == "P" else f"{self.system} {self.grade}"

    @property
    def area_m2(self):
        """The sanded area as it is read out."""
        return None if self.area_mm2 is None else self.area_mm2 / 1e6

    @property
    def is_resting(self):
        """Whether it was paused and nobody has gone on with it."""
        return self.ended_at is None and bool(self.pauses) and self.pauses[-1][1] is None

    def worked(self, until):
        """How long hands were at it, pauses left out, at the latest until a moment."""
        end = self.ended_at or until
        pauses = [
            (datetime.fromisoformat(begun), datetime.fromisoformat(ended) if ended else end)
            for begun, ended in self.pauses
        ]
        rested = timedelta(minutes=fold.pause_minutes(pauses, end))
        return max(end - self.started_at - rested, timedelta(0))
