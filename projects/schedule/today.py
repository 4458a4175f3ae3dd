"""Now, as the plan's rows see it: how long work can wait, whether it fits, and what today's windows ask."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from projects.clocks import say_time
from projects.models import Step
from projects.schedule.instance import instance_of, task_id
from projects.schedule.links import open_windows, waits_of
from projects.standing import is_late, short_time, step_row

STATE = Step.State
NEVER = timedelta(days=3650)


@dataclass(frozen=True)
class Doable:
    """A step that hands can go on with: its row, until when it can wait, and whether it fits today.

    `must_by` is the close of a window that is open for it; `is_first` whether nothing else may come before.
    """

    row: object
    small: str
    figure: str
    fits: str
    must_by: datetime | None

    @property
    def step(self):
        """The step."""
        return self.row.step

    def __getattr__(self, name):
        """What the row says of itself."""
        return getattr(self.row, name)


@dataclass(frozen=True)
class Windowed:
    """A window that opens or closes within a day: when, what, for which step, and how much of it is open."""

    at: datetime
    verb: str
    name: str
    step: Step
    said: str


@dataclass(frozen=True)
class Late:
    """A step that should have begun or ended: how late it is, why, and how many wait behind it."""

    step: Step
    by: str
    why: str
    behind: int


def doables(matter, sessions):
    """What can be done now: windows that close first, then what is under way, then what waits least."""
    ready, by_pk = ready_steps(matter), {step.pk: step for step in matter.steps}
    windows = {window.step.pk: window.clock for window in open_windows(matter.steps, matter.windows)}
    found = []
    for step in by_pk.values():
        at_it = step.state == STATE.UNDER_WAY and not step.is_passive
        if at_it or step.pk in ready:
            found.append(doable(step, ready.get(step.pk), windows.get(step.pk), matter, sessions))
    return [each for _, each in sorted(found, key=lambda pair: pair[0])]


def ready_steps(matter):
    """Until when each step that can begin now can wait, by pk; without dates where steps wait in a circle."""
    from projects.planning.network import CycleError, ready_now

    try:
        instance = instance_of(matter)
    except CycleError:
        return {}
    known = {task_id(step): step.pk for step in matter.steps}
    marks = [task.id for task in instance.tasks if task.id not in known]
    return {known[each.id]: each.wait_until for each in ready_now(instance, matter.at, marks)}


def doable(step, until, clock, matter, sessions):
    """One step in order: its place, and what stands at its left."""
    now, tz = matter.at, matter.shop.tz
    row = step_row(step, now, tz)
    open_now = clock is not None and clock.closes_at and clock.due_at <= now < clock.closes_at
    if open_now:
        small, figure = "must be done by", say_time(clock.closes_at, now, tz)
    elif step.state == STATE.UNDER_WAY:
        small, figure = row.small, row.figure
    elif until is not None and step.project.due_on and until > now:
        small, figure = "can wait until", short_time(until, now, tz)
    elif until is not None and step.project.due_on:
        small, figure = "wanted by", f"{step.project.due_on.day} {step.project.due_on:%b}"
    else:
        small, figure = "", ""
    group = 0 if open_now else 1 if step.state == STATE.UNDER_WAY else 2
    due = step.project.due_on is None
    order = (group, due, (clock.closes_at if open_now else until) or now, step.pk)
    return order, Doable(
        row, small, figure, fits(step, now, tz, sessions), clock.closes_at if open_now else None
    )


def fits(step, now, tz, sessions):
    """Whether work begun now is done before the shop shuts; nothing while it is shut."""
    close = next((closed for opened, closed in sessions if opened <= now < closed), None)
    if close is None or step.state != STATE.TO_DO:
        return ""
    latest = close - timedelta(minutes=step.minutes)
    if latest < now:
        return f"not done before the shop shuts at {say_time(close, now, tz)}"
    return f"done before closing if begun by {say_time(latest, now, tz)}"


def windows_today(matter, openings, sessions, until):
    """The windows that open or close before a moment, in order."""
    now, tz, found = matter.at, matter.shop.tz, []
    for each in openings:
        if now <= each.opens < until:
            close = f"until {say_time(each.closes, now, tz)}; " if each.closes else ""
            found.append(
                Windowed(each.opens, "opens", each.name, each.step, close + there(each, sessions, now, tz))
            )
        elif each.closes and now <= each.closes < until:
            found.append(
                Windowed(each.closes, "closes", each.name, each.step, there(each, sessions, now, tz))
            )
    return sorted(found, key=lambda window: (window.at, window.step.pk))


def there(window, sessions, now, tz):
    """When of a window the shop is open, the first time of it from now on."""
    opens = max(window.opens, now)
    for opened, closed in sessions:
        start, end = max(opens, opened), closed if window.closes is None else min(window.closes, closed)
        if start < end:
            return f"the shop is open for it {say_time(start, now, tz)} to {end.astimezone(tz):%H:%M}"
    return "the shop is shut all that time"


def lates(matter):
    """What is late, but for what only waits behind something late, the latest first."""
    causes, behind = {}, {}
    for wait in waits_of(matter.steps, matter.links):
        causes.setdefault(wait.after.pk, []).append(wait.before)
        behind.setdefault(wait.before.pk, []).append(wait.after)
    between = {each.step.pk for each in open_windows(matter.steps, matter.windows)}
    late = {step.pk for step in matter.steps if is_late(step, matter.at) and not awaits(step, between)}
    roots = [
        step
        for step in matter.steps
        if step.pk in late and not any(cause.pk in late for cause in causes.get(step.pk, []))
    ]
    found = [
        Late(
            step,
            how_late(step, matter.at),
            why_late(step, causes.get(step.pk, []), matter),
            queue(step, behind, late),
        )
        for step in roots
    ]
    return sorted(found, key=lambda each: (each.step.planned_start or matter.at, each.step.pk))


def awaits(step, between):
    """Whether a step is under way and only waits for its window, as a pour does between two lifts."""
    return step.state == STATE.UNDER_WAY and step.pk in between


def queue(step, behind, late):
    """How many late steps wait behind a late one."""
    waiting, seen = [step.pk], set()
    while waiting:
        for after in behind.get(waiting.pop(), []):
            if after.pk in late and after.pk not in seen:
                seen.add(after.pk)
                waiting.append(after.pk)
    return len(seen)


def how_late(step, now):
    """How late a step is, as a figure."""
    planned = step.planned_start if step.state == STATE.TO_DO else step.planned_end
    minutes = int((now - planned).total_seconds() // 60)
    if minutes < 120:
        return f"{minutes} min"
    if minutes < 48 * 60:
        return f"{minutes // 60} h"
    return f"{minutes // (24 * 60)} days"


def why_late(step, causes, matter):
    """Why a step is late: what it waits for, or that nobody has begun."""
    if step.state == STATE.UNDER_WAY:
        return "It takes longer than planned."
    open_causes = [cause for cause in causes if cause.state in (STATE.WAITING, STATE.UNDER_WAY, STATE.TO_DO)]
    if not open_causes:
        by_itself = "Nothing holds it up: say that it has begun."
        return by_itself if step.is_passive else "Nothing holds it up; nobody has begun."
    cause = open_causes[0]
    if cause.state == STATE.WAITING:
        over = matter.over.get(cause.pk)
        until = f", over {say_time(over, matter.at, matter.shop.tz)}" if over and over > matter.at else ""
        return f"It waits for {cause.title}{until}."
    stands = "under way" if cause.state == STATE.UNDER_WAY else "not begun"
    return f"It waits for {cause.title}, which is {stands}."
