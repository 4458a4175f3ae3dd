"""Clocks that follow the thermometer: a fold over the act that started one and the readings since.

Plain values in and out, so that a reading that arrives late or out of order gives the same clock. A reading
says how warm it was for as long as it is fresh. From then until the next one nobody knows, and the safer of
it and what the act said counts: the colder where a cure is waited for, the warmer where something ends.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from materials.models.batches import FRESH
from projects import fold

SHEET_FIT = "sheet_fit"
BY_MODEL = {"cup_test", SHEET_FIT}
"""Laws by which sheet and model stand together, the safe one of both."""
FOLLOWS = {"ten_degree", *BY_MODEL}
"""Laws of clocks that a reading moves; the others run as they were set."""
SOONER = {"pot_life", "gel"}
"""Clocks of something that ends; the end of a window is such a one too."""
COLDEST_C, WARMEST_C = -10.0, 60.0
LEAST = timedelta(minutes=1)  # a shorter move is not worth a line


@dataclass(frozen=True)
class Warmth:
    """How warm it was when somebody looked."""

    at: datetime
    temp_c: float
    who: str = ""


@dataclass(frozen=True)
class Move:
    """What a reading did to a clock: when it would have been over, and when it is now.

    `closes` says that it was the end of its window that moved, since that was open by then.
    """

    at: datetime
    temp_c: float
    who: str
    was: datetime
    now: datetime
    closes: bool = False


def clocks_of(entry, warmths):
    """The clocks that an entry starts as all readings since have moved them, each with its moves."""
    frozen = entry.detail.get("clocks", [])
    return [follow(plain, clock, warmths) for plain, clock in zip(fold.clocks_of(entry), frozen, strict=True)]


def follow(plain, clock, warmths):
    """One clock after the readings that count for it, and the moves that led there."""
    if plain.figures.get("law") not in FOLLOWS or plain.figures.get("temp_c") is None:
        return plain, []
    begun = plain.started_at
    counts = sorted(
        (warmth for warmth in warmths if COLDEST_C <= warmth.temp_c <= WARMEST_C),
        key=lambda warmth: warmth.at,
    )
    # an act brings its own temperature; what lies under a pour has cured since before
    before = [warmth for warmth in counts if warmth.at <= begun]
    since = [warmth for warmth in counts if warmth.at > begun]
    now, moves = at_warmths(plain, clock, before), []
    for number, warmth in enumerate(since, 1):
        if warmth.at >= max(now.due_at, now.closes_at or now.due_at):
            break  # all of it is used up by then
        was, now = now, at_warmths(plain, clock, before + since[:number])
        moves += [move] if (move := moved(warmth, was, now)) else []
    return now, moves


def moved(warmth, was, now):
    """What a reading did to a clock, as a Move; None for less than a minute."""
    pairs = [(was.due_at, now.due_at, False), (was.closes_at, now.closes_at, True)]
    for before, after, closes in pairs:
        if before and after and abs(after - before) >= LEAST:
            return Move(warmth.at, warmth.temp_c, warmth.who, before, after, closes)
    return None


def at_warmths(plain, clock, warmths):
    """A clock after all these readings."""
    law = by_model if plain.figures["law"] in BY_MODEL else by_sheet
    return law(plain, clock, warmths)


def by_sheet(plain, clock, warmths):
    """The sheet's times by the ten-degree rule, through the temperatures that were read."""
    temps, closing = both_temps(plain, warmths)

    def later(minutes, temps=temps):
        return None if minutes is None else through(plain.started_at, minutes, temps)

    due = later(clock["due_min"])
    for below in plain.figures.get("below", []):
        due = max(due, out_of(below, warmths))
    return replace(
        plain,
        early_at=later(clock.get("early_min")),
        due_at=due,
        closes_at=later(clock.get("closes_min"), closing),
    )


def out_of(below, warmths):
    """When a pour that lies under another one would be out of the mould by itself."""
    started, clock = datetime.fromisoformat(below["started_at"]), below["clock"]
    return at_warmths(fold.clock_from(started, clock), clock, warmths).due_at


def by_model(plain, clock, warmths):
    """Sheet and model together, the safe one of both."""
    from projects import clock_model

    temps, closing = both_temps(plain, warmths)
    return clock_model.safe(by_sheet(plain, clock, warmths), plain.figures, temps, closing)


def both_temps(clock, warmths):
    """The temperatures that the end of a clock goes through, and those of the end of its window."""
    start, temp_c = clock.started_at, clock.figures["temp_c"]
    closing = temps_of(start, temp_c, warmths, max)
    return (closing if clock.kind in SOONER else temps_of(start, temp_c, warmths, min)), closing


def temps_of(start, temp_c, warmths, safer):
    """Pairs of minutes since the start of a clock and °C: what its act said, then what was read.

    Once a reading is no longer fresh, `safer` chooses between it and what the act said.
    """
    found, known = [(0.0, temp_c)], [warmth for warmth in warmths if warmth.at > start]
    for number, warmth in enumerate(known):
        found.append(((warmth.at - start).total_seconds() / 60, warmth.temp_c))
        stale, kept_c = warmth.at + FRESH, safer(warmth.temp_c, temp_c)
        read_again = number + 1 < len(known) and known[number + 1].at <= stale
        if not read_again and kept_c != warmth.temp_c:
            found.append(((stale - start).total_seconds() / 60, kept_c))
    return tuple(found)


def through(start, minutes, temps):
    """When so many minutes at the first of these temperatures are over."""
    from materials.science.resin.sheet_clock import minutes_through

    return fold.later(start, minutes_through(max(minutes, 0.001), temps[0][1], temps)) if minutes else start


def kept(move):
    """A move as plain values, for a clock's figures."""
    moments = {name: getattr(move, name).isoformat() for name in ("at", "was", "now")}
    return {**moments, "temp_c": move.temp_c, "who": move.who, "closes": move.closes}


def read(values):
    """A move from what was kept."""
    moments = {name: datetime.fromisoformat(values[name]) for name in ("at", "was", "now")}
    return Move(temp_c=values["temp_c"], who=values["who"], closes=values["closes"], **moments)
