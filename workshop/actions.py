"""Changes of the workshop room over several rows, each one transaction."""

from django.db import transaction

from workshop import history
from workshop.models import Member, Shop, User
from workshop.refusals import Refused


class AlreadySetUp(Refused):
    """Somebody else was the first member a moment ago."""


# Other rooms add what a new shop should find, e.g. the reference species; each takes (shop, member, at).
FOUNDING = []


@transaction.atomic
def found_shop(*, user, shop_name, zone, at, key=None):
    """A new shop with `user` as its owner, furnished by every room; with a `key`, at most once."""
    User.objects.select_for_update().get(pk=user.pk)
    known = Member.objects.present().filter(shop__key=key, user=user).first() if key else None
    if known:
        return known
    shop = Shop.objects.create(name=shop_name, zone=zone, created_at=at, **({"key": key} if key else {}))
    member = Member.objects.create(
        shop=shop, user=user, role=Member.Role.OWNER, name=user.name, created_at=at, created_by=user
    )
    history.record(member, "founded", member, at=at, label=shop_name, after={"zone": zone})
    for furnish in FOUNDING:
        furnish(shop, member, at)
    return member


@transaction.atomic
def found_another(*, user, shop_name, zone, at, key):
    """A further shop of somebody who has an account; it becomes the one last used."""
    member = found_shop(user=user, shop_name=shop_name, zone=zone, at=at, key=key)
    user.last_shop = member.shop
    user.save(update_fields=["last_shop"])
    return member


@transaction.atomic
def set_up(*, email, password, name, shop_name, zone, at):
    """The first user and the first shop of an installation.

    Two first visitors at once: the table of users is asked again inside the transaction, and on
    SQLite that transaction already holds the write lock; on PostgreSQL the unique e-mail or the
    second count stops the loser.
    """
    if User.objects.select_for_update().exists():
        raise AlreadySetUp("This installation has been set up. Sign in instead.")
    user = User.objects.create_user(email=email, password=password, name=name)
    return found_shop(user=user, shop_name=shop_name, zone=zone, at=at)


@transaction.atomic
def change_shop(member, values, *, at):
    """New settings for the shop, with what they were before kept in history."""
    shop = Shop.objects.select_for_update().get(pk=member.shop_id)
    before, after = history.changes(shop, values)
    if not after:
        return shop
    for name in after:
        setattr(shop, name, values[name])
    shop.save(update_fields=list(after))
    history.record(member, "changed the shop", member, at=at, label=shop.name, before=before, after=after)
    return shop
