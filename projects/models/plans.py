"""Plans of the shop's work: proposals, what became of them, and where each step stands in them."""

from django.db import models
from django.db.models import F, Q

from projects.models.steps import Step
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.records import AppendOnlyMixin, AppendOnlyQuerySet


class PlanQuerySet(ShopQuerySet):
    """Questions about plans."""

    def open(self):
        """Proposals that nobody has accepted or dropped."""
        return self.filter(accepted_at=None, dropped_at=None)

    def newest_first(self):
        """What was made last in front."""
        return self.order_by("-created_at", "-pk")

    def in_force(self):
        """What was accepted last in front."""
        return self.exclude(accepted_at=None).order_by("-accepted_at", "-pk")


class Plan(ShopRow):
    """A plan as it was made: where each step stands is in its slots, what it could not keep in `snapshot`.

    `input_hash` is of all the rows it was made from, so that a plan which time has passed over is known.
    """

    input_hash = models.CharField(max_length=64)
    snapshot = models.JSONField(default=dict)
    snapshot_version = models.PositiveSmallIntegerField(default=1)
    accepted_at = models.DateTimeField(null=True, blank=True)
    dropped_at = models.DateTimeField(null=True, blank=True)

    objects = PlanQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(accepted_at=None) | Q(dropped_at=None), name="projects_plan_one_end"
            )
        )
        indexes = [models.Index(fields=["shop", "-created_at", "-id"], name="projects_plan_newest")]

    def __str__(self):
        return f"plan of {self.created_at:%d %b %H:%M}"

    @property
    def is_open(self):
        """Whether somebody may still accept it."""
        return self.accepted_at is None and self.dropped_at is None


class PlanSlotQuerySet(AppendOnlyQuerySet):
    """Questions about where steps stand in plans."""

    def in_order(self):
        """As they follow each other."""
        return self.order_by("starts_at", "step", "part")

    def in_parts(self):
        """Each step's parts behind each other: step, from when to when, whether a window was given up."""
        return self.order_by("step", "part").values_list("step_id", "starts_at", "ends_at", "relaxed")


class PlanSlot(AppendOnlyMixin, ShopRow):
    """From when to when a plan has a step; work that is done in parts has one for each of them."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="slots")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="slots")
    part = models.PositiveSmallIntegerField(default=0)
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    relaxed = models.BooleanField(default=False)

    objects = PlanSlotQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["plan", "step", "part"], name="projects_slot_once"),
            models.CheckConstraint(condition=Q(ends_at__gte=F("starts_at")), name="projects_slot_order"),
        )

    def __str__(self):
        return f"{self.starts_at:%d %b %H:%M}"
