"""What every row of a shop has in common."""

import uuid

from django.conf import settings
from django.db import models


class ShopQuerySet(models.QuerySet):
    """Questions that start from a shop."""

    def of(self, shop):
        """Only the rows of this shop."""
        return self.filter(shop=shop)


class ShopRow(models.Model):
    """A row that belongs to one shop; its `key` is what addresses, acts and archives know it by."""

    shop = models.ForeignKey("workshop.Shop", on_delete=models.PROTECT, related_name="+")
    key = models.UUIDField(default=uuid.uuid4, editable=False)
    created_at = models.DateTimeField()
    created_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )

    objects = ShopQuerySet.as_manager()

    class Meta:
        abstract = True
        constraints = [models.UniqueConstraint(fields=["shop", "key"], name="%(app_label)s_%(class)s_key")]


def row_meta(*more):
    """The constraints of a row that adds its own to those of `ShopRow`."""
    return [*ShopRow._meta.constraints, *more]
