"""Writes a calendar as RFC 5545 wants it."""

from datetime import datetime, timedelta

PRODUCT = "-//Grainglass//calendar of a shop//EN"
EVERY = timedelta(hours=1)
OLD = "A calendar program may show this hours late. The clock in the shop and the maker’s sheet come first."


def calendar_of(items, *, name, root):
    """The bytes of a calendar; `root` is the address below which the paths of events lie."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", EVERY, parameters={"value": "DURATION"})
    calendar.add("x-published-ttl", "PT1H")
    for item in items:
        calendar.add_component(event_of(item, root))
    return calendar.to_ical()


def event_of(item, root):
    """One event with its alarms; called off, it has none."""
    from icalendar import Event

    content, off = item.content, item.gone_at is not None
    event = Event()
    event.add("uid", f"{item.key}@grainglass")
    event.add("dtstamp", item.changed_at)
    event.add("last-modified", item.changed_at)
    event.add("created", item.created_at)
    event.add("sequence", item.sequence)
    event.add("summary", content["summary"])
    event.add("dtstart", datetime.fromisoformat(content["start"]))
    event.add("dtend", datetime.fromisoformat(content["end"]))
    event.add("status", "CANCELLED" if off else "CONFIRMED")
    event.add("url", f"{root}{content['path']}")
    event.add(
        "description", "\n".join(line for line in (content["about"], f"{root}{content['path']}", OLD) if line)
    )
    if content["alarms"]:
        event.add("transp", "TRANSPARENT")  # a clock keeps nobody busy
    for minutes in [] if off else content["alarms"]:
        event.add_component(alarm_of(content["summary"], minutes))
    return event


def alarm_of(summary, minutes):
    """An alarm so many minutes after the start of its event."""
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", summary)
    alarm.add("trigger", timedelta(minutes=minutes))
    return alarm
