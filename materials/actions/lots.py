"""A lot from coming in to being taken off the shelf, each change one transaction."""

from django.db import transaction

from materials.actions.ledger import some_thousandths, write_line
from materials.models import Lot, Movement
from workshop import history
from workshop.refusals import Refused

A_NEW_PHOTO = "a new one"


@transaction.atomic
def receive(member, lot_values, amount, *, at):
    """A new lot with its first line: what came in, in the lot's unit; tape and the like have no line."""
    lot = Lot(shop=member.shop, created_at=at, created_by=member.user, **lot_values)
    if not lot.is_counted:
        lot.level = lot.level or Lot.Level.ENOUGH
    lot.save()
    if lot.is_counted:
        write_line(member, lot, Movement.Kind.RECEIVE, some_thousandths(amount), at=at)
    after = {"amount": amount} if lot.is_counted else {"level": str(lot.level)}
    history.record(member, "received", lot, at=at, label=label_of(lot), after=after)
    return lot


@transaction.atomic
def change_lot(member, lot, values, *, at, picture=None):
    """A lot's ticket as it should read; `picture` is a new photo of it, taken in before."""
    locked = hold(lot)
    before, after = history.changes(locked, values)
    fields = list(after)
    for name in fields:
        setattr(locked, name, values[name])
    if picture is not None:
        locked.picture = picture
        fields.append("picture")
        after["photo"] = A_NEW_PHOTO
    if fields:
        locked.search = locked.searched()
        locked.save(update_fields=[*fields, "search"])
        history.record(
            member, "changed the ticket of", locked, at=at, label=label_of(locked), before=before, after=after
        )
    return locked


@transaction.atomic
def open_lot(member, lot, values, *, at):
    """A lot is opened: `values` hold opened_on and condition, and may hold note and use_by."""
    locked = hold(lot)
    before, after = history.changes(locked, values)
    if after:
        for name in after:
            setattr(locked, name, values[name])
        locked.save(update_fields=list(after))
        history.record(member, "opened", locked, at=at, label=label_of(locked), before=before, after=after)
    return locked


@transaction.atomic
def set_level(member, lot, level, *, at):
    """Enough, low or gone; raises Refused for a lot that is counted."""
    locked = hold(lot)
    if locked.is_counted:
        raise Refused(f"{locked.code} is counted: write a line of what is left.")
    if locked.level != level:
        before, locked.level = {"level": locked.level}, level
        locked.save(update_fields=["level"])
        after = {"level": str(level)}
        history.record(
            member, "looked after", locked, at=at, label=label_of(locked), before=before, after=after
        )
    return locked


@transaction.atomic
def take_off(member, lot, *, at):
    """Off the shelf: used up, or thrown away. Its ledger stays, and it can be put back."""
    return place(member, lot, at, at=at, verb="took off the shelf")


@transaction.atomic
def put_back(member, lot, *, at):
    """Back on the shelf as it was."""
    return place(member, lot, None, at=at, verb="put back on the shelf")


def place(member, lot, removed_at, *, at, verb):
    """On the shelf or off it; said twice, done once."""
    locked = hold(lot)
    if bool(locked.removed_at) != bool(removed_at):
        locked.removed_at = removed_at
        locked.save(update_fields=["removed_at"])
        history.record(member, verb, locked, at=at, label=label_of(locked))
    return locked


def hold(lot):
    """The lot's row, locked until the act is done, as the ledger locks it."""
    locked = Lot.objects.select_for_update(of=("self",)).with_names()
    return locked.get(pk=lot.pk)


def label_of(lot):
    """A lot as history names it."""
    return f"{lot.code} {lot.what}"
