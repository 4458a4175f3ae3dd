"""Keys of the demo's rows: the same in every run, drawn one after the other."""

import itertools
import uuid
from contextlib import contextmanager

from django.db.models.signals import pre_init

from workshop.models import Shop
from workshop.models.base import ShopRow

SPACE = uuid.UUID("5b0f3a4e-6d0c-5c59-8a0b-2f6a1f0c9d11")


@contextmanager
def drawn(seed):
    """While this lasts, new rows that name no key get the next one; yields what draws a key for an act.

    A row made from values of the database comes with positions, not names, and keeps its own.
    """
    numbers = itertools.count(1)

    def next_key():
        return uuid.uuid5(SPACE, f"{seed} {next(numbers)}")

    def give(sender, args, kwargs, **more):
        if issubclass(sender, ShopRow | Shop) and not args:
            kwargs.setdefault("key", None)
            kwargs["key"] = kwargs["key"] or next_key()

    pre_init.connect(give)
    try:
        yield next_key
    finally:
        pre_init.disconnect(give)


def first(seed):
    """The first key of a seed: that of the demo's shop."""
    return uuid.uuid5(SPACE, f"{seed} 1")
