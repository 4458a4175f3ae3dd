"""The seal coat under a pour: its age against its window, always both, and when its clock says it is dry."""

from dataclasses import replace
from datetime import timedelta

from projects.clocks import say_time
from projects.models import LogEntry, Timer
from workshop.templatetags.figures import span

HOUR_S = 3600


def window_of(step, at):
    """When the strips were sealed, and the window of that coat by its clock; None where the log has none."""
    from materials.science.resin.facts import SealWindow

    entry = LogEntry.objects.around(step).newest(LogEntry.Kind.SEAL)
    if entry is None:
        return SealWindow(None)
    timer = entry.timers.filter(kind=Timer.Kind.TACK).first()
    ends_h = by_clock(entry, timer) if timer else written_down(entry)
    return SealWindow(hours_between(entry.happened_at, at), *ends_h)


def hours_between(start, end):
    """How long from one moment to another, in hours."""
    return (end - start).total_seconds() / HOUR_S


def by_clock(entry, timer):
    """The window of a coat by its clock, in hours from the coat on; it may never close."""
    ends = (timer.due_at, timer.closes_at)
    return tuple(end and hours_between(entry.happened_at, end) for end in ends)


def written_down(entry):
    """The window of a coat as its entry froze it, in hours from the coat on."""
    clock = next((clock for clock in entry.detail.get("clocks", []) if clock["kind"] == "tack"), {})
    closes = clock.get("closes_min")
    return clock.get("due_min", 0) / 60, None if closes is None else closes / 60


def told(finding, window, at, tz):
    """The finding about a seal coat with its age, when it is dry, and by the clock; others as they are."""
    if finding.code != "seal_coat" or window is None or window.since_h is None:
        return finding
    figures = f"{span(60 * window.since_h)} old"
    if window.opens_h:
        figures += f", dry at {span(60 * window.opens_h)}"
    if window.state == "early":
        figures += f", by its clock {say_time(at + timedelta(hours=window.opens_h - window.since_h), at, tz)}"
    if window.state == "late":
        figures += f", its window closed at {span(60 * window.closes_h)}"
    return replace(finding, reason=f"{finding.reason.removesuffix('.')}: {figures}.")
