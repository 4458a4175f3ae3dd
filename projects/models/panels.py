"""The panel as it is designed, and its pieces as they are laid.

Only what was chosen is stored; pieces are computed from it anew.
"""

from django.db import models
from django.db.models import Q

from projects.models.design import Project
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.machines import Machine

POSITIVE = ("width_mm", "height_mm")
NOT_NEGATIVE = ("glue_mm", "overhang_mm", "truing_mm", "trim_mm", "stub_mm")


class PanelDesignQuerySet(ShopQuerySet):
    """Questions about designs."""

    def of_project(self, project):
        """The design of a project with its saw, or None where nobody has kept one."""
        return self.filter(project=project).select_related("saw").first()


class PanelDesign(ShopRow):
    """What a panel is made from: pattern and sizes, frame, where the pattern lies, saw, rule for lines."""

    class Lines(models.TextChoices):
        RUN_ON = "run_on", "Lines run on across rims"
        ALIKE = "alike", "All bars alike"

    project = models.OneToOneField(Project, on_delete=models.PROTECT, related_name="panel")
    pattern = models.CharField(max_length=20)
    sizes = models.JSONField(default=dict)
    width_mm = models.FloatField()
    height_mm = models.FloatField()
    origin = models.JSONField(null=True, blank=True)
    turn_deg = models.FloatField(default=0)
    glue_mm = models.FloatField(default=0)
    overhang_mm = models.FloatField(default=0)
    # of the cutting: off each sawn edge, off a bar's end to square it, what can't be sawn any more
    truing_mm = models.FloatField(default=0)
    trim_mm = models.FloatField(default=3)
    stub_mm = models.FloatField(default=40)
    saw = models.ForeignKey(Machine, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    overrides = models.JSONField(default=dict, blank=True)
    lines = models.CharField(max_length=8, choices=Lines, default=Lines.ALIKE)
    hash = models.CharField(max_length=64)

    objects = PanelDesignQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(
                    **{f"{name}__gt": 0 for name in POSITIVE}, **{f"{name}__gte": 0 for name in NOT_NEGATIVE}
                ),
                name="projects_paneldesign_sizes",
            )
        )

    def __str__(self):
        return f"panel of {self.project}"


class PieceMarkQuerySet(ShopQuerySet):
    """Questions about laid pieces."""

    def of_version(self, project, version):
        """The marks that were made on one version of a project's piece map."""
        return self.filter(project=project, hash=version)

    def of_other_versions(self, project, version):
        """Pieces still marked on versions that are not the one in force."""
        return self.filter(project=project).exclude(hash=version).exclude(state=PieceMark.State.OFF)


class PieceMark(ShopRow):
    """A piece of the map as it lies at the bench; it belongs to the version whose numbers it uses."""

    class State(models.TextChoices):
        LAID = "laid", "laid"
        TURNED = "turned", "laid turned"
        SWAPPED = "swapped", "another piece lies there"
        OFF = "off", "taken off again"

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="piece_marks")
    number = models.PositiveIntegerField()
    hash = models.CharField(max_length=64)
    state = models.CharField(max_length=8, choices=State, default=State.LAID)
    at = models.DateTimeField()

    objects = PieceMarkQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["project", "number", "hash"], name="projects_piecemark_place"),
            models.CheckConstraint(condition=Q(number__gt=0), name="projects_piecemark_number"),
        )

    def __str__(self):
        return f"piece {self.number}"
