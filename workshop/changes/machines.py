"""Changes of what the shop works with, each with its line of history."""

from django.db import transaction

from workshop import history
from workshop.models import Machine


@transaction.atomic
def add(member, kind, values, *, at):
    """A new machine."""
    row = Machine.objects.create(shop=member.shop, created_at=at, created_by=member.user, kind=kind, **values)
    told = {name: history.plain(value) for name, value in values.items() if value is not None}
    history.record(member, "added the machine", row, at=at, label=row.name, after=told)
    return row


@transaction.atomic
def change(member, machine, values, *, at):
    """New figures for a machine."""
    row = Machine.objects.select_for_update().get(pk=machine.pk)
    before, after = history.changes(row, values)
    if after:
        for name in after:
            setattr(row, name, values[name])
        row.save(update_fields=list(after))
        history.record(member, "changed the machine", row, at=at, label=row.name, before=before, after=after)
    return row


@transaction.atomic
def retire(member, machine, *, retired, at):
    """Out of use, or back in use; twice is once."""
    row = Machine.objects.select_for_update().get(pk=machine.pk)
    if bool(row.retired_at) == retired:
        return row
    row.retired_at = at if retired else None
    row.save(update_fields=["retired_at"])
    verb = "retired the machine" if retired else "brought back the machine"
    history.record(member, verb, row, at=at, label=row.name)
    return row
