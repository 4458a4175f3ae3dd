"""Printed sheets."""

from django.db import models

from projects.models.design import Project
from workshop.models.base import ShopRow, row_meta


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
        constraints = row_meta(
            models.UniqueConstraint(fields=["project", "number"], name="projects_sheet_number")
        )

    def __str__(self):
        return f"sheet {self.number}"

    @property
    def version(self):
        """The hash as people compare it: two groups of four."""
        return f"{self.hash[:4]} {self.hash[4:8]}"
