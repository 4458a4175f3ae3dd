"""Rows that all tests of a file share: built once, in a transaction that is rolled back at the end.

Each test still has a savepoint of its own, so that what it changes is gone after it.
"""

from contextlib import contextmanager

from django.db import transaction
from django.test import override_settings


@contextmanager
def built_once(blocker, media):
    """Where a module's fixture builds its rows and files; `media` is a folder of its own."""
    with blocker.unblock(), override_settings(MEDIA_ROOT=media), transaction.atomic():
        yield
        transaction.set_rollback(True)
