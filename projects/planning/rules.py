"""In which order steps are planned: six rules, and how good a plan is."""

from collections.abc import Mapping, Sequence

from projects.planning.calendar import Calendar
from projects.planning.grid import Grid
from projects.planning.network import last_ends
from projects.planning.passes import backward, length, relieved
from projects.planning.relief import Relief
from projects.planning.steps import Instance

# a minute late costs as much as so many minutes of an earlier end (judgement, no source)
LATE_WEIGHT = 20


def six_rules(instance: Instance, grid: Grid, relief: Relief) -> list[list[float]]:
    """Six priorities for every node, the least first.

    Parameters: instance; grid, made of it; relief, which is filled where a window can't be met at all.
    Returns: by latest start for the due date; by earliest start; by latest start for the project's own
    earliest end; by the project's length over its weight; by the third over the weight; by the project's
    work over its weight.
    Source: priority rules of project scheduling; which is best depends on the case, so all are tried.

    >>> from datetime import UTC, datetime
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> instance = Instance(start, [], [], [], {}, Calendar([]), None, {}, {})
    >>> six_rules(instance, Grid(), Relief())
    [[], [], [], [], [], []]
    """
    calendar, nodes = instance.calendar, range(grid.nodes)
    starts = relieved(grid, calendar, relief)
    early = [calendar.end if at is None else at for at in starts]
    project = [task.project for task in grid.task]
    finish: dict[str, int] = {}
    work: dict[str, int] = dict.fromkeys(project, 0)
    for node in nodes:
        end = early[node] + length(grid, relief, node)
        finish[project[node]] = max(finish.get(project[node], end), end)
        work[project[node]] += grid.slots[node] if grid.calendar_bound[node] else 0
    weight = {name: max(instance.weight.get(name, 1), 1e-9) for name in finish}
    due = backward(grid, calendar, relief, last_ends(instance, grid))
    own = backward(grid, calendar, relief, [finish[name] for name in project])
    span = max([1, *(own[node] - grid.start for node in nodes)])
    share = [(own[node] - grid.start) / span for node in nodes]
    return [
        [float(at) for at in due],
        [float(at) for at in early],
        [float(at) for at in own],
        [(finish[project[n]] - grid.start) / weight[project[n]] + share[n] for n in nodes],
        [(own[n] - grid.start) / weight[project[n]] for n in nodes],
        [work[project[n]] / weight[project[n]] + share[n] for n in nodes],
    ]


def finishes(grid: Grid, relief: Relief, starts: Sequence[int | None], calendar: Calendar) -> dict[str, int]:
    """The slot at which each project ends; the calendar's end where a step finds no place.

    >>> finishes(Grid(), Relief(), [], Calendar([]))
    {}
    """
    found: dict[str, int] = {}
    for node, at in enumerate(starts):
        end = calendar.end if at is None else at + length(grid, relief, node)
        name = grid.task[node].project
        found[name] = max(found.get(name, end), end)
    return found


def lateness(instance: Instance, ends: Mapping[str, int]) -> dict[str, float]:
    """How many minutes each project is late; only those that are.

    >>> from datetime import UTC, datetime
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> lateness(Instance(start, [], [], [], {}, Calendar([]), None, {"lamp": start}, {}), {})
    {}
    """
    calendar = instance.calendar
    late = {
        name: (ends[name] - calendar.position(moment)) * calendar.minutes
        for name, moment in sorted(instance.due.items())
        if name in ends
    }
    return {name: minutes for name, minutes in late.items() if minutes > 0}


def cost(instance: Instance, ends: Mapping[str, int]) -> float:
    """What a plan costs: for each project weight × (20 × minutes late + minutes from the start to its end).

    >>> from datetime import UTC, datetime, timedelta
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> shop = Calendar([])
    >>> due = {"lamp": start + timedelta(hours=1)}
    >>> cost(Instance(start, [], [], [], {}, shop, None, due, {}), {"lamp": shop.slot_up(start) + 13})
    165.0
    """
    calendar, late = instance.calendar, lateness(instance, ends)
    begin = calendar.position(instance.start)
    return sum(
        instance.weight.get(name, 1) * (LATE_WEIGHT * late.get(name, 0) + (end - begin) * calendar.minutes)
        for name, end in sorted(ends.items())
    )
