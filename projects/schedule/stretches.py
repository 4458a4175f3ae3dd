"""What happens when, as plain stretches of time: done, under way, waiting, planned; and windows."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from projects.clocks import name_of
from projects.models import Step
from projects.schedule.links import NEXT, open_windows, poured_on
from projects.schedule.resting import rest_of

STATE, KIND = Step.State, Step.Kind
WHOLE = timedelta(hours=12)  # what went on longer than this is shown in the opening hours only
HANDS, ALONE = "hands", "alone"


@dataclass(frozen=True)
class Stretch:
    """One stretch of a step: by hand or by itself, and whether it is over, ahead or should have begun."""

    step: Step
    how: str
    state: str
    start: datetime
    end: datetime

    @property
    def is_hands(self):
        """Whether it takes hands."""
        return self.how == HANDS

    def as_it_was(self):
        """The same as the dates that a plan would replace."""
        return replace(self, state="was")


@dataclass(frozen=True)
class Opening:
    """A window for the next act on a step's block: from when to when, without a known close to the end."""

    step: Step
    opens: datetime
    closes: datetime | None
    name: str


def stretches(matter, done, sessions, stands=None):
    """All stretches of the steps of a shop.

    `done` are steps that are over; `stands` says where a plan has the open ones, by pk; without it their
    own dates count.
    """
    found = [piece for step in done for piece in gone(step, sessions)]
    awaited = {window.step.pk: window.clock for window in open_windows(matter.steps, matter.windows)}
    anew = poured_on(matter.steps)
    for step in matter.steps:
        if step.state == STATE.WAITING or (step.is_passive and step.state == STATE.UNDER_WAY):
            found.append(waiting(step, matter, stands, anew=step.pk in anew))
        elif step.state == STATE.UNDER_WAY and step.pk in awaited:
            found += between(step, awaited[step.pk], matter, sessions, stands)
        elif step.state == STATE.UNDER_WAY:
            found += under_way(step, matter, sessions, stands)
        elif stands is not None:
            found += by_plan(step, stands.get(step.pk), matter)
        else:
            found += planned(step, matter, sessions)
    return sorted(found, key=lambda piece: (piece.start, piece.step.pk))


def gone(step, sessions):
    """A step that is over, as it really was."""
    start, end = step.started_at, step.ended_at
    if start is None or end is None or end < start:
        return []
    if step.is_passive:
        return [Stretch(step, ALONE, "over", start, end)]
    pieces = [(start, end)] if end - start <= WHOLE else inside(sessions, start, end)
    return [Stretch(step, HANDS, "over", *piece) for piece in pieces]


def waiting(step, matter, stands=None, anew=False):
    """What goes by itself, until its clock or its sheet says that it is over; no sooner than now.

    A cure that begins `anew` with the next pour lasts as long as it is planned to.
    """
    start = step.started_at or matter.at
    usual = start + timedelta(minutes=step.minutes) if step.is_passive else matter.at
    end = matter.over.get(step.pk) or usual
    if anew:
        stood = stands.get(step.pk) if stands is not None else None
        end = max(end, (stood.over_at if stood else step.planned_end) or end)
    return Stretch(step, ALONE, "running", start, max(end, matter.at))


def under_way(step, matter, sessions, stands):
    """What hands are at: what was done of it until now, and what is left."""
    began = step.started_at or matter.at
    pieces = [(began, matter.at)] if matter.at - began <= WHOLE else inside(sessions, began, matter.at)
    found = [Stretch(step, HANDS, "over", *piece) for piece in pieces]
    done = sum(((end - start) for start, end in pieces), timedelta())
    left = left_by_plan(step, matter, stands) or worked(
        sessions, open_from(sessions, matter.at), timedelta(minutes=step.minutes) - done
    )
    return found + [Stretch(step, HANDS, "ahead", *piece) for piece in left]


def left_by_plan(step, matter, stands):
    """What a plan, else the one that was taken, has of a step from now on."""
    if stands is not None:
        return stands[step.pk].parts if step.pk in stands else ()
    parts = matter.parts.get(step.pk, ())
    return [(max(start, matter.at), end) for start, end in parts if end > matter.at]


def between(step, clock, matter, sessions, stands):
    """A pour with more to come: what was poured of it, and when the next pour is to be."""
    began = step.started_at or matter.at
    poured = Stretch(step, HANDS, "over", began, min(matter.at, began + timedelta(minutes=step.minutes)))
    stood = stands.get(step.pk) if stands is not None else None
    if stands is not None:
        parts = stood.parts if stood else ()
    else:
        parts = matter.parts.get(step.pk, ())
        if not parts or parts[0][0] < clock.due_at:
            parts = in_window(step, clock, matter, sessions)
    late = "late" if parts and parts[0][0] < matter.at else "ahead"
    return [poured, *(Stretch(step, HANDS, late, *part) for part in parts)]


def in_window(step, clock, matter, sessions):
    """The first time in the window of a clock at which somebody is there long enough; nothing without one."""
    from projects.planning.absences import without

    since, lasts = max(clock.due_at, matter.at), timedelta(minutes=step.minutes)
    for opened, closed in without(sessions, matter.alone):
        begin = max(opened, since)
        if clock.closes_at and begin > clock.closes_at:
            break
        if begin + lasts <= closed:
            return [(begin, begin + lasts)]
    return []


def by_plan(step, stood, matter):
    """Where a plan has a step, and what it waits for by itself afterwards."""
    if stood is None:
        return []
    how = ALONE if step.is_passive else HANDS
    found = [Stretch(step, how, "ahead", *part) for part in stood.parts]
    return found + resting(step, found[-1].end, stood.over_at)


def planned(step, matter, sessions):
    """Where its own dates have a step that nobody has begun; what should have begun says so."""
    start, end = step.planned_start, step.planned_end
    if start is None:
        return []
    late = "late" if start < matter.at else "ahead"
    if step.is_passive:
        return [Stretch(step, ALONE, late, start, end or start + timedelta(minutes=step.minutes))]
    pieces = matter.parts.get(step.pk) or worked(sessions, start, timedelta(minutes=step.minutes))
    found = [Stretch(step, HANDS, late, *piece) for piece in pieces]
    return found + (resting(step, pieces[-1][1], end) if end and rest_of(step) else [])


def resting(step, since, until):
    """What a step waits for by itself when its work is done."""
    long = until - since > timedelta(minutes=5)
    return [Stretch(step, ALONE, "ahead", since, until)] if long else []


def inside(sessions, start, end):
    """The parts of a stretch that lie in opening hours; all of it where none does."""
    found = [
        (max(start, opened), min(end, closed))
        for opened, closed in sessions
        if opened < end and closed > start
    ]
    return found or [(start, end)]


def open_from(sessions, moment):
    """The first open moment from one on."""
    return next((max(opened, moment) for opened, closed in sessions if closed > moment), moment)


def worked(sessions, start, length):
    """The opening hours that work of so long takes from a moment on; as it stands where it begins shut."""
    if length <= timedelta(0):
        return []
    if not any(opened <= start < closed for opened, closed in sessions):
        return [(start, start + length)]
    found = []
    for opened, closed in sessions:
        if closed <= start or length <= timedelta(0):
            continue
        begin = max(opened, start)
        end = min(closed, begin + length)
        found.append((begin, end))
        length -= end - begin
    return found


def openings(matter):
    """The windows of running clocks: those that have a close, and pours that wait for the next one."""
    return [
        Opening(clock.step, clock.due_at, clock.closes_at, name_of(clock))
        for clock in matter.windows
        if clock.kind in NEXT and (clock.closes_at is None or clock.closes_at > clock.due_at)
    ]
