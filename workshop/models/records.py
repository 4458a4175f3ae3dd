"""What was done, and that it was done once: history, receipts, pictures."""

from django.db import models

from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.people import Member


class AppendOnly(Exception):  # noqa: N818 a sentence, not an error class for callers to catch
    """A row of history was about to be changed."""


class AppendOnlyMixin:
    """A row that is written once: changing or deleting it raises."""

    def save(self, *args, **kwargs):
        if self.pk is not None:
            raise AppendOnly(f"{type(self).__name__} rows are never changed; write a second line instead")
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        raise AppendOnly(f"{type(self).__name__} rows are never deleted; write a second line instead")


class AppendOnlyQuerySet(ShopQuerySet):
    """Rows that only grow: no update and no delete of many at once either."""

    def update(self, **values):
        raise AppendOnly(f"{self.model.__name__} rows are never changed; write a second line instead")

    def delete(self):
        raise AppendOnly(f"{self.model.__name__} rows are never deleted; write a second line instead")

    update.alters_data = delete.alters_data = True  # templates may not call them


class EventQuerySet(AppendOnlyQuerySet):
    """Questions about history."""

    def about(self, key):
        """What happened to one thing, newest first."""
        return self.filter(target_key=key).order_by("-at", "-pk")

    def about_any(self, keys):
        """What happened to any of several things, newest first."""
        return self.filter(target_key__in=keys).order_by("-at", "-pk")

    def of_kind(self, verbs, *, logged=False):
        """Only those with one of these verbs; with `logged`, what was written in the log as well."""
        among = models.Q(verb__in=verbs)
        return self.filter(among | models.Q(verb__startswith="logged ") if logged else among)


class Event(AppendOnlyMixin, ShopRow):
    """One line of history: who did what to what, from what to what, and why."""

    actor = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+", null=True, blank=True)
    at = models.DateTimeField()
    verb = models.CharField(max_length=40)
    target_label = models.CharField(max_length=160)
    target_key = models.UUIDField()
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)
    why = models.CharField(max_length=500, blank=True)

    objects = EventQuerySet.as_manager()

    class Meta:
        constraints = row_meta()
        indexes = [
            models.Index(fields=["target_key", "at"], name="workshop_event_target"),
            models.Index(fields=["shop", "-at", "-id"], name="workshop_event_newest"),
        ]

    def __str__(self):
        return f"{self.verb} {self.target_label}"


class ReceiptQuerySet(ShopQuerySet):
    """Questions about what was taken in."""

    def alike(self, member, digest, *, since):
        """What a member sent with just this content since a moment, newest first."""
        return self.filter(member=member, digest=digest, created_at__gte=since).order_by("-created_at", "-pk")


class Receipt(ShopRow):
    """Says that an act was taken in; its key is the act's key, so the act is done once."""

    class Status(models.TextChoices):
        STORED = "stored", "stored"
        REFUSED = "refused", "refused"

    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    digest = models.CharField(max_length=64)
    status = models.CharField(max_length=10, choices=Status)
    answer = models.JSONField(default=dict)

    objects = ReceiptQuerySet.as_manager()

    class Meta:
        constraints = row_meta()
        indexes = [models.Index(fields=["member", "digest"], name="workshop_receipt_alike")]

    def __str__(self):
        return f"{self.status} {self.key}"


class Picture(ShopRow):
    """One photo: an upright sRGB master without metadata, and smaller copies beside it."""

    sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    bytes = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return f"picture {self.key}"


class Document(ShopRow):
    """A data sheet as it was handed in; served as an attachment only, never opened by us."""

    sha256 = models.CharField(max_length=64)
    name = models.CharField(max_length=120)
    bytes = models.PositiveIntegerField()
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return self.name
