"""Keeps what a calendar program was told: the same event keeps its UID, a change counts up its sequence."""

from datetime import datetime, timedelta

from django.db import transaction

from projects.feed.events import PAST
from projects.models import FeedItem
from workshop.models import FeedLink

TOLD_FOR = timedelta(days=30)
"""For so long a calendar program is told that an event was called off."""


def bring_up(link, events, at):
    """The items of a feed after these events, in order; nothing is written while nothing changes."""
    items = items_of(link)
    if not changes(items, events, at):
        return shown(items, at)
    with transaction.atomic():
        FeedLink.objects.select_for_update().get(pk=link.pk)
        items = items_of(link)
        for change in changes(items, events, at):
            change(link, at)
        return shown(items_of(link), at)


def items_of(link):
    """What the member's calendar was told so far."""
    return list(FeedItem.objects.filter(member=link.member).in_order())


def shown(items, at):
    """What goes into the calendar: all that stands, and for a while what was called off."""
    return [item for item in items if not over(item, at)]


def over(item, at):
    """Whether an event is so long past, or was called off so long ago, that it is told no more."""
    if item.gone_at is not None:
        return item.gone_at < at - TOLD_FOR
    return datetime.fromisoformat(item.content["end"]) < at - PAST


def changes(items, events, at):
    """What has to be written, each as a function of the link and the moment."""
    known, wanted = {str(item.target_key): item for item in items}, {event.target: event for event in events}
    found = [add(event) for target, event in wanted.items() if target not in known]
    for target, item in known.items():
        event = wanted.get(target)
        if event is None and over(item, at):
            found.append(forget(item))
        elif event is None and item.gone_at is None:
            found.append(call_off(item))
        elif event is not None and (item.gone_at or item.content != event.content):
            found.append(tell_anew(item, event))
    return found


def add(event):
    """An event that was not told yet."""

    def write(link, at):
        FeedItem.objects.create(
            shop=link.shop, created_at=at, created_by=link.member.user, member=link.member,
            target_key=event.target, content=event.content, changed_at=at,
        )  # fmt: skip

    return write


def tell_anew(item, event):
    """An event that has changed, or stands again."""

    def write(link, at):
        item.content, item.gone_at = event.content, None
        save(item, at)

    return write


def call_off(item):
    """An event that no longer stands."""

    def write(link, at):
        item.gone_at = at
        save(item, at)

    return write


def forget(item):
    """An event that is told no more."""
    return lambda link, at: item.delete()


def save(item, at):
    """An item with one more change."""
    item.sequence, item.changed_at = item.sequence + 1, at
    item.save(update_fields=["content", "gone_at", "sequence", "changed_at"])
