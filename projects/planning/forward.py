"""A first schedule by a simple forward pass: each step as soon as can be, one maker's hands for all jobs.

It knows opening hours, what goes by itself, who is due first and how long one step waits for another at
least. It knows no end of a window, no moulds and no second pair of hands; a plan that does is made by
`planning/solver.py`.
"""

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from materials.science.errors import checked
from projects.planning.calendar import Session, in_utc, merged

GRID = timedelta(minutes=5)
MOST_MINUTES = 1_000_000


@dataclass(frozen=True)
class Work:
    """A step that is not over yet.

    Parameters: id, unique over all jobs; minutes, of work, or of waiting where it is passive; passive,
    whether it goes by itself once begun, day and night; waits_minutes, how long it waits by itself after
    the work; began, when it really began, or from when on it goes on; until, when what it waits for is
    over: then no hands are needed; after, pairs of the id of a step that comes before and the least minutes
    from the end of its work; not_before, a moment that what is over already lets it begin at.
    Raises: OutOfRange; ValueError for a moment without a time zone.

    >>> Work("seal", 75, waits_minutes=480).passive
    False
    """

    id: str
    minutes: float
    passive: bool = False
    waits_minutes: float = 0
    began: datetime | None = None
    until: datetime | None = None
    after: Sequence[tuple[str, float]] = ()
    not_before: datetime | None = None

    def __post_init__(self) -> None:
        checked("minutes", self.minutes, 0, MOST_MINUTES, "min")
        checked("waits_minutes", self.waits_minutes, 0, MOST_MINUTES, "min")
        for _, minutes in self.after:
            checked("after", minutes, 0, MOST_MINUTES, "min")
        for moment in (self.began, self.until, self.not_before):
            if moment is not None:
                in_utc(moment)


@dataclass(frozen=True)
class Job:
    """The steps of one project that are not over yet, in their order.

    Parameters: id; steps; due_on, the day by which it is wanted, none = after all that has one.

    >>> Job("lamp", [Work("saw", 60)]).due_on is None
    True
    """

    id: str
    steps: Sequence[Work]
    due_on: date | None = None


@dataclass(frozen=True)
class Placed:
    """From when to when a step is planned; hands_on, the stretches in which it takes the maker's hands.

    >>> Placed(datetime(2026, 3, 3, 8, tzinfo=UTC), datetime(2026, 3, 3, 9, tzinfo=UTC)).hands_on
    ()
    """

    start: datetime
    end: datetime
    hands_on: tuple[Session, ...] = ()


class _Free:
    """The stretches in which the maker's hands are free."""

    def __init__(self, sessions: Iterable[Session]) -> None:
        self.stretches = merged(sessions)
        self.longest = max((close - opened for opened, close in self.stretches), default=timedelta(0))

    def take(self, moment: datetime, length: timedelta) -> list[Session] | None:
        """Hold the hands for so long, in one piece or split where no session is long enough.

        None where the opening hours end before.
        """
        if length <= timedelta(0):
            return []
        found = self._pieces(moment, length) if length > self.longest else self._piece(moment, length)
        for piece in found or ():
            self._hold(piece)
        return found

    def _after(self, moment: datetime) -> Iterable[Session]:
        """What is free from a moment on, beginning on full five minutes."""
        first = bisect_right(self.stretches, moment, key=lambda stretch: stretch[1])
        for opened, close in self.stretches[first:]:
            begin = on_grid(max(opened, moment))
            if begin < close:
                yield begin, close

    def _piece(self, moment: datetime, length: timedelta) -> list[Session] | None:
        """The first stretch that is long enough."""
        for begin, close in self._after(moment):
            if close - begin >= length:
                return [(begin, begin + length)]
        return None

    def _pieces(self, moment: datetime, length: timedelta) -> list[Session] | None:
        """As many stretches as it takes."""
        found: list[Session] = []
        for begin, close in self._after(moment):
            end = min(close, begin + length)
            found.append((begin, end))
            length -= end - begin
            if not length:
                return found
        return None

    def _hold(self, piece: Session) -> None:
        """Take a piece out of what is free."""
        begin, end = piece
        number = bisect_right(self.stretches, begin, key=lambda stretch: stretch[1])
        opened, close = self.stretches[number]
        rest = [(opened, begin), (end, close)]
        self.stretches[number : number + 1] = [stretch for stretch in rest if stretch[0] < stretch[1]]


