"""What stands in a member's calendar: hands-on work as it is planned, windows and clocks with their alarms.

Pot lives and open times are left out: a calendar program asks hours apart, and they are over by then.
"""

from dataclasses import asdict, dataclass
from datetime import timedelta

from django.db.models import F, Q

from projects.clocks import WINDOWS, name_of
from projects.models import Project, Step, Timer

MOST = 500
PAST = timedelta(days=14)  # what is longer over is left out
SHORT = timedelta(minutes=15)  # how long an event is that marks a moment
CLOSING_SOON = timedelta(hours=1)
KIND = Timer.Kind
NOT_TOLD = (KIND.POT_LIFE, KIND.GLUE, KIND.GEL)
OPENS = {
    KIND.RECOAT: "Next pour may go on",
    KIND.TACK: "Next seal coat may go on",
    KIND.COAT: "Next coat may go on",
}


@dataclass(frozen=True)
class Event:
    """One event: its own row's key, what it is called, from when to when, and the minutes of its alarms.

    An alarm is told in minutes after the start; `path` says where in the program it leads.
    """

    target: str
    summary: str
    about: str
    start: str
    end: str
    alarms: tuple = ()
    path: str = ""

    @property
    def content(self):
        """It as plain values, by which a change is seen."""
        return {**asdict(self), "alarms": list(self.alarms)}


def events_of(member, at):
    """All that a member's calendar holds at a moment."""
    return [*work(member, at), *clocks(member, at)]


def work(member, at):
    """Planned hands-on work that is the member's or nobody's; what was done, when it was done."""
    since = at - PAST
    steps = (
        Step.objects.of(member.shop)
        .kept()
        .filter(Q(assignee=None) | Q(assignee=member), mode=Step.Mode.HANDS_ON)
        .filter(
            Q(state__in=[Step.State.TO_DO, Step.State.UNDER_WAY], planned_end__gt=since)
            & Q(project__state__in=Project.LIVE)
            | Q(state=Step.State.DONE, planned_end__isnull=False, ended_at__gt=since)
        )
        .exclude(planned_start=None)
        .select_related("project", "machine")
        .order_by("planned_start", "pk")
    )
    return [work_event(step) for step in steps[:MOST]]


def work_event(step):
    """A step as an event."""
    done = step.state == Step.State.DONE
    start, end = (step.started_at, step.ended_at) if done else (step.planned_start, step.planned_end)
    return Event(
        target=str(step.key),
        summary=f"{step.title}{', done' if done else ''} · {step.project}",
        about=f"Hands on{f', {step.machine.name}' if step.machine else ''}.",
        start=start.isoformat(),
        end=max(end, start + timedelta(minutes=1)).isoformat(),
        path=f"bench/{step.key}/",
    )


def clocks(member, at):
    """Clocks that run, and those that were answered after they rang."""
    since = at - PAST
    timers = (
        Timer.objects.of(member.shop)
        .with_story()
        .exclude(kind__in=NOT_TOLD)
        .filter(Q(due_at__gt=since) | Q(closes_at__gt=since))
        .filter(Q(settled_at=None) | Q(settled_at__gte=F("due_at")))
        .order_by("due_at", "pk")
    )
    return [clock_event(timer) for timer in timers[:MOST]]


def clock_event(timer):
    """A clock as an event at its end; a window as long as it is open, with a word before it closes."""
    window = timer.kind in WINDOWS
    closes = timer.closes_at if window and timer.closes_at and timer.closes_at > timer.due_at else None
    end = closes or timer.due_at + SHORT
    alarms = [0]
    if closes and closes - timer.due_at > 2 * CLOSING_SOON:
        alarms.append(round((closes - CLOSING_SOON - timer.due_at) / timedelta(minutes=1)))
    project = timer.entry.project
    name = f"{OPENS[KIND(timer.kind)]}: {name_of(timer)}" if window else name_of(timer)
    return Event(
        target=str(timer.key),
        summary=f"{name} · {project}" if project else name,
        about="" if timer.settled_at is None else f"{timer.settled_how}.",
        start=timer.due_at.isoformat(),
        end=end.isoformat(),
        alarms=tuple(alarms) if timer.settled_at is None else (),
        path=f"clocks/{timer.key}/",
    )
