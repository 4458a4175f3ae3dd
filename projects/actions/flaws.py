"""Flaws marked on a block, and taken off again."""

from django.db import transaction

from projects.models import Flaw
from workshop import history


@transaction.atomic
def mark_flaw(member, block, values, *, at):
    """A flaw that the cut plan goes around: kind, casting, along_mm, across_mm, length_mm, width_mm, note."""
    flaw = Flaw.objects.create(shop=block.shop, created_at=at, created_by=member.user, block=block, **values)
    history.record(
        member, "marked", flaw, at=at, label=label_of(flaw),
        after={name: values[name] for name in ("along_mm", "across_mm", "length_mm", "width_mm")},
    )  # fmt: skip
    return flaw


@transaction.atomic
def remove_flaw(member, flaw, *, at, removed):
    """Take a flaw off its block, or put it back."""
    locked = Flaw.objects.select_for_update().get(pk=flaw.pk)
    if bool(locked.removed_at) != removed:
        locked.removed_at = at if removed else None
        locked.save(update_fields=["removed_at"])
        history.record(
            member, "removed" if removed else "brought back", locked, at=at, label=label_of(locked)
        )
    return locked


def label_of(flaw):
    """How history names a flaw."""
    return f"{flaw.block.project.code} {flaw.block}, {flaw.get_kind_display()}"
