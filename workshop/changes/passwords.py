"""New passwords: by the old one, or by a link that lives for an hour and works once."""

from datetime import timedelta

from django.db import transaction

from workshop import tokens
from workshop.models import PasswordReset, User
from workshop.refusals import Refused

LINKS_AN_HOUR = 3


class LinkIsSpent(Refused):
    """The link was used, or its hour is over."""


@transaction.atomic
def set_password(user, password, *, at):
    """A new password. Sessions signed with the old one end; open links to a new one end too."""
    row = User.objects.select_for_update().get(pk=user.pk)
    row.set_password(password)
    row.save(update_fields=["password"])
    PasswordReset.objects.filter(user=row, used_at=None).update(used_at=at)
    return row


@transaction.atomic
def make_link(user, *, at, most=None):
    """The secret of a new link, which nothing keeps; None where `most` were made within the hour."""
    User.objects.select_for_update().get(pk=user.pk)
    lately = PasswordReset.objects.filter(user=user, created_at__gt=at - timedelta(hours=1))
    if most is not None and lately.count() >= most:
        return None
    token = tokens.fresh()
    PasswordReset.objects.create(
        user=user,
        token_hash=tokens.fingerprint(token),
        created_at=at,
        expires_at=at + timedelta(hours=PasswordReset.HOURS),
    )
    return token


@transaction.atomic
def use_link(link, password, *, at):
    """Set the password by a link; the second of two that use it at once is refused."""
    row = PasswordReset.objects.select_for_update().select_related("user").get(pk=link.pk)
    if not row.is_open(at):
        raise LinkIsSpent("This link can't be used any more. Ask for a new one.")
    return set_password(row.user, password, at=at)
