"""A member's calendar address: made, shown once, taken back."""

from django.db import transaction

from workshop import history, tokens
from workshop.models import FeedLink, Member


@transaction.atomic
def make(member, *, key, at):
    """A new address, of which the table holds a fingerprint; the one before it answers no more."""
    Member.objects.select_for_update().get(pk=member.pk)
    for before in FeedLink.objects.filter(member=member, revoked_at=None):
        end(member, before, at)
    link = FeedLink.objects.create(
        shop=member.shop,
        key=key,
        created_at=at,
        created_by=member.user,
        member=member,
        token_hash=tokens.fingerprint(tokens.of_feed(key)),
    )
    history.record(member, "made the address of", link, at=at, label=str(link))
    return link


@transaction.atomic
def revoke(member, *, at):
    """The address answers no more. Taking it back twice is taking it back."""
    Member.objects.select_for_update().get(pk=member.pk)
    for link in FeedLink.objects.filter(member=member, revoked_at=None):
        end(member, link, at)


def end(member, link, at):
    """One address taken back, with its line of history."""
    link.revoked_at = at
    link.save(update_fields=["revoked_at"])
    history.record(member, "took back the address of", link, at=at, label=str(link))


@transaction.atomic
def show_once(link, *, at):
    """The secret of an address that nobody has seen yet; empty afterwards."""
    row = FeedLink.objects.select_for_update().get(pk=link.pk)
    token = tokens.of_feed(row.key)
    # after a change of the installation's secret it can't be derived any more
    if row.shown_at or tokens.fingerprint(token) != row.token_hash:
        return ""
    row.shown_at = at
    row.save(update_fields=["shown_at"])
    return token
