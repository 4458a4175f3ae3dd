"""The Week drawn: rows of days, projects, or hands and machines, from plain stretches of time."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import timedelta

from projects.clocks import say_time
from projects.models import Step
from projects.schedule.span import said
from workshop.drawing import week_rows as drawn_as
from workshop.drawing.week import week

KIND = Step.Kind
DEEDS = {
    KIND.BUY: "Buy", KIND.CONDITION: "Set out", KIND.MEASURE: "Measure", KIND.SEAL: "Seal",
    KIND.COMBS: "Combs", KIND.MOULD: "Mould", KIND.LOAD: "Load", KIND.POUR: "Pour", KIND.CURE: "cures",
    KIND.DEMOULD: "Out", KIND.MARK: "Flaws", KIND.REST: "rests", KIND.FLATTEN: "Flatten",
    KIND.TEST_CUT: "Test cuts", KIND.CUT: "Cut", KIND.DRY_FIT: "Dry fit", KIND.GLUE_UP: "Glue",
    KIND.CLAMPED: "sets", KIND.LEVEL: "Level", KIND.SAND: "Sand", KIND.COAT: "Coat", KIND.DRY: "dries",
    KIND.LIGHT: "Light", KIND.PACK: "Pack", KIND.OTHER: "Work", KIND.CHECK: "Check",
    KIND.SET_OUT: "Set out",
}  # fmt: skip
"""What a step is called where there is little room."""
NOBODY = "everybody is away"
NO_NAMES_H = 200  # in rows longer than this there is no room for names of what goes by itself


@dataclass(frozen=True)
class Lane:
    """One row of a picture: its words at the left, its first day, and what happens in it."""

    figure: str
    word: str
    first: object
    pieces: list
    openings: list
    clashes: list
    away: tuple = ()


def picture(span, pieces, openings, clashes, sessions, now, prefix="week", sentence="", away=(), alone=()):
    """The SVG of a span; `away`: stretches in which somebody is not here, `alone`: those without anybody."""
    hours = 24.0 * span.row_days
    axis = drawn_as.Axis(hours, ticks(span))
    rows = [
        row(span, lane, (sessions, alone), now, hours, number)
        for number, lane in enumerate(lanes(span, pieces, openings, clashes, away))
    ]
    return week(axis, rows, prefix, sentence)


def ticks(span):
    """What stands above the rows: hours of a day, days of a week, weeks of six."""
    if span.row_days == 1:
        return [(hour, f"{(6 + hour) % 24:02d}") for hour in range(0, 25, 2)]
    step = 1 if span.row_days == 7 else 7
    found = []
    for number in range(0, span.row_days, step):
        day = span.first + timedelta(days=number)
        name = f"{day:%a}" if span.view == "weeks" and span.by == "day" else f"{day:%a} {day.day}"
        found.append((24.0 * number, f"{day.day} {day:%b}" if step == 7 else name))
    return found


def lanes(span, pieces, openings, clashes, away):
    """What lies in which row."""
    shown = [piece for piece in pieces if span.shown(piece.start, piece.end)]
    windows = [each for each in openings if span.shown(each.opens, each.closes or span.ends_at)]
    if span.by in ("day", "list"):
        return by_day(span, shown, windows, clashes)
    if span.by == "project":
        return by_project(span, shown, windows, clashes)
    return by_hands(span, shown, clashes, [each for each in away if span.shown(each.start, each.end)])


def by_day(span, pieces, windows, clashes):
    """A row for each day, or for each of six weeks."""
    found = []
    for first in span.row_firsts:
        part = replace(span, view="day" if span.row_days == 1 else "week", first=first)
        figure = str(first.day) if span.row_days == 1 else f"{first.day} {first:%b}"
        word = f"{first:%a}" if span.row_days == 1 else ""
        found.append(
            Lane(
                figure,
                word,
                first,
                [piece for piece in pieces if part.shown(piece.start, piece.end)],
                [each for each in windows if part.shown(each.opens, each.closes or part.ends_at)],
                [clash for clash in clashes if part.starts_at <= clash.at < part.ends_at],
            )
        )
    return found


def by_project(span, pieces, windows, clashes):
    """A row for each project, what is wanted soonest first."""
    projects = {each.step.project_id: each.step.project for each in [*pieces, *windows]}
    order = sorted(projects.values(), key=lambda each: (each.due_on is None, each.due_on, each.pk))
    return [
        Lane(
            project.code,
            project.title,
            span.first,
            [piece for piece in pieces if piece.step.project_id == project.pk],
            [each for each in windows if each.step.project_id == project.pk],
            [],
        )
        for project in order
    ]


def by_hands(span, pieces, clashes, away):
    """A row for each pair of hands that is named or away, one for work without a name, one a machine."""
    rows = defaultdict(list)
    for piece in pieces:
        if piece.is_hands:
            rows[0, piece.step.assignee.name if piece.step.assignee else "Anybody"].append(piece)
            if piece.step.machine:
                rows[1, piece.step.machine.name].append(piece)
        else:
            rows[2, "By itself"].append(piece)
    gone = {(0, name): tuple(each for each in away if each.name == name) for name in {a.name for a in away}}
    found = [
        Lane("", name, span.first, rows[order, name], [], [], gone.get((order, name), ()))
        for order, name in sorted({*rows, *gone})
    ]
    # what clashes stands with the work that nobody's name is on
    return [
        replace(lane, clashes=[c for c in clashes if span.shown(c.at, c.at)] if not number else [])
        for number, lane in enumerate(found)
    ]


def row(span, lane, opened, now, hours, number):
    """One row in the drawing's terms; `opened`: the opening hours, and when nobody is here."""
    from projects.planning.absences import without

    def place(moment):
        return span.hours(moment, lane.first)

    here = 0 <= place(now) < hours
    names = hours < NO_NAMES_H
    sessions, alone = opened
    light = [(place(start), place(end)) for start, end in without(sessions, alone)]
    return drawn_as.Row(
        lane.figure,
        f"{lane.word}, today" if here and span.row_days == 1 and span.by == "day" else lane.word,
        [(max(start, 0), min(end, hours)) for start, end in light if end > 0 and start < hours],
        works=[
            drawn_as.Work(
                place(piece.start),
                place(piece.end),
                work_names(piece.step),
                piece.step.project.code,
                piece.state,
            )
            for piece in lane.pieces
            if piece.is_hands
        ],
        cures=[
            drawn_as.Cure(
                place(piece.start),
                place(piece.end),
                cure_name(piece.step) if names else "",
                piece.state == "over",
            )
            for piece in lane.pieces
            if not piece.is_hands
        ],
        brackets=[
            drawn_as.Bracket(
                place(each.opens), each.closes and place(each.closes), window_name(each, now, span.tz)
            )
            for each in lane.openings
        ],
        clashes=[drawn_as.Clash(place(clash.at), clash.said) for clash in lane.clashes],
        gone=[
            drawn_as.Gone(place(each.start), place(each.end), f"{each.name} is away") for each in lane.away
        ],
        emptied=[] if lane.away else emptied(place, sessions, alone, hours),
        marked=here and span.row_days == 1,
        moment=now_line(place(now), now, span, number) if here else None,
    )


