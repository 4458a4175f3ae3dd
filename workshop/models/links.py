"""Links that are handed to a person: into a shop, to a new password, and for a calendar program."""

from django.conf import settings
from django.db import models

from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.people import Member


class InvitationQuerySet(ShopQuerySet):
    """Questions about who has been asked in."""

    def open(self, *, at):
        """Those that can still be used."""
        return self.filter(used_at=None, revoked_at=None, expires_at__gt=at)


class Invitation(ShopRow):
    """One link into a shop, for one person, for seven days."""

    DAYS = 7

    role = models.CharField(max_length=10, choices=Member.Role)
    for_whom = models.CharField(max_length=80, blank=True)
    token_hash = models.CharField(max_length=64, unique=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    used_by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+", null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return self.for_whom or f"a {self.get_role_display()}"

    def is_open(self, at):
        """Whether it still leads into the shop."""
        return self.used_at is None and self.revoked_at is None and self.expires_at > at


class FeedLinkQuerySet(ShopQuerySet):
    """Questions about calendar addresses."""

    def good(self):
        """Addresses that still answer: not taken back, and of somebody who is still there."""
        return self.filter(revoked_at=None, member__left_at=None)


class FeedLink(ShopRow):
    """A secret address under which a calendar program reads a member's work and clocks."""

    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="feeds")
    token_hash = models.CharField(max_length=64, unique=True)
    shown_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = FeedLinkQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(
                fields=["member"], condition=models.Q(revoked_at=None), name="workshop_feed_once"
            )
        )

    def __str__(self):
        return "their calendar"


class PasswordReset(models.Model):
    """One link to a new password, for one hour. It belongs to a person, not to a shop."""

    HOURS = 1

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    token_hash = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    def __str__(self):
        return f"new password for {self.user}"

    def is_open(self, at):
        """Whether it still leads to a new password."""
        return self.used_at is None and self.expires_at > at
