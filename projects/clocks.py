"""How a clock's row is told: words and drawing from its stored instants."""

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString

from materials.fit import clocks as fit
from projects import moving
from projects.models import Timer
from workshop.drawn import drawn
from workshop.units import say

KIND = Timer.Kind
UNTIL = {
    KIND.POT_LIFE: "left, then too thick",
    KIND.GEL: "until it begins to gel",
    KIND.RECOAT: "until it may be poured on",
    KIND.DEMOULD: "until it may leave the mould",
    KIND.FULL_CURE: "until it is as hard as it gets",
    KIND.TACK: "until it is dry to handle",
    KIND.SAND: "until it can be sanded",
    KIND.SEALANT: "until the sealant is dry",
    KIND.GLUE: "left, then too stiff to join",
    KIND.CLAMPED: "until the clamps may come off",
    KIND.COAT: "until the next coat may go on",
    KIND.WAIT: "until it is over",
    KIND.FREE: "until it rings",
}
WINDOWS = {KIND.RECOAT, KIND.TACK, KIND.COAT}
"""Clocks whose end opens a window for the next act."""
NAMES = {
    KIND.GEL: "{block} gels",
    KIND.RECOAT: "Next pour on {block}",
    KIND.DEMOULD: "{block} cures",
    KIND.FULL_CURE: "{block} hardens through",
    KIND.TACK: "Seal coat for {block}",
    KIND.SAND: "Seal coat for {block}, sanding",
    KIND.SEALANT: "Sealant of the mould dries",
    KIND.GLUE: "Open time of the glue{part}",
    KIND.CLAMPED: "Clamps{part}",
    KIND.COAT: "Next coat of finish",
}
BEGUN = {
    KIND.POT_LIFE: "parts met",
    KIND.TACK: "sealed",
    KIND.SAND: "sealed",
    KIND.SEALANT: "sealed",
    KIND.GLUE: "glued",
    KIND.CLAMPED: "glued",
    KIND.COAT: "coated",
    KIND.WAIT: "began",
    KIND.FREE: "set",
}
"""What the start of a clock was; of the others it was a pour."""
ENDS = {
    KIND.POT_LIFE: "thick by {}",
    KIND.GEL: "gels from {}",
    KIND.DEMOULD: "out {}, if hard",
    KIND.FULL_CURE: "as hard as it gets {}",
    KIND.SAND: "can be sanded {}",
    KIND.SEALANT: "dry {}",
    KIND.GLUE: "stiff by {}",
    KIND.CLAMPED: "clamps off {}",
    KIND.WAIT: "over {}",
    KIND.FREE: "rings {}",
}
"""What the end of a clock means; of the others it opens a window."""


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
    moved: str
    """What the last reading did to it; empty where none moved it."""
    late_text: str
    ends: str
    """What its end means, for a sentence: "opens 14:10"."""


def clock_row(timer, now, tz):
    """A timer as its row, at the moment `now`, in the shop's zone."""
    picture = picture_of(timer, now)
    left, right = foot(timer, now, tz)
    project = timer.entry.project
    return ClockRow(
        key=str(timer.key),
        kind=timer.kind,
        name=name_of(timer),
        subline=f"{project.code} {project.title}" if project else "",
        until=UNTIL[KIND(timer.kind)],
        started_at=timer.started_at,
        due_at=timer.due_at,
        early_at=timer.early_at,
        closes_at=timer.closes_at,
        settled_at=timer.settled_at,
        href=reverse("projects:clock-settle", args=[timer.shop.key, timer.key]),
        svg=drawn(picture.svg) if picture else "",
        slot_unit=picture.unit if picture else "",
        foot_left=left,
        foot_right=right,
        marked=marked(timer),
        moved=(moves_said(timer, now, tz) or [""])[-1],
        late_text=late(timer, now),
        ends=ends(timer, now, tz),
    )


def picture_of(timer, now):
    """A clock as it is drawn; None for one that was over as it began."""
    from workshop.drawing import clock as drawing

    if timer.due_at <= timer.started_at:
        return None
    is_window = timer.kind in WINDOWS and timer.closes_at and timer.closes_at > timer.due_at
    opens, closes = (timer.due_at, timer.closes_at) if is_window else (None, None)
    ring = (timer.early_at - timer.started_at) / (timer.due_at - timer.started_at) if timer.early_at else None
    return drawing.clock(
        timer.started_at, now, timer.due_at, opens=opens, closes=closes, ring_fraction=ring or None
    )


