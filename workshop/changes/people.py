"""Who comes in, who goes, and who decides. Each change is one transaction with its line of history.

All of them lock the shop's row first: two owners who act at once are taken one after the other, so
that the shop never stands without an owner, and nobody decides who was removed a moment ago.
"""

from datetime import timedelta

from django.db import transaction

from workshop import history, tokens
from workshop.models import Invitation, Member, Shop, User
from workshop.refusals import Refused


class LastOwner(Refused):
    """Without this one nobody could decide anything in the shop."""


class LinkIsSpent(Refused):
    """The link was used, taken back, or has run out."""


class AlreadyIn(Refused):
    """The person belongs to the shop."""


ONLY_OWNER = "This is the only owner. Make somebody else an owner first."
NOT_AN_OWNER = "You are no longer an owner of this shop, so nothing was changed."
GONE = "This person has left the shop already. Load the page again."


def lock_shop(shop_id):
    """Hold the shop's row until the transaction ends."""
    return Shop.objects.select_for_update().get(pk=shop_id)


def lock_as_owner(owner):
    """Hold the shop's row for somebody who must still be an owner by then."""
    lock_shop(owner.shop_id)
    if not Member.objects.owners().filter(pk=owner.pk).exists():
        raise Refused(NOT_AN_OWNER)


def keep_an_owner(member):
    """Refuse what would leave the shop without one."""
    others = Member.objects.owners().filter(shop=member.shop_id).exclude(pk=member.pk)
    if member.role == Member.Role.OWNER and not others.exists():
        raise LastOwner(ONLY_OWNER)


def present_again(member):
    """The member as the table has it now, under the lock."""
    row = Member.objects.present().filter(pk=member.pk).select_related("shop", "user").first()
    if row is None:
        raise Refused(GONE)
    return row


@transaction.atomic
def invite(owner, *, key, role, for_whom, at):
    """A link into the shop. Its secret is derived from `key`; the table holds a fingerprint."""
    lock_as_owner(owner)
    invitation = Invitation.objects.create(
        shop=owner.shop,
        key=key,
        created_at=at,
        created_by=owner.user,
        role=role,
        for_whom=for_whom,
        token_hash=tokens.fingerprint(tokens.of_invitation(key)),
        expires_at=at + timedelta(days=Invitation.DAYS),
    )
    history.record(owner, "invited", invitation, at=at, label=str(invitation), after={"role": role})
    return invitation


@transaction.atomic
def revoke(owner, invitation, *, at):
    """The link leads nowhere from now on. Taking it back twice is taking it back."""
    lock_as_owner(owner)
    row = Invitation.objects.select_for_update().get(pk=invitation.pk)
    if row.used_at:
        raise LinkIsSpent("This link was used a moment ago. Look at the people of the shop.")
    if row.revoked_at is None:
        take_back(owner, row, at)


def take_back(actor, invitation, at):
    """End one open link, with its line of history."""
    invitation.revoked_at = at
    invitation.save(update_fields=["revoked_at"])
    history.record(actor, "took back the invitation of", invitation, at=at, label=str(invitation))


def take_back_all_of(actor, user, shop, at):
    """End the open links somebody made, when they no longer decide: else they could hand themselves one."""
    for invitation in Invitation.objects.of(shop).open(at=at).filter(created_by=user):
        take_back(actor, invitation, at)


@transaction.atomic
def join(user, invitation, *, at):
    """Use a link: the person becomes a member, or a member again, with the role of the link."""
    lock_shop(invitation.shop_id)
    row = Invitation.objects.select_for_update().select_related("shop").get(pk=invitation.pk)
    member = Member.objects.filter(shop=row.shop, user=user).first()
    if member and row.used_by_id == member.pk and member.left_at is None:
        return member  # sent twice
    if not row.is_open(at):
        raise LinkIsSpent("This link can't be used any more.")
    if member and member.left_at is None:
        raise AlreadyIn(f"You belong to {row.shop.name} already. The link is still good for somebody else.")
    member = come_in(user, row, member, at)
    row.used_at, row.used_by = at, member
    row.save(update_fields=["used_at", "used_by"])
    history.record(member, "joined", member, at=at, label=member.name, after={"role": row.role})
    return member


def come_in(user, invitation, member, at):
    """A new row, or the old one brought back; the shop becomes the one last used."""
    if member is None:
        member = Member(shop=invitation.shop, user=user, name=user.name, created_at=at, created_by=user)
    member.role, member.left_at = invitation.role, None
    member.save()
    user.last_shop = invitation.shop
    user.save(update_fields=["last_shop"])
    return member


@transaction.atomic
def open_account(invitation, *, email, password, name, at):
    """An account for somebody who holds a link, and their place in the shop; both or neither."""
    lock_shop(invitation.shop_id)
    if User.objects.filter(email=email.strip().lower()).exists():
        raise Refused("This e-mail has an account. Sign in with it, then the link takes you in.")
    user = User.objects.create_user(email=email, password=password, name=name)
    return join(user, invitation, at=at)


@transaction.atomic
def change_role(owner, member, role, *, at, why=""):
    """Another part in the shop."""
    lock_as_owner(owner)
    row = present_again(member)
    if row.role == role:
        return row
    keep_an_owner(row)
    before, row.role = row.role, role
    row.save(update_fields=["role"])
    if before == Member.Role.OWNER:
        take_back_all_of(owner, row.user, row.shop, at)
    history.record(
        owner,
        "changed the part of",
        row,
        at=at,
        label=row.name,
        before={"role": before},
        after={"role": role},
        why=why,
    )
    return row


@transaction.atomic
def remove(owner, member, *, at, why=""):
    """Out of the shop, from the next page on; what they did stays in history."""
    lock_as_owner(owner)
    row = present_again(member)
    keep_an_owner(row)
    go(owner, row, "removed from the shop", at, why)


@transaction.atomic
def leave(member, *, at, why=""):
    """Go of one's own accord."""
    lock_shop(member.shop_id)
    row = present_again(member)
    keep_an_owner(row)
    go(row, row, "left the shop", at, why)


def go(actor, row, verb, at, why):
    """Mark the member as gone, and end the links they made."""
    row.left_at = at
    row.save(update_fields=["left_at"])
    take_back_all_of(actor, row.user, row.shop, at)
    history.record(actor, verb, row, at=at, label=row.name, before={"role": row.role}, why=why)


@transaction.atomic
def take_in_again(owner, member, *, at):
    """Somebody who left or was removed belongs again, as what they were."""
    lock_as_owner(owner)
    row = Member.objects.get(pk=member.pk)
    if row.left_at is None:
        return row
    row.left_at = None
    row.save(update_fields=["left_at"])
    history.record(owner, "took in again", row, at=at, label=row.name, after={"role": row.role})
    return row
