"""Printed sheets, and what went wrong."""

from django.db import models

from projects.models.design import Project
from projects.models.log import LogEntry, Pour
from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class Sheet(ShopRow):
    """A job sheet as it was printed: its snapshot makes it again, its version tells if it is current."""

    class Paper(models.TextChoices):
        A4 = "a4", "A4"
        LETTER = "letter", "Letter"

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="sheets")
    number = models.PositiveIntegerField()
    paper = models.CharField(max_length=8, choices=Paper, default=Paper.A4)
    snapshot = models.JSONField()
    hash = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    pdf_sha256 = models.CharField(max_length=64)

    class Meta:
        constraints = row_meta(models.UniqueConstraint(fields=["project", "number"], name="projects_sheet_number"))

    def __str__(self):
        return f"sheet {self.number}"

    @property
    def version(self):
        """The hash as people compare it: two groups of four."""
        return f"{self.hash[:4]} {self.hash[4:8]}"


class FailureQuerySet(ShopQuerySet):
    """Questions about failures."""

    def kept(self):
        """Those that were not removed."""
        return self.filter(removed_at=None)

    def newest_first(self):
        """With all that the list shows."""
        return (
            self.kept()
            .select_related("project", "entry", "entry__member", "pour", "pour__block")
            .prefetch_related("entry__entry_pictures__picture")
            .order_by("-noticed_at", "-pk")
        )


class Failure(ShopRow):
    """What went wrong, with the facts of its pour as they were known when it was noticed."""

    class Kind(models.TextChoices):
        SOFT = "soft", "tacky or soft"
        SOFT_SPOTS = "soft_spots", "soft spots or streaks"
        OVERHEATED = "overheated", "too hot: smoke, yellow, cracks"
        CRACKS = "cracks", "cracks days later"
        WOOD_BUBBLES = "wood_bubbles", "bubble trails from the wood"
        FINE_BUBBLES = "fine_bubbles", "fine bubbles everywhere"
        VOIDS = "voids", "large voids"
        HAZE = "haze", "milky or hazy"
        GREASY = "greasy", "greasy film"
        LAYER_LINE = "layer_line", "a line between pours"
        LOOSE = "loose", "wood and resin parted"
        LEAK = "leak", "the mould leaked"
        BOWED = "bowed", "strips bowed or touching"
        PITCH = "pitch", "strips out of pitch"
        WARPED = "warped", "the block bows"
        PERSON = "person", "skin or breathing trouble"
        OTHER = "other", "something else"

    class Severity(models.TextChoices):
        TRACE = "trace", "a trace"
        REPAIR = "repair", "wants repair"
        LOST = "lost", "the block is lost"

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="failures")
    entry = models.OneToOneField(LogEntry, on_delete=models.PROTECT, related_name="failure")
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="failures")
    kind = models.CharField(max_length=16, choices=Kind)
    where = models.CharField(max_length=300)
    severity = models.CharField(max_length=10, choices=Severity)
    noticed_at = models.DateTimeField()
    gathered = models.JSONField(default=dict)
    done = models.CharField(max_length=1000, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = FailureQuerySet.as_manager()

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return self.get_kind_display()
