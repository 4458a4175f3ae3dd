"""An act is done once: sent twice, answered twice, stored once."""

import hashlib
import json
from dataclasses import dataclass

from django.db import IntegrityError, transaction

from workshop.models import Receipt
from workshop.refusals import Refused

TAKEN = "Somebody stored the same name or code a moment ago. Look again, change it and send it once more."


class Conflict(Refused):
    """The same key came with other content or from another member."""


class Taken(Refused):
    """Somebody stored the same name, code or number between the look and the act."""


@dataclass(frozen=True)
class Answer:
    """What the sender is told: `url` to go on to, and whether the act was known before."""

    url: str
    known: bool = False


def digest_of(content):
    """A fingerprint of what was sent: equal content, equal fingerprint."""
    return hashlib.sha256(json.dumps(content, sort_keys=True, default=str).encode()).hexdigest()


def once(member, key, content, *, at, act):
    """Do `act()` (it returns the address to go on to) unless this key was already taken in.

    The act and its receipt are one transaction. Two sendings at the same moment race for the
    unique key: the loser's act is undone and it gets the winner's answer.
    Raises Conflict when the key came before with other content or from somebody else, and Taken
    when a name or code that was free a moment ago no longer is.
    """
    before = known(member, key, content)
    if before:
        return before
    try:
        with transaction.atomic():
            receipt = Receipt.objects.create(
                shop=member.shop,
                key=key,
                member=member,
                digest=digest_of(content),
                status=Receipt.Status.STORED,
                created_at=at,
                created_by=member.user,
            )
            url = act()
            receipt.answer = {"url": url}
            receipt.save(update_fields=["answer"])
    except IntegrityError as problem:
        before = known(member, key, content)
        if before:
            return before
        if is_not_unique(problem):
            raise Taken(TAKEN) from problem
        raise
    return Answer(url)


def is_not_unique(problem):
    """Whether the database refused a second row of its kind; any other refusal is a fault of ours."""
    cause = problem.__cause__
    return getattr(cause, "sqlite_errorname", "") == "SQLITE_CONSTRAINT_UNIQUE" or (
        getattr(cause, "sqlstate", "") == "23505"  # unique_violation, PostgreSQL's appendix of error codes
    )


def known(member, key, content):
    """The answer given before to this key, or None; raises Conflict for other content or another member."""
    receipt = Receipt.objects.of(member.shop).filter(key=key).first()
    if receipt is None:
        return None
    if receipt.member_id != member.pk or receipt.digest != digest_of(content):
        raise Conflict(
            "This was already sent, with other figures. Reload the page and look before you send again."
        )
    return Answer(receipt.answer.get("url", ""), known=True)


def alike(member, content, *, since):
    """The newest receipt of the same content from the same member since a moment, or None."""
    return Receipt.objects.of(member.shop).alike(member, digest_of(content), since=since).first()
