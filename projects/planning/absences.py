"""When work can be done at all while somebody is away: opening hours less the time in which hands lack.

An absence is a passive task with a fixed start that takes people: it holds them day and night, is no work,
and does not wait for anything.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from projects.planning.calendar import Calendar, Session, in_utc
from projects.planning.grid import Grid
from projects.planning.steps import Instance

Needs = tuple[tuple[int, int], ...]


def hours_of_work(instance: Instance, grid: Grid) -> Mapping[Needs, Calendar]:
    """For what nodes need the hours in which enough of it is there, where absences make them fewer.

    Parameters: instance; grid, made of it.
    Returns: calendars by what is needed, pairs (number of the resource, amount); nothing for what is there
    in all opening hours, and for what would never be there.

    >>> from datetime import UTC, datetime, timedelta
    >>> from projects.planning.grid import on_grid
    >>> from projects.planning.steps import Task
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> away = Task("away", "", "Joris is away", "passive", 120, people=1, fixed_start=day)
    >>> saw = Task("saw", "lamp", "Saw", "hands_on", 60)
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> instance = Instance(day, [away, saw], [], [], {}, shop, None, {}, {})
    >>> [len(hours.opens) for hours in hours_of_work(instance, on_grid(instance)).values()]
    [1]
    """
    calendar = instance.calendar
    found = {}
    held = _held(instance, grid)
    for needs in {tuple(each) for each in grid.needs} if held else ():
        gone = [
            stretch
            for resource, amount in needs
            for stretch in _lacking(held.get(resource, []), grid.capacity[resource] - amount)
        ]
        sessions = without(calendar.sessions, gone) if gone else []
        if sessions:
            found[needs] = Calendar(sessions, calendar.minutes)
    return found


def _held(instance: Instance, grid: Grid) -> dict[int, list[tuple[Session, int]]]:
    """By the number of a resource the stretches in which absences hold some of it."""
    found: dict[int, list[tuple[Session, int]]] = {}
    for node, task in enumerate(grid.task):
        if task.fixed_start is None or task.kind != "passive" or not task.hands:
            continue
        begin = in_utc(task.fixed_start)
        end = instance.calendar.moment(instance.calendar.position(begin) + grid.slots[node])
        for resource, amount in grid.needs[node]:
            found.setdefault(resource, []).append(((begin, end), amount))
    return found


def _lacking(held: list[tuple[Session, int]], spare: int) -> list[Session]:
    """The stretches in which more than what can be spared is held."""
    moments = sorted({moment for stretch, _ in held for moment in stretch})
    found = []
    for begin, end in pairwise(moments):
        taken = sum(amount for (first, last), amount in held if first <= begin < last)
        if taken > spare:
            found.append((begin, end))
    return found


def without(sessions: Sequence[Session], gone: Sequence[Session]) -> list[Session]:
    """Sessions less other stretches.

    >>> from datetime import UTC, datetime
    >>> at = [datetime(2026, 3, 3, hour, tzinfo=UTC) for hour in (8, 10, 12, 17)]
    >>> [(a.hour, b.hour) for a, b in without([(at[0], at[3])], [(at[1], at[2])])]
    [(8, 10), (12, 17)]
    """
    left = list(sessions)
    for begin, end in gone:
        cut = []
        for opened, close in left:
            if end <= opened or begin >= close:
                cut.append((opened, close))
                continue
            cut += [(opened, begin)] if opened < begin else []
            cut += [(end, close)] if end < close else []
        left = cut
    return left
