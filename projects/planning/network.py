"""The network of steps and what can be read from it without planning: earliest, latest, slack, ready."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from projects.planning.calendar import Calendar, in_utc
from projects.planning.grid import Grid, on_grid
from projects.planning.passes import backward, length, relieved
from projects.planning.relief import Relief
from projects.planning.steps import Cure as Cure
from projects.planning.steps import CycleError as CycleError
from projects.planning.steps import Instance as Instance
from projects.planning.steps import Link as Link
from projects.planning.steps import Span as Span
from projects.planning.steps import Task as Task


def earliest(instance: Instance) -> dict[str, datetime | None]:
    """When each step could start at the earliest, if people and machines were no matter.

    Parameters: instance.
    Returns: for each id an aware moment in UTC; none for a step that finds no place at all. A window that
    no start meets is left out of account, as in a plan.
    Valid for: the exact optimum without resources.
    Source: critical path method with windows; see projects.planning.passes.

    >>> from datetime import UTC, timedelta
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> steps = [Task("saw", "lamp", "Saw", "hands_on", 60), Task("glue", "lamp", "Glue", "hands_on", 30)]
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> found = earliest(Instance(day, steps, [Link("saw", "glue")], [], {}, shop, None, {}, {}))
    >>> found["glue"].isoformat()
    '2026-03-03T09:00:00+00:00'
    """
    grid = on_grid(instance)
    starts = relieved(grid, instance.calendar, Relief.of(instance.calendar))
    return {name: _moment(instance.calendar, starts[node]) for name, node in sorted(grid.first_node.items())}


def latest(instance: Instance) -> dict[str, datetime | None]:
    """When each step must start at the latest for its project to be done by its date.

    Parameters: instance; a project without a date has until the calendar's end.
    Returns: for each id an aware moment in UTC.
    Valid for: the exact optimum without resources.
    Source: critical path method with windows; see projects.planning.passes.

    >>> from datetime import UTC, timedelta
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> saw = Task("saw", "lamp", "Saw", "hands_on", 60)
    >>> due = {"lamp": day + timedelta(hours=3)}
    >>> latest(Instance(day, [saw], [], [], {}, shop, None, due, {}))["saw"].isoformat()
    '2026-03-03T10:00:00+00:00'
    """
    grid = on_grid(instance)
    relief = Relief.of(instance.calendar)
    relieved(grid, instance.calendar, relief)
    found = backward(grid, instance.calendar, relief, last_ends(instance, grid))
    return {name: instance.calendar.moment(found[node]) for name, node in sorted(grid.first_node.items())}


def _moment(calendar: Calendar, slot: int | None) -> datetime | None:
    return None if slot is None else calendar.moment(slot)


def last_ends(instance: Instance, grid: Grid) -> list[int]:
    """For each node the slot by which it must have ended: its project's date, else the calendar's end.

    >>> from datetime import UTC
    >>> start = datetime(2026, 3, 3, tzinfo=UTC)
    >>> instance = Instance(start, [], [], [], {}, Calendar([]), None, {}, {})
    >>> last_ends(instance, on_grid(instance))
    []
    """
    calendar = instance.calendar
    due = {project: calendar.slot_down(moment) for project, moment in instance.due.items()}
    open_end = max(calendar.end, grid.start, *due.values()) if due else max(calendar.end, grid.start)
    return [due.get(task.project, open_end) for task in grid.task]


def slack(instance: Instance, now: datetime) -> dict[str, float]:
    """How many minutes each step can wait before its project is late or a window is missed.

    Parameters: instance; now, an aware moment.
    Returns: for each id that finds a place, latest start minus the later of now and earliest start, in min;
    below 0 where it is too late already.
    Source: critical path method.

    >>> from datetime import UTC, timedelta
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> saw = Task("saw", "lamp", "Saw", "hands_on", 60)
    >>> instance = Instance(day, [saw], [], [], {}, shop, None, {"lamp": day + timedelta(hours=3)}, {})
    >>> slack(instance, now=day + timedelta(minutes=30))
    {'saw': 90.0}
    """
    last = latest(instance)
    found = {}
    for name, first in earliest(instance).items():
        limit = last[name]
        if first is not None and limit is not None:
            found[name] = (limit - max(in_utc(now), first)).total_seconds() / 60
    return found


@dataclass(frozen=True)
class Ready:
    """A step that can be done now.

    Parameters: id; slack_minutes, how long it can wait; wait_until, until when; fits_before_closing, whether
    it can be ended before the shop closes.

    >>> from datetime import UTC
    >>> Ready("saw", 90, datetime(2026, 3, 3, 10, tzinfo=UTC), True).slack_minutes
    90
    """

    id: str
    slack_minutes: float
    wait_until: datetime
    fits_before_closing: bool


def ready_now(instance: Instance, now: datetime, done: Collection[str]) -> list[Ready]:
    """What hands can do now, in order of how long it can wait.

    Parameters: instance; now, an aware moment; done, the ids of steps that are over (their `fixed_start`
    and `minutes` say when; without a start they ended at once).
    Returns: the hands-on steps not begun whose causes are done and whose windows are open; a window that is
    about to close shortens the wait.
    Source: critical path method.

    >>> from datetime import UTC, timedelta
    >>> day = datetime(2026, 3, 3, 8, tzinfo=UTC)
    >>> shop = Calendar([(day, day + timedelta(hours=8))])
    >>> steps = [Task("saw", "lamp", "Saw", "hands_on", 60), Task("glue", "lamp", "Glue", "hands_on", 30)]
    >>> instance = Instance(day, steps, [Link("saw", "glue")], [], {}, shop, None, {}, {})
    >>> [(step.id, step.slack_minutes, step.fits_before_closing) for step in ready_now(instance, day, [])]
    [('saw', 390.0, True)]
    """
    grid, calendar = on_grid(instance), instance.calendar
    relief = Relief.of(calendar)
    relieved(grid, calendar, relief)
    last = backward(grid, calendar, relief, last_ends(instance, grid))
    found = []
    for name, node in sorted(grid.first_node.items()):
        if name in done or grid.fixed[node] is not None or grid.task[node].kind != "hands_on":
            continue
        until = _until(grid, node, calendar.slot_down(now), set(done), last[node])
        if until is not None:
            wait_until = calendar.moment(until)
            minutes = (wait_until - in_utc(now)).total_seconds() / 60
            fits = _fits(instance, now, length(grid, relief, node) * calendar.minutes)
            found.append(Ready(name, minutes, wait_until, fits))
    return sorted(found, key=lambda step: (step.slack_minutes, step.id))


def _until(grid: Grid, node: int, now: int, done: set[str], last: int) -> int | None:
    """Until when a node can wait; none where it can't be begun now."""
    if grid.task[node].release is not None and grid.release[node] > now:
        return None
    for edge in grid.into[node]:
        begun = grid.fixed[edge.before]
        if grid.task[edge.before].id not in done:
            return None
        if begun is None:
            continue
        end = begun + grid.slots[edge.before]
        if edge.lag.opens(end) > now:
            return None
        if edge.lag.has_window:
            last = min(last, edge.lag.closes(end))
    return last


def _fits(instance: Instance, now: datetime, minutes: float) -> bool:
    """Whether work of so many minutes begun now would end before the shop closes."""
    at = in_utc(now)
    return any(
        opened <= at and (close - at).total_seconds() >= minutes * 60
        for opened, close in instance.calendar.sessions
    )