def emptied(place, sessions, alone, hours):
    """For each time in which nobody is here the opening hours of a row that it takes, with the words."""
    found = []
    for begin, end in alone:
        within = [(max(begin, opened), min(end, close)) for opened, close in sessions]
        parts = [(max(place(first), 0), min(place(last), hours)) for first, last in within if first < last]
        kept = [part for part in parts if part[0] < part[1]]
        found += [drawn_as.Gone(kept[0][0], kept[-1][1], NOBODY)] if kept else []
    return found


def now_line(hour, now, span, number):
    """The line of now; in rows below each other it says its time once."""
    first = span.by == "day" or number == 0
    return (hour, f"{now.astimezone(span.tz):%H:%M}" if first else "")


def work_names(step):
    """What a step is called, the longest first."""
    letter = f" {step.block.letter}" if step.block else ""
    deed = DEEDS[KIND(step.kind)]
    return (step.title, f"{deed}{letter}", deed)


def cure_name(step):
    """What goes by itself: the project, the block, and what it does."""
    deed = DEEDS[KIND(step.kind)]
    if not step.is_passive:
        deed = "dries"
    elif deed[0].isupper() or step.kind == KIND.OTHER:
        return f"{step.project.code} {step.title}"
    block = f" block {step.block.letter}" if step.block else ""
    return f"{step.project.code}{block} {deed}"


def window_name(opening, now, tz):
    """What a window is for, and until when."""
    until = f", until {say_time(opening.closes, now, tz)}" if opening.closes else ""
    return f"{opening.step.project.code} {opening.name[0].lower()}{opening.name[1:]}{until}"


def sentence(span, pieces, clashes):
    """The picture in words, for who doesn't see it."""
    shown = [piece for piece in pieces if span.shown(piece.start, piece.end)]
    hands = len({piece.step.pk for piece in shown if piece.is_hands})
    alone = len({piece.step.pk for piece in shown if not piece.is_hands})
    found = f"{span.title}: {hands} pieces of work by hand, {alone} that go by themselves"
    return f"{found}, {len(clashes)} clashes." if clashes else f"{found}. {said(span.first)} comes first."
