"""Writes the one append-only history."""

from workshop.models import Event, Shop


def record(member, verb, target, *, at, label, before=None, after=None, why=""):
    """Add a line to history: `member` did `verb` to `target` (any row of a shop) at `at`.

    The target may be the shop itself. `before` and `after` hold only what changed, as plain JSON values.
    """
    return Event.objects.create(
        shop_id=target.pk if isinstance(target, Shop) else target.shop_id,
        created_at=at,
        created_by=member.user if member else None,
        actor=member,
        at=at,
        verb=verb,
        target_label=label[:160],
        target_key=target.key,
        before=before or {},
        after=after or {},
        why=why,
    )


def changes(row, values):
    """Which of `values` (name to new value) differ from the row: two dicts, before and after."""
    before, after = {}, {}
    for name, value in values.items():
        old = getattr(row, name)
        if old != value:
            before[name], after[name] = plain(old), plain(value)
    return before, after


def plain(value):
    """A value as JSON can keep it."""
    if value is None or isinstance(value, bool | int | float | str):
        return value
    return str(value)