def name_of(timer):
    """What a clock is called."""
    if timer.name:
        return timer.name
    if timer.kind == KIND.POT_LIFE:
        return f"Cup {timer.batch.cup}, pot life" if timer.batch else "Pot life"
    if timer.kind not in NAMES:
        return timer.get_kind_display().capitalize()
    block = timer.step.block if timer.step else None
    part = timer.figures.get("part")
    return NAMES[KIND(timer.kind)].format(block=block or "the block", part=f", {part}" if part else "")


def ends(timer, now, tz):
    """What the end of a clock means, and when."""
    due = say_time(timer.due_at, now, tz)
    return ENDS.get(KIND(timer.kind), "opens {}").format(due)


def foot(timer, now, tz):
    """What stands below a clock: its start, and what its end means."""

    def clock_time(moment):
        return say_time(moment, now, tz)

    begun = f"{BEGUN.get(KIND(timer.kind), 'poured')} {clock_time(timer.started_at)}"
    end = ends(timer, now, tz)
    if timer.kind == KIND.POT_LIFE and timer.early_at:
        end = f"thick {clock_time(timer.due_at)}"
    if timer.early_at:
        end = f"rings {clock_time(timer.early_at)} · {end}"
    if timer.kind in WINDOWS and timer.closes_at:
        end = f"{end}, closes {clock_time(timer.closes_at)}"
    return begun, end


def source(timer):
    """Where a clock's figures come from, in a sentence."""
    figures = timer.figures
    if timer.batch and timer.law == moving.SHEET_FIT:
        return (
            f"{timer.batch.pot_life_source}; half of that, or the model fitted to the sheet if it is sooner."
        )
    if timer.batch and timer.law != "cup_test":
        return f"{timer.batch.pot_life_source}."
    if timer.law == "cup_test":
        return (
            f"{figures['resin']}: the sheet beside the model, which rests on "
            f"{fit.rests_on(figures['model'], timer.shop.tz)}."
        )
    if timer.law == "ten_degree" and "sheet_c" in figures:
        return (
            f"{figures['resin']} sheet, for {figures['sheet_c']:g} °C; ten-degree rule to "
            f"{figures['temp_c']:g} °C as measured then. Each temperature that is read since moves it, "
            "for two hours; a colder night of which nobody knows makes it later."
        )
    return f"{timer.entry.member.name} set it; no rule stands behind it."


def moves_said(timer, now, tz):
    """What each reading did to a clock, the first one first."""
    return [move_said(moving.read(kept), timer, now, tz) for kept in timer.figures.get("moves", [])]


def move_said(move, timer, now, tz):
    """What a reading did to a clock: "was 18:40, now 17:55: 27 °C read at 12:10 by Tove"."""
    was, then = say_time(move.was, now, tz), say_time(move.now, now, tz)
    warm = say(move.temp_c, "temperature", timer.shop.units, 1 if move.temp_c % 1 else 0)
    end = "closing was" if move.closes else "was"
    read = f"{warm} read {'at ' if same_day(move.at, now, tz) else ''}{say_time(move.at, now, tz)}"
    return f"{end} {was}, now {then}: {read}{f' by {move.who}' if move.who else ''}"


def same_day(moment, now, tz):
    """Whether a moment lies on the day that the wall shows now."""
    return moment.astimezone(tz).date() == now.astimezone(tz).date()


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
        lasts = "half of it, or less by the model" if timer.law == moving.SHEET_FIT else "half of it"
        held_g = timer.batch.mixed_g if timer.batch else figures["cup_g"]  # it may have been weighed again
        return (
            f"The sheet's time is for {say(figures['sheet_g'], 'mass', timer.shop.units, 0)}, this cup holds "
            f"{say(held_g, 'mass', timer.shop.units, 0)} and lasts less: the clock runs for {lasts}."
        )
    if figures.get("hard_at"):
        hard = say_time(datetime.fromisoformat(figures["hard_at"]), timer.started_at, timer.shop.tz)
        return (
            f"By the cup test its surface is too hard at {hard} to bond by itself, before the sheet opens "
            "it: the sheet's window is shown. Try the bond on a test casting first."
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
