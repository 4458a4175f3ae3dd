"""Changes of the workshop room over several rows, each one transaction."""

from django.db import connection, transaction

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
    """The first user and the first shop of an installation; a demo does not count.

    Two first visitors at once: whether there is a shop is asked inside the transaction, when nobody
    else can add a user any more, so the second is told to sign in.
    """
    let_nobody_else_in()
    if Shop.objects.real().exists():
        raise AlreadySetUp("This installation has been set up. Sign in instead.")
    user = User.objects.create_user(email=email, password=password, name=name)
    return found_shop(user=user, shop_name=shop_name, zone=zone, at=at)


def let_nobody_else_in():
    """Keep others from adding users until this transaction ends.

    On SQLite it holds the only write lock from its begin; on PostgreSQL no row exists yet that
    could be locked, so the table is.
    """
    if connection.vendor == "postgresql":
        table = connection.ops.quote_name(User._meta.db_table)
        with connection.cursor() as cursor:
            cursor.execute(f"LOCK TABLE {table} IN SHARE ROW EXCLUSIVE MODE")


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
    history.record(member, "changed the shop", shop, at=at, label=shop.name, before=before, after=after)
    return shop
