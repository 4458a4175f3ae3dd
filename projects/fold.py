"""States and clocks follow from the log: a fold over entries by (happened_at, key).

Plain values in and out, so the order in which acts arrive from several phones makes no difference.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

TO_DO, UNDER_WAY, WAITING, DONE = "to_do", "under_way", "waiting", "done"
SKIPPED = "skipped"
ENDING_CLOCKS = {"demould", "tack", "sealant", "clamped", "wait"}
"""Clocks whose answer ends a step that waits."""
CURING = {"pour", "glue_up", "coat"}
"""Acts from which on something cures or dries."""


@dataclass(frozen=True)
class Happened:
    """One entry, as far as a fold looks at it."""

    kind: str
    happened_at: datetime
    key: str
    detail: dict


@dataclass(frozen=True)
class StepState:
    """Where a step stands, since when, until when."""

    state: str = TO_DO
    started_at: datetime | None = None
    ended_at: datetime | None = None


@dataclass(frozen=True)
class Clock:
    """A clock that an act starts: instants only, all computed from the entry's own detail."""

    kind: str
    started_at: datetime
    early_at: datetime | None
    due_at: datetime
    closes_at: datetime | None
    figures: dict


def step_state(entries):
    """The state of a step after all `entries`, in whatever order they are given.

    An entry says in its detail what it means for the step: `step` is "began", "waits", "done", "skipped"
    or "reopened". Mixing puts a pour under way; a pour makes it wait for its cure when the sheet names
    one and no step of its own stands for the cure, else it is done unless `more` pours are to come.
    Answering the clock that a step waits for ends it. An entry that `begins` puts a step under way that
    nobody had begun.
    """
    state = StepState()
    for entry in sorted(entries, key=lambda e: (e.happened_at, e.key)):
        state = after(state, entry)
    return state


def after(state, entry):
    """The state after one more entry."""
    if "step" in entry.detail:
        return told(state, entry)
    if entry.kind == "mix":
        return StepState(UNDER_WAY, state.started_at or entry.happened_at, None)
    if entry.kind == "pour":
        return poured(state, entry)
    if entry.kind == "clock" and entry.detail.get("clock") in ENDING_CLOCKS and state.state == WAITING:
        return StepState(DONE, state.started_at, entry.happened_at)
    if entry.detail.get("begins") and state.state == TO_DO:
        return StepState(UNDER_WAY, entry.happened_at)
    return state


def told(state, entry):
    """The state after an entry that says itself what it means."""
    started = state.started_at or entry.happened_at
    return {
        "began": StepState(UNDER_WAY, started),
        "waits": StepState(WAITING, started),
        "done": StepState(DONE, started, entry.happened_at),
        "skipped": StepState(SKIPPED, state.started_at, entry.happened_at),
        "reopened": StepState(),
    }[entry.detail["step"]]


def poured(state, entry):
    """The state of a pour step after a pour."""
    started = state.started_at or entry.happened_at
    if entry.detail.get("more"):
        return StepState(UNDER_WAY, started)
    cures_here = not entry.detail.get("cure_step")
    if cures_here and any(clock["kind"] == "demould" for clock in entry.detail.get("clocks", [])):
        return StepState(WAITING, started)
    return StepState(DONE, started, entry.happened_at)


def cure_state(entries):
    """The state of a step that stands for a cure: it waits from its last pour, glue-up or coat on.

    `entries` are its own and those of the pours of its block, or of the glue-ups or the coat before it.
    """
    state = StepState()
    for entry in sorted(entries, key=lambda e: (e.happened_at, e.key)):
        if entry.kind in CURING:
            state = StepState(WAITING, state.started_at or entry.happened_at)
        elif is_dry(entry) and state.state == WAITING:
            state = StepState(DONE, state.started_at, entry.happened_at)
        elif entry.kind != "mix":
            state = after(state, entry)
    return state


def is_dry(entry):
    """Whether an entry says that a coat is dry: its clock was answered, or the next coat went on it."""
    return entry.kind == "clock" and entry.detail.get("clock") == "coat"


def pause_minutes(pauses, until):
    """How long all pauses together lasted, in minutes; one that nobody ended lasts `until`."""
    return sum(((end or until) - start).total_seconds() for start, end in pauses) / 60


@dataclass(frozen=True)
class SandingTimes:
    """From when to when a sanding session went, and its pauses as pairs of instants."""

    started_at: datetime | None = None
    ended_at: datetime | None = None
    pauses: tuple[tuple[datetime, datetime | None], ...] = ()


def sanding_times(entries):
    """The times of one session after its entries: `act` is "start", "pause", "resume" or "stop"."""
    times = SandingTimes()
    for entry in sorted(entries, key=lambda e: (e.happened_at, e.key)):
        times = sanded(times, entry.detail["act"], entry.happened_at)
    return times


def sanded(times, act, at):
    """The times after one more act; a second pause, or one after the stop, changes nothing."""
    paused = bool(times.pauses) and times.pauses[-1][1] is None
    if act == "start":
        return SandingTimes(at)
    if times.ended_at is not None:
        return times
    if act == "pause" and not paused:
        return SandingTimes(times.started_at, None, (*times.pauses, (at, None)))
    closed = (*times.pauses[:-1], (times.pauses[-1][0], at)) if paused else times.pauses
    if act in ("resume", "stop"):
        return SandingTimes(times.started_at, at if act == "stop" else None, closed)
    return times


def clocks_of(entry):
    """The clocks that an entry starts, from the minutes its detail froze."""
    return [clock_from(entry.happened_at, clock) for clock in entry.detail.get("clocks", [])]


def clock_from(start, clock):
    """One clock from the minutes that were frozen for it."""
    return Clock(
        kind=clock["kind"],
        started_at=start,
        early_at=later(start, clock.get("early_min")),
        due_at=later(start, clock["due_min"]),
        closes_at=later(start, clock.get("closes_min")),
        figures=clock.get("figures", {}),
    )


def later(moment, minutes):
    """`minutes` after a moment, to the second; None for none."""
    return None if minutes is None else moment + timedelta(seconds=round(minutes * 60))
