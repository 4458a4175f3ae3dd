"""Where more is planned at a time than there are hands, machines or opening hours for."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from projects.schedule.absent import away_within, nobody_here

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
    found = crowds(
        [(piece, piece.step.people) for piece in ahead], matter.people, f"for {hands(matter.people)}"
    )
    by_machine = defaultdict(list)
    for piece in ahead:
        if piece.step.machine:
            by_machine[piece.step.machine].append((piece, 1))
    for machine, taken in by_machine.items():
        found += crowds(taken, machine.amount, f"at {machine.name}")
    found += [
        Clash(piece.start, "the shop is shut", codes([piece])) for piece in ahead if shut(piece, sessions)
    ]
    found += absent(ahead, matter)
    return sorted(found, key=lambda clash: (clash.at, clash.said))


def absent(ahead, matter):
    """Work that stands in somebody's days away, or on a day on which nobody is here."""
    found, alone = [], nobody_here(matter.away, matter.people)
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


def crowds(taken, amount, what):
    """The first moment of each time that more is taken than there is."""
    turns = sorted(
        [(piece.start, 1, count, piece) for piece, count in taken]
        + [(piece.end, 0, -count, piece) for piece, count in taken],
        key=lambda turn: (turn[0], turn[1], turn[3].step.pk),
    )
    found, now, total, over = [], [], 0, False
    for moment, begins, count, piece in turns:
        total += count
        now = [*now, piece] if begins else [each for each in now if each is not piece]
        if total > amount and not over:
            found.append(Clash(moment, f"{spelled(len(now))} things at once {what}", codes(now)))
        over = total > amount
    return found


def codes(pieces):
    """The projects that it is about."""
    return tuple(sorted({piece.step.project.code for piece in pieces}))


def hands(people):
    """So many people."""
    return "one pair of hands" if people == 1 else f"{spelled(people)} pairs of hands"


def spelled(count):
    """A small number in letters."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)
