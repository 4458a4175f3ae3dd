"""Where more is planned at a time than there are hands, machines or opening hours for."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from projects.schedule.absent import Away, away_within

NUMBERS = ("no", "one", "two", "three", "four", "five", "six")


@dataclass(frozen=True)
class Clash:
    """A moment at which more is wanted than there is, in words, and the projects' numbers."""

    at: datetime
    said: str
    codes: tuple[str, ...]


def clashes(matter, pieces, sessions):
    """The clashes of what is ahead, the first in front."""
    ahead = [piece for piece in pieces if piece.is_hands and piece.state == "ahead"]
    found = crowds([(piece, piece.step.people) for piece in ahead], matter.people, for_hands, matter.away)
    by_machine = defaultdict(list)
    for piece in ahead:
        if piece.step.machine:
            by_machine[piece.step.machine].append((piece, 1))
    for machine, taken in by_machine.items():
        found += crowds(taken, machine.amount, partial(at_machine, machine))
    found += [
        Clash(piece.start, "the shop is shut", codes([piece])) for piece in ahead if shut(piece, sessions)
    ]
    found += absent(ahead, matter)
    return sorted(found, key=lambda clash: (clash.at, clash.said))


def absent(ahead, matter):
    """Work that stands in somebody's days away, or on a day on which nobody is here."""
    found, alone = [], matter.alone
    for piece in ahead:
        gone = away_within(matter.away, piece.start, piece.end)
        who = next((each for each in gone if each.member_pk == piece.step.assignee_id), None)
        if who is not None:
            found.append(Clash(piece.start, f"{who.name} is away", codes([piece])))
        elif any(start < piece.end and end > piece.start for start, end in alone):
            found.append(Clash(piece.start, "everybody is away", codes([piece])))
    return found


def shut(piece, sessions):
    """Whether work is planned outside the opening hours."""
    return not any(opened <= piece.start and piece.end <= closed for opened, closed in sessions)


def crowds(taken, amount, where, away=()):
    """The first moment of each time that more is taken than there is; whoever is `away` is not there.

    Where nobody is left, nothing is said here: `absent` says it.
    """
    turns = [
        turn
        for piece, count in taken
        for turn in ((piece.start, 1, count, piece), (piece.end, 0, -count, piece))
    ]
    turns += [turn for each in away for turn in ((each.start, 1, 0, each), (each.end, 0, 0, each))]
    found, now, gone, total, over = [], [], 0, 0, False
    for moment, begins, count, what in sorted(turns, key=in_turn):
        total += count
        if isinstance(what, Away):
            gone += 1 if begins else -1
        else:
            now = [*now, what] if begins else [each for each in now if each is not what]
        here = amount - gone
        if total > here > 0 and not over:
            much = f"{spelled(len(now))} things at once" if len(now) > 1 else f"a job for {spelled(total)},"
            found.append(Clash(moment, f"{much} {where(here)}", codes(now)))
        over = total > here > 0
    return found


def in_turn(turn):
    """Ends before beginnings at the same moment, then in the order of the rows."""
    moment, begins, _, what = turn
    return moment, begins, what.member_pk if isinstance(what, Away) else what.step.pk


def for_hands(people):
    """Whose hands are too few."""
    return f"for {hands(people)}"


def at_machine(machine, amount):
    """Which machine is too few."""
    return f"at {machine.name}"


def codes(pieces):
    """The projects that it is about."""
    return tuple(sorted({piece.step.project.code for piece in pieces}))


def hands(people):
    """So many people."""
    return "one pair of hands" if people == 1 else f"{spelled(people)} pairs of hands"


def spelled(count):
    """A small number in letters."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)
