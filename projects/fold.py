"""States and clocks follow from the log: a fold over entries by (happened_at, key).

Plain values in and out, so the order in which acts arrive from several phones makes no difference.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

TO_DO, UNDER_WAY, WAITING, DONE = "to_do", "under_way", "waiting", "done"


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
    """The state of a pour step after all `entries`, in whatever order they are given.

    Mixing puts it under way. A pour makes it wait for its cure when the sheet names one, else it is
    done. Settling the demould clock ends it.
    """
    state = StepState()
    for entry in sorted(entries, key=lambda e: (e.happened_at, e.key)):
        state = after(state, entry)
    return state


def after(state, entry):
    """The state after one more entry."""
    if entry.kind == "mix":
        return StepState(UNDER_WAY, state.started_at or entry.happened_at, None)
    if entry.kind == "pour":
        waits = any(clock["kind"] == "demould" for clock in entry.detail.get("clocks", []))
        started = state.started_at or entry.happened_at
        return StepState(WAITING, started) if waits else StepState(DONE, started, entry.happened_at)
    if entry.kind == "clock" and entry.detail.get("clock") == "demould" and state.state == WAITING:
        return StepState(DONE, state.started_at, entry.happened_at)
    return state


def clocks_of(entry):
    """The clocks that an entry starts, from the minutes its detail froze."""
    return [
        Clock(
            kind=clock["kind"],
            started_at=entry.happened_at,
            early_at=later(entry.happened_at, clock.get("early_min")),
            due_at=later(entry.happened_at, clock["due_min"]),
            closes_at=later(entry.happened_at, clock.get("closes_min")),
            figures=clock.get("figures", {}),
        )
        for clock in entry.detail.get("clocks", [])
    ]


def later(moment, minutes):
    """`minutes` after a moment, to the second; None for none."""
    return None if minutes is None else moment + timedelta(seconds=round(minutes * 60))
