"""How a clock's row is told: words and drawing from its stored instants."""

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString

from projects.models import Timer
from workshop.drawn import drawn

UNTIL = {
    Timer.Kind.POT_LIFE: "left, then too thick",
    Timer.Kind.RECOAT: "until it may be poured on",
    Timer.Kind.DEMOULD: "until it may leave the mould",
    Timer.Kind.WAIT: "until it is over",
}


@dataclass(frozen=True)
class ClockRow:
    """What the part `_clock.html` shows."""

    key: str
    kind: str
    name: str
    subline: str
    until: str
    started_at: datetime
    due_at: datetime
    early_at: datetime | None
    closes_at: datetime | None
    settled_at: datetime | None
    href: str
    svg: SafeString
    slot_unit: str
    foot_left: str
    foot_right: str
    marked: str
    late_text: str


def clock_row(timer, now, tz):
    """A timer as its row, at the moment `now`, in the shop's zone."""
    from workshop.drawing import clock as drawing

    opens = timer.due_at if timer.kind == Timer.Kind.RECOAT and timer.closes_at else None
    ring = (timer.early_at - timer.started_at) / (timer.due_at - timer.started_at) if timer.early_at else None
    picture = drawing.clock(
        timer.started_at, now, timer.due_at, opens=opens, closes=timer.closes_at, ring_fraction=ring
    )
    left, right = foot(timer, now, tz)
    project = timer.step.project
    return ClockRow(
        key=str(timer.key),
        kind=timer.kind,
        name=name_of(timer),
        subline=f"{project.code} {project.title}",
        until=UNTIL[Timer.Kind(timer.kind)],
        started_at=timer.started_at,
        due_at=timer.due_at,
        early_at=timer.early_at,
        closes_at=timer.closes_at,
        settled_at=timer.settled_at,
        href=reverse("projects:clock-settle", args=[timer.shop.key, timer.key]),
        svg=drawn(picture.svg),
        slot_unit=picture.unit,
        foot_left=left,
        foot_right=right,
        marked=marked(timer),
        late_text=late(timer, now),
    )


def name_of(timer):
    """What a clock is called."""
    if timer.kind == Timer.Kind.POT_LIFE:
        return f"Cup {timer.batch.cup}, pot life" if timer.batch else "Pot life"
    if timer.kind == Timer.Kind.RECOAT:
        return f"Next pour on {timer.step.block}"
    if timer.kind == Timer.Kind.WAIT:
        return timer.name
    return f"{timer.step.block} cures"


def foot(timer, now, tz):
    """What stands below a clock: its start, and what its end means."""

    def clock_time(moment):
        return say_time(moment, now, tz)

    due = clock_time(timer.due_at)
    if timer.kind == Timer.Kind.POT_LIFE:
        return (
            f"parts met {clock_time(timer.started_at)}",
            f"rings {clock_time(timer.early_at)} · thick {due}",
        )
    if timer.kind == Timer.Kind.WAIT:
        return f"since {clock_time(timer.started_at)}", f"over {due}"
    poured = f"poured {clock_time(timer.started_at)}"
    if timer.kind == Timer.Kind.RECOAT:
        closes = f", closes {clock_time(timer.closes_at)}" if timer.closes_at else ""
        return poured, f"opens {due}{closes}"
    return poured, f"out {due}, if hard"


def say_time(moment, now, tz):
    """A moment as the clock on the wall shows it; with the day when it is another one.

    A weekday alone would mean two days once the moment is a week away, so that it gets its date too.
    """
    local = moment.astimezone(tz)
    days = abs((local.date() - now.astimezone(tz).date()).days)
    if days == 0:
        return f"{local:%H:%M}"
    return f"{local:%a %H:%M}" if days < 7 else f"{local:%a} {local.day} {local:%b %H:%M}"


def marked(timer):
    """What the maker must know about a clock's figure; empty when it is as good as the sheet."""
    figures = timer.figures
    if figures.get("heavier"):
        return (
            f"Shorter than this: the cup holds {figures['cup_g']:g} g, the sheet's time is for "
            f"{figures['sheet_g']:g} g. It rings at half."
        )
    if figures.get("cold"):
        return "So cold that it may have stopped curing while this clock runs on. Warm it, and test hardness."
    return ""


def late(timer, now):
    """How long past its due time a clock is; empty before."""
    minutes = int((now - timer.due_at).total_seconds() // 60)
    if minutes < 1 or timer.settled_at:
        return ""
    return (
        f"It was due {minutes // 60} h {minutes % 60:02d} ago."
        if minutes >= 60
        else f"It was due {minutes} min ago."
    )
