"""How long kinds of work take in a shop: from its own log once it is told often enough, else the usual."""

import re
from collections import defaultdict
from dataclasses import dataclass

from projects import default_route
from projects.models import SandingSession, Step

MOST = 400
"""So many of the newest steps that are done are looked at."""
ALIKE = 20
"""So many of the newest of a kind count; hands get quicker."""


@dataclass(frozen=True)
class OwnTime:
    """What a shop's log says of a kind of work.

    `records` so often it was told; `middle_min` what it took then, None without records; `minutes` is what to
    plan with: the usual until there are five records, from then on theirs drawn towards it; `own` says which.
    """

    records: int
    middle_min: float | None
    minutes: int
    usual_min: int
    own: bool


@dataclass(frozen=True)
class Spreads:
    """How much work varies: `by_step` the factors by the pk of each step of which the log says them.

    `own_kinds` of the `kinds` of hands-on work among the steps have them from the shop's own log.
    """

    by_step: dict[int, tuple[float, float, float]]
    own_kinds: int
    kinds: int


def kind_of(kind, title):
    """What steps are held alike: the kind, and the words of the route's own line where a step has them.

    The letter of a block and the number of a part or coat make no difference.
    """
    plain = bare(title)
    for line in default_route.PIECE:
        if line.kind == kind and bare(line.title) == plain:
            return kind, plain
    return kind, ""


def bare(title):
    """The words of a step without the block, part or coat it is about."""
    return re.sub(r"\s+", " ", re.sub(r"\{block\}|\bblock [A-Z]+\b|\b\d+\b", "", title)).strip().lower()


def told(shop):
    """What hands-on work really took, in minutes, the newest first, by `kind_of`.

    Only what was begun and done on one day counts: nobody works through the night. Sanding counts by its
    sessions, without their rests.
    """
    done = Step.objects.of(shop).told_whole().order_by("-ended_at", "-pk")[:MOST]
    steps = list(done)
    sanded = minutes_sanded(steps)
    found = defaultdict(list)
    for step in steps:
        minutes = sanded.get(step.pk) or minutes_of_day(step, shop.tz)
        if minutes and len(found[kind_of(step.kind, step.title)]) < ALIKE:
            found[kind_of(step.kind, step.title)].append(minutes)
    return dict(found)


def minutes_sanded(steps):
    """The minutes of all sessions of each step that has some."""
    found = defaultdict(float)
    ended = SandingSession.objects.filter(step__in=[step.pk for step in steps]).exclude(ended_at=None)
    for session in ended:
        found[session.step_id] += session.worked(session.ended_at).total_seconds() / 60
    return found


def minutes_of_day(step, tz):
    """From begun to done, where both fell on one day; None else, or where it was only ticked off."""
    same_day = step.started_at.astimezone(tz).date() == step.ended_at.astimezone(tz).date()
    minutes = (step.ended_at - step.started_at).total_seconds() / 60
    return minutes if same_day and minutes >= 1 else None


def own_time(records, usual_min):
    """What to plan with, from what a kind of work took and what it usually takes."""
    from statistics import median

    from projects.planning.estimate import learned
    from projects.planning.steps import Task

    found = learned(usual_min, Task.spread, records)
    middle = median(records) if records else None
    return OwnTime(len(records), middle, max(1, round(found.minutes)), round(usual_min), found.own)


def minutes_for(line, usual, told):
    """How long a line of a new route takes: the shop's own time where it has one, else the usual.

    What goes by itself takes its time, and what follows the figures of the block follows them.
    """
    usual_min = default_route.minutes_of(line, usual)
    if line.passive or line.kind in default_route.FOLLOWING:
        return usual_min
    return own_time(told.get(kind_of(line.kind, line.title), []), usual_min).minutes


def of_step(step):
    """What the log of its shop says of the kind of work that a step is; None for what it says nothing of."""
    if step.is_passive or step.kind in default_route.FOLLOWING:
        return None
    return own_time(told(step.shop).get(kind_of(step.kind, step.title), []), usual_of(step))


def spreads_of(shop, steps):
    """How much the work of steps varies, where the log of the shop says it; what goes by itself does not.

    What follows the figures of the block is left out: its records are of blocks of other sizes.
    """
    from projects.planning.estimate import LEAST_RECORDS, own_spread
    from projects.planning.steps import Task

    hands_on = [step for step in steps if not step.is_passive]
    kinds = {step.pk: kind_of(step.kind, step.title) for step in hands_on}
    records = told(shop) if hands_on else {}
    own = {
        kind: own_spread(Task.spread, records[kind])
        for kind in set(kinds.values())
        if kind[0] not in default_route.FOLLOWING and len(records.get(kind, ())) >= LEAST_RECORDS
    }
    spreads = {pk: own[kind] for pk, kind in kinds.items() if kind in own}
    return Spreads(spreads, len(own), len(set(kinds.values())))


def usual_of(step):
    """How long such a step usually takes; what it says itself where the usual route has none like it."""
    from projects import advice

    block = step.block or step.project.blocks.order_by("position").first()
    for line in default_route.PIECE:
        if block and line.kind == step.kind and kind_of(step.kind, step.title)[1] in ("", bare(line.title)):
            return default_route.minutes_of(line, advice.usual_minutes(block))
    return step.minutes
