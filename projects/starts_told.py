"""What the advisor says, in a maker's words, and its days as they are drawn."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from projects.clocks import say_time
from projects.starts import PLAIN
from workshop.drawn import drawn
from workshop.templatetags.figures import span as span_said
from workshop.units import digits

FIRST_H = 6
MOST_ROWS = 7
MOST_WAYS = 5
NO_WINDOW = (
    "The sheet of {} names no hours until the next pour, so nothing can be said about pours that follow each "
    "other. Look at its sheet, or pour it all at once."
)


@dataclass(frozen=True)
class Said:
    """A word for the state, and the sentences."""

    kind: str
    word: str
    sentences: tuple


@dataclass(frozen=True)
class WaySaid:
    """One way in words: its first pour as a figure, the others, the margin, the end."""

    day: str
    clock: str
    lines: tuple
    margin: str
    finish: str


def turn_said(turn, from_turn, now, tz):
    """What stands before the pour and until when, and from when on is looked; nothing without such a step."""
    if turn is None:
        return ""
    if turn.until:
        stands = f"“{turn.step.title}” is planned until {say_time(turn.until, now, tz)}."
        looked = "The search begins then." if from_turn else "This is from now, as if it were over."
    elif turn.is_late:
        stands, looked = f"“{turn.step.title}” should be over by now and is not.", "The search begins now."
    else:
        stands = f"“{turn.step.title}” has no date yet."
        looked = "The search begins now; a plan in the Week gives it one."
    return f"It waits: {stands} {looked}"


def ways_of(starts, now, tz):
    """The best ways in words, the best first."""
    return [way_said(way, now, tz) for way in starts.ways[:MOST_WAYS]]


def way_said(way, now, tz):
    """One way, pour by pour."""
    lines = []
    for number, (at, window) in enumerate(zip(way.starts[1:], way.windows, strict=True), 2):
        opens, closes = say_time(window.opens, now, tz), say_time(window.closes, now, tz)
        lines.append(f"pour {number} {say_time(at, now, tz)}, window {opens} to {closes}")
    margin = (
        ""
        if way.margin_minutes is None
        else f"{span_said(way.margin_minutes)} to spare before a window closes"
    )
    first = way.starts[0].astimezone(tz)
    day = "today" if first.date() == now.astimezone(tz).date() else f"{first:%a} {first.day} {first:%b}"
    return WaySaid(day, f"{first:%H:%M}", tuple(lines), margin, say_time(way.finish, now, tz))


def asked_said(starts, now, tz):
    """What becomes of the start that was asked about: its window, who is there then, and what is better."""
    asked = starts.asked
    if asked is None:
        return None
    begin = say_time(asked.start, now, tz)
    better = better_said(starts, now, tz)
    if not asked.open_then:
        return Said(
            "caution", "shut", (f"At {begin} the shop is shut, or shuts before a pour is in.", *better)
        )
    if asked.window is None:
        return Said("clear", "good", (f"Poured at {begin}, nothing has to follow.",))
    opens, closes = (say_time(each, now, tz) for each in (asked.window.opens, asked.window.closes))
    told = f"Poured at {begin}, the window for the next pour opens {opens} and closes {closes}."
    if asked.way is None:
        return Said(*missed(asked, now, tz, told, better))
    follow = ", ".join(say_time(at, now, tz) for at in asked.way.starts[1:])
    shut = "The shop is shut as it opens. " if shut_as_it_opens(asked) else ""
    sooner = better if starts.ways and starts.ways[0].finish < asked.way.finish else ()
    return Said("clear", "good", (told, f"{shut}Go on {follow}.", *sooner))


def reserve_said(starts, safety):
    """That a reserve is in the windows that are shown, since the clock of a pour has none; else nothing."""
    shown = starts.ways[:MOST_WAYS]
    if safety == PLAIN or not ((starts.asked and starts.asked.window) or any(way.windows for way in shown)):
        return ""
    opening, closing = (digits(factor, 2) for factor in safety)
    return (
        f"A reserve is in these windows: hours until one opens × {opening}, until it closes × {closing}. "
        "The clock of a pour has none, so it opens sooner."
    )


def shut_as_it_opens(asked):
    """Whether nobody is there when the window opens."""
    here = asked.window.here
    return not here or here[0][0] > asked.window.opens


def missed(asked, now, tz, told, better):
    """Why a start is not good: nobody is there in its window, or too little of it is left."""
    here = asked.window.here
    if not here:
        nobody = "The shop is shut all that time: nobody could pour on it."
        return "stop", "nobody there", (told, nobody, *better)
    first, last = (say_time(each, now, tz) for each in here[0])
    shut = "The shop is shut as it opens; somebody" if shut_as_it_opens(asked) else "Somebody"
    there = f"{shut} is there from {first} to {last}."
    reserve = "With reserve, not all pours find their window from there."
    return "caution", "tight", (told, there, reserve, *better)


def better_said(starts, now, tz):
    """The better start, if there is one."""
    if not starts.ways:
        return ()
    first = starts.ways[0]
    follow = ", ".join(say_time(at, now, tz) for at in first.starts[1:])
    return (f"Better: {say_time(first.starts[0], now, tz)}{f', then {follow}' if follow else ''}.",)


def helps_said(starts, now, tz):
    """What would give a start, each tried: conditions of the shop, and other resins."""
    found = [f"{each[0].upper()}{each[1:]}." for each in starts.helps]
    return found + [
        f"{resin.name} instead: the first pour {say_time(at, now, tz)}." for resin, at in starts.others
    ]


def drawings(starts, way, now, tz):
    """A way as days drawn, for the phone and wider; nothing without a way."""
    from workshop.drawing.day_rows import day_rows_svg

    if way is None:
        return {}
    rows = rows_of(starts, way, tz)
    said = way_said(way, now, tz)
    first = f"Pour 1 {said.day} {said.clock}"
    sentence = f"{'; '.join([first, *said.lines])}. All in by {said.finish}."
    return {media: drawn(day_rows_svg(rows, media, sentence)) for media in ("narrow", "wide")}


def rows_of(starts, way, tz):
    """The days of a way, each from six to six, as they are drawn."""
    from workshop.drawing.day_rows import DayRow

    first = day_of(way.starts[0], tz)
    count = min((day_of(way.finish, tz) - first).days + 1, MOST_ROWS)
    days = [first + timedelta(days=n) for n in range(count)]
    return [
        DayRow(
            f"{day:%a} {day.day}",
            [span for pair in starts.sessions if (span := within(pair, day, tz))],
            pours_on(way, day, tz),
            windows_on(way, day, tz),
        )
        for day in days
    ]


def day_of(moment, tz):
    """The day to whose row a moment belongs: before six it is still the night of the day before."""
    return (moment.astimezone(tz) - timedelta(hours=FIRST_H)).date()


def hours_on(moment, day, tz):
    """Hours after six of a day."""
    return (moment.timestamp() - datetime.combine(day, time(FIRST_H), tzinfo=tz).timestamp()) / 3600


def within(pair, day, tz):
    """A stretch cut to a day's row; None where it lies outside."""
    begun, end = (hours_on(each, day, tz) for each in pair)
    return (max(begun, 0), min(end, 24)) if end > 0 and begun < 24 else None


def pours_on(way, day, tz):
    """The pours of a day as blocks."""
    from workshop.drawing.day_rows import Mark

    lasts = timedelta(minutes=way.minutes)
    return [
        Mark(span, f"pour {number} {at.astimezone(tz):%H:%M}")
        for number, at in enumerate(way.starts, 1)
        if day_of(at, tz) == day and (span := within((at, at + lasts), day, tz))
    ]


def windows_on(way, day, tz):
    """The windows of a day; one that runs on has no bracket on that side."""
    from workshop.drawing.day_rows import Mark

    found = []
    for number, window in enumerate(way.windows, 2):
        span = within((window.opens, window.closes), day, tz)
        if span:
            begins, ends = (0 <= hours_on(each, day, tz) <= 24 for each in (window.opens, window.closes))
            found.append(Mark(span, f"for pour {number}", begins, ends, lane=number))
    return found
