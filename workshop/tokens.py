"""The secret part of a link that is handed over: long, and kept as a fingerprint only."""

import base64
import hashlib
import secrets

from django.utils.crypto import salted_hmac


def fresh():
    """A new secret that nobody can guess, for an address."""
    return secrets.token_urlsafe(32)


def of_invitation(key):
    """The secret of an invitation, derived from its key and the installation's secret.

    So its link can be shown to an owner again although no table holds it.
    """
    return derived("workshop.invitation", key)


def of_feed(key):
    """The secret of a calendar address, derived in the same way, so that it can be shown once."""
    return derived("workshop.feed", key)


def derived(purpose, key):
    """A secret for one purpose that only this installation can derive."""
    digest = salted_hmac(purpose, key.hex, algorithm="sha256").digest()
    return base64.urlsafe_b64encode(digest).decode().rstrip("=")


def fingerprint(token):
    """What is kept of a secret: enough to know it again, not enough to use it."""
    return hashlib.sha256(token.encode()).hexdigest()
