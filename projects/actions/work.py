"""A step as a whole: begun, set to wait, done, skipped, taken up again. Each is an entry of the log."""

from django.db import transaction
from django.db.models import Q

from projects.actions import log
from projects.models import LogEntry, Step, Timer
from workshop.refusals import Refused

SAID = {
    "began": "begun",
    "waits": "began to wait",
    "done": "done",
    "skipped": "skipped",
    "reopened": "taken up again",
}
FROM = {
    "began": {Step.State.TO_DO},
    "waits": {Step.State.TO_DO, Step.State.UNDER_WAY},
    "done": {Step.State.TO_DO, Step.State.UNDER_WAY, Step.State.WAITING},
    "skipped": {Step.State.TO_DO, Step.State.UNDER_WAY, Step.State.WAITING},
    "reopened": {Step.State.DONE, Step.State.SKIPPED},
}
"""From which states each may be said."""


@transaction.atomic
def tell(member, step, word, *, key, moment, text="", clocks=(), more=None):
    """What became of a step: `word` is one of SAID; `clocks` start with it, `more` goes into its detail.

    Raises Refused where the step is no longer in a state from which it can be said.
    """
    held = log.hold(step)
    if held.state not in FROM[word]:
        raise Refused(f"“{step.title}” is {held.get_state_display()} by now. Load the page again to see it.")
    said = f"{step.title}: {SAID[word]}"
    entry = log.write(
        member,
        LogEntry.Kind.WORK,
        key=key,
        moment=moment,
        step=step,
        text=f"{said}. {text}".strip() if text else said,
        detail={"step": word, "clocks": list(clocks), **(more or {})},
    )
    log.start_clocks(entry)
    log.follow(step)
    if word in ("done", "skipped", "reopened"):
        end_clocks(member, step, moment, SAID[word])
    if word != "skipped":
        log.under_way(step.project_id)
    return entry


def end_clocks(member, step, moment, how):
    """Clocks of the work at a step that is over stop asking; what still dries or hardens goes on."""
    hard = Q(closes_at=None, due_at__lte=moment.happened_at)
    for timer in step.timers.running().filter(Q(kind__in=Timer.OF_THE_WORK) | hard):
        log.settle_row(member, timer, moment, how)


def wait(member, step, *, key, moment, minutes=None, more=None):
    """A passive step begins: it waits, and its clock says for how long."""
    due_min = step.minutes if minutes is None else minutes
    clock = {"kind": "wait", "due_min": due_min, "figures": {"name": step.title, "law": "wall"}}
    return tell(member, step, "waits", key=key, moment=moment, clocks=[clock], more=more)


@transaction.atomic
def skip(member, step, why, *, key, moment):
    """A step is left out; the reason stands on it and in the log.

    Raises Refused without a reason, or where the step is over.
    """
    why = why.strip()
    if not why:
        raise Refused("Say why it is skipped, so that whoever finds it knows.")
    entry = tell(member, step, "skipped", key=key, moment=moment, text=why)
    Step.objects.filter(pk=step.pk).update(skip_why=why[:300])
    return entry


@transaction.atomic
def reopen(member, step, *, key, moment, text=""):
    """A step that was over is to do again."""
    entry = tell(member, step, "reopened", key=key, moment=moment, text=text)
    Step.objects.filter(pk=step.pk).update(skip_why="")
    return entry
