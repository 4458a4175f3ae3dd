"""What a calendar program was told, so that it can be told what has changed."""

from django.db import models

from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.people import Member


class FeedItemQuerySet(ShopQuerySet):
    """Questions about what stands in a member's calendar."""

    def in_order(self):
        """Always in the same order."""
        return self.order_by("created_at", "key")


class FeedItem(ShopRow):
    """One event of a member's calendar. Its key is the event's UID; `sequence` counts its changes."""

    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    target_key = models.UUIDField()
    content = models.JSONField()
    sequence = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField()
    gone_at = models.DateTimeField(null=True, blank=True)

    objects = FeedItemQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["member", "target_key"], name="projects_feed_once")
        )

    def __str__(self):
        return self.content.get("summary", "event")