def on_grid(moment: datetime) -> datetime:
    """The first full five minutes at or after a moment.

    >>> on_grid(datetime(2026, 3, 3, 8, 2, tzinfo=UTC)).minute
    5
    """
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    return epoch - (epoch - in_utc(moment)) // GRID * GRID


def lay_out(jobs: Sequence[Job], sessions: Sequence[Session], start: datetime) -> dict[str, Placed | None]:
    """When each step can be done at the earliest, if one maker does all of it.

    Parameters: jobs; sessions, the opening hours as pairs of aware moments, from before the first step
    that began; start, not before.
    Returns: for each step's id when it is planned, none where the opening hours end before it. Jobs take the
    maker's hands in order of their due dates, those without one last, equal ones as they are given. Steps of
    a job follow each other, and wait for what they name as long as they name. Hands-on work lies inside one
    session; only what is longer than every session is split. Passive steps begin when the step before them
    ends, day or night. What was begun goes on at once.
    Valid for: a first schedule. Ends of windows, moulds and a second pair of hands are left out.
    Source: serial forward pass with one resource (critical path method).

    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> shop = [(day, day + timedelta(hours=9)), (day + timedelta(days=1), day + timedelta(days=1, hours=9))]
    >>> lamp = Job("lamp", [Work("pour", 60), Work("cure", 600, passive=True), Work("demould", 20)])
    >>> plan = lay_out([lamp], shop, day)
    >>> [f"{plan[name].start:%a %H:%M}" for name in ("pour", "cure", "demould")]
    ['Tue 08:00', 'Tue 09:00', 'Wed 08:00']
    """
    begin = on_grid(start)
    free, found = _Free(sessions), dict[str, Placed | None]()
    for job in sorted(jobs, key=lambda job: (job.due_on is None, job.due_on or date.min)):
        moment: datetime | None = begin
        for step in job.steps:
            # what goes on already, or will from a moment on, waits for nothing in front of it
            goes_on = max(begin, in_utc(step.began or begin))
            first = goes_on if step.began or step.until else _least(step, found, moment)
            placed = None if first is None else _placed(step, free, first, sessions)
            found[step.id] = placed
            moment = None if placed is None or moment is None else max(moment, placed.end)
    return found


def _least(step: Work, found: Mapping[str, Placed | None], moment: datetime | None) -> datetime | None:
    """The first moment from which a step may begin by what it waits for; none where that has no place."""
    if moment is None:
        return None
    least = [moment] if step.not_before is None else [moment, in_utc(step.not_before)]
    for name, minutes in step.after:
        if name not in found:
            continue
        before = found[name]
        if before is None:
            return None
        worked = before.hands_on[-1][1] if before.hands_on else before.end
        least.append(worked + timedelta(minutes=minutes))
    return max(least)


def _placed(step: Work, free: _Free, moment: datetime, sessions: Sequence[Session]) -> Placed | None:
    """One step, not before a moment."""
    if step.until is not None:
        return Placed(in_utc(step.began or moment), max(moment, in_utc(step.until)))
    if step.passive:
        start = in_utc(step.began or moment)
        return Placed(start, max(moment, start + timedelta(minutes=step.minutes)))
    done = open_minutes(sessions, step.began, moment) if step.began else 0
    pieces = free.take(moment, timedelta(minutes=max(0.0, step.minutes - done)))
    if pieces is None:
        return None
    start, end = (pieces[0][0], pieces[-1][1]) if pieces else (moment, moment)
    return Placed(in_utc(step.began or start), end + timedelta(minutes=step.waits_minutes), tuple(pieces))


def open_minutes(sessions: Sequence[Session], since: datetime, until: datetime) -> float:
    """How many minutes the shop was open between two moments.

    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> open_minutes([(day, day + timedelta(hours=9))], day - timedelta(hours=1), day + timedelta(hours=1))
    60.0
    """
    first, last = in_utc(since), in_utc(until)
    stretches = [(max(first, opened), min(last, close)) for opened, close in merged(sessions)]
    return sum((end - begin).total_seconds() / 60 for begin, end in stretches if end > begin)
