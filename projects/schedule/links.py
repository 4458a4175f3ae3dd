"""What waits for what: the order of each route, the windows of resins, and those of running clocks.

What the order and stored links say is read by `projects.links`; here it becomes a planner's waits.
"""

from dataclasses import dataclass

from projects.advice import WAITS
from projects.links import order_of
from projects.models import Step, Timer

KIND, STATE = Step.Kind, Step.State
RECOATED = {KIND.POUR: True, KIND.SEAL: False}
"""Kinds that go onto themselves while they are soft; whether nothing helps once that is missed."""
WINDOWS = (Timer.Kind.RECOAT, Timer.Kind.TACK, Timer.Kind.COAT)
NEXT = {Timer.Kind.RECOAT: KIND.POUR, Timer.Kind.TACK: KIND.SEAL, Timer.Kind.COAT: KIND.COAT}
"""Which kind of step the window of a clock is for."""


@dataclass(frozen=True)
class Wait:
    """One step waits for another; `cure` are the sheet's open and close hours and their °C."""

    before: Step
    after: Step
    open_minutes: float = 0
    cure: tuple[float, float | None, float] | None = None
    hard: bool = False
    label: str = ""
    close_minutes: float | None = None


@dataclass(frozen=True)
class OpenWindow:
    """A window that a running clock has opened or will open, and the step it is for."""

    clock: Timer
    step: Step
    hard: bool


def waits_of(steps, stored=()):
    """What waits for what among the open steps of all projects.

    The blocks of a project go on beside each other; a step of no block waits for all of them. What has
    begun waits for nothing, but for a cure whose block is poured on: it begins anew. `stored` are links that
    a maker set: they count before what the order says of the same two steps.
    """
    by_pk = {step.pk: step for step in steps}
    anew = poured_on(steps)
    to_come = {step.pk for step in steps if step.state == STATE.TO_DO or step.pk in anew}
    order = [wait_of(before, after) for before, after in order_of(steps) if after.pk in to_come]
    found = {(wait.before.pk, wait.after.pk): wait for wait in order}
    for link in stored:
        before, after = by_pk.get(link.before_id), by_pk.get(link.after_id)
        if before is None or after is None or after.pk not in to_come:
            continue
        if link.has_window or (before.pk, after.pk) not in found:
            found[before.pk, after.pk] = set_wait(link, before, after)
    return list(found.values())


def set_wait(link, before, after):
    """A stored link as a wait: minutes by the clock, or hours that follow the warmth."""
    if link.law == "ten_degree" and link.at_c is not None:
        closes = None if link.close_min is None else link.close_min / 60
        cure = (link.open_min / 60, closes, link.at_c)
        return Wait(before, after, cure=cure, hard=link.hard, label="window")
    return Wait(before, after, link.open_min, hard=link.hard, label="window", close_minutes=link.close_min)


def wait_of(before, after):
    """How one step waits for the one before it."""
    from projects.planning.route import MINUTES

    waits = before.kind in WAITS and not before.is_passive and before.state != STATE.WAITING
    minutes = MINUTES[WAITS[before.kind]] if waits else 0
    resin = before.block.resin if before.block else None
    alike = before.kind == after.kind and before.kind in RECOATED
    if not (alike and resin and resin.recoat_open_h):
        return Wait(before, after, minutes)
    closes = resin.recoat_close_h
    if closes is not None and closes < resin.recoat_open_h:
        closes = None
    return Wait(
        before,
        after,
        0,
        (resin.recoat_open_h, closes, resin.recoat_c),
        hard=RECOATED[before.kind] and closes is not None,
        label="recoat window",
    )


def poured_on(steps):
    """The cures that have begun although another pour comes before them, by pk: the last pour counts."""
    last = {}
    for step in steps:
        if step.kind == KIND.POUR and step.block_id and step.state in (STATE.TO_DO, STATE.UNDER_WAY):
            last[step.block_id] = max(step.position, last.get(step.block_id, 0))
    return {
        step.pk
        for step in steps
        if step.kind == KIND.CURE
        and step.state != STATE.TO_DO
        and step.block_id in last
        and last[step.block_id] < step.position
    }


def windows_of(shop):
    """The running clocks of a shop that end in a window."""
    windows = Timer.objects.of(shop).running().filter(kind__in=WINDOWS, step__isnull=False)
    return windows.with_story().select_related("step__project")


def open_windows(steps, clocks):
    """The windows of running clocks, each with the step that must meet it; those of no step are left out."""
    found = []
    for clock in clocks:
        step = next((each for each in steps if is_for(clock, each)), None)
        if step is not None:
            found.append(OpenWindow(clock, step, clock.kind == Timer.Kind.RECOAT))
    return found


def is_for(clock, step):
    """Whether a step is what a clock's window is for: the same pour with more to come, or the next alike."""
    begun = clock.step
    if step.kind != NEXT[Timer.Kind(clock.kind)] or step.state == STATE.WAITING:
        return False
    if step.pk == begun.pk:
        return clock.kind == Timer.Kind.RECOAT
    same = step.block_id == begun.block_id if begun.block_id else step.project_id == begun.project_id
    return same and step.state == STATE.TO_DO and step.position > begun.position


def past_waits(steps, stored):
    """Stored windows that a step which is done has begun, and the open step that must meet each.

    Where a clock runs for the step, that was set by what was measured, and counts instead.
    """
    open_ones = {step.pk: step for step in steps if step.state == STATE.TO_DO}
    return [
        (set_wait(link, link.before, open_ones[link.after_id]), link.before.ended_at)
        for link in stored
        if link.after_id in open_ones
        and link.has_window
        and link.before.state == STATE.DONE
        and link.before.ended_at
    ]
