"""What ties steps of a route together, and the routes that a shop keeps for later projects."""

from django.db import models
from django.db.models import F, Q

from projects.models.steps import Step
from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class StepLinkQuerySet(ShopQuerySet):
    """Questions about what waits for what."""

    def standing(self):
        """Links between steps that both stand in their route."""
        ends = {"before__removed_at": None, "after__removed_at": None}
        return self.filter(before__project__removed_at=None, **ends).order_by("after", "before", "pk")

    def of_routes(self, projects):
        """Links that stand in the routes of these projects, with both their steps."""
        return self.standing().filter(after__project__in=projects).select_related("before", "after")

    def of_project(self, project):
        """All links of a project's route, those of steps that were taken out too."""
        rows = self.filter(before__project=project)
        return rows.select_related("before", "after").order_by("after__position", "before__position", "pk")


class StepLink(ShopRow):
    """One step waits for the end of another, and may have to begin before a window closes."""

    class Law(models.TextChoices):
        WALL = "wall", "hours as they are"
        TEN_DEGREE = "ten_degree", "hours follow the warmth"

    before = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="links_out")
    after = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="links_in")
    open_min = models.PositiveIntegerField(default=0)
    close_min = models.PositiveIntegerField(null=True, blank=True)
    # nothing can be done once the window has closed: a pour inside a filled stack, where nobody can sand
    hard = models.BooleanField(default=False)
    at_c = models.FloatField(null=True, blank=True)
    law = models.CharField(max_length=12, choices=Law, default=Law.WALL)

    objects = StepLinkQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["before", "after"], name="projects_steplink_pair"),
            models.CheckConstraint(condition=~Q(before=F("after")), name="projects_steplink_two_steps"),
            models.CheckConstraint(
                condition=Q(close_min=None) | Q(close_min__gte=F("open_min")), name="projects_steplink_window"
            ),
        )

    def __str__(self):
        return f"“{self.after}” after “{self.before}”"

    @property
    def has_window(self):
        """Whether it opens or closes at all, rather than only coming after."""
        return bool(self.open_min) or self.close_min is not None


class RouteQuerySet(ShopQuerySet):
    """Questions about kept routes."""

    def kept(self):
        """Those that were not removed, by their names."""
        return self.filter(removed_at=None).order_by("name", "pk")

    def removed_last(self):
        """The route that was taken off the list last; it can be brought back. None without one."""
        return self.exclude(removed_at=None).order_by("-removed_at", "-pk").first()


class Route(ShopRow):
    """A route that a shop keeps as a pattern: its steps and links as plain values."""

    name = models.CharField(max_length=80)
    steps = models.JSONField(default=dict)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = RouteQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(
                fields=["shop", "name"], condition=Q(removed_at=None), name="projects_route_name"
            )
        )

    def __str__(self):
        return self.name

    @property
    def lines(self):
        """Its steps, each as plain values; `said` is its title as it is read."""
        lines = self.steps.get("steps", [])
        return [{**line, "said": line["title"].replace("{block}", "the block")} for line in lines]
