"""Long work: begun by an act, done by the worker, asked for by key.

A kind of work is registered by its room (`KINDS`), so that the worker finds it by name. The row is begun in
the act's own transaction and handed to the worker once that is stored. Each try has a number: a worker that
took up an older try, or the same one twice, finds that it is no longer asked for.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django_tasks import task

from workshop.models import Job
from workshop.refusals import Refused

logger = logging.getLogger(__name__)
BROKE = (
    "Something broke inside the program. Nothing was changed. Start it again; if it breaks again, "
    "tell whoever looks after the program."
)
MOVING = "This is under way already; wait for it."
UNDER_WAY = (Job.State.WAITING, Job.State.RUNNING, Job.State.INTERRUPTED)


class Unasked(Exception):  # noqa: N818  a fact, not an error: its work is dropped
    """A try that nobody waits for any more: a later one was started, or it has ended."""


@dataclass(frozen=True)
class Kind:
    """One kind of work: `work(running)` returns its result as plain JSON, `page(job)` is where it shows."""

    work: Callable
    page: Callable


KINDS: dict[str, Kind] = {}
"""Filled by the rooms when Django starts."""


@dataclass(frozen=True)
class Running:
    """A try under way, as the work sees it; `now()` is the worker's clock."""

    job: Job
    attempt: int
    now: Callable[[], datetime] = timezone.now

    def report(self, done, said):
        """Say how far it is. Raises Unasked when a later try was started meanwhile."""
        self.move(done=done, said=said)

    def finish(self, result):
        """All is done; the bar is full."""
        self.move(state=Job.State.DONE, done=F("total"), said="", result=result, ended_at=self.now())

    def fail(self, sentence):
        """It can't be done, and why."""
        self.move(state=Job.State.FAILED, error=sentence[:500], ended_at=self.now())

    def move(self, **values):
        """Change the row, if this try is still the one that is wanted."""
        values = {"state": Job.State.RUNNING, "moved_at": self.now(), **values}
        rows = Job.objects.filter(pk=self.job.pk, attempt=self.attempt, state__in=UNDER_WAY)
        if not rows.update(**values):
            raise Unasked(f"{self.job.kind} {self.job.key}, try {self.attempt}")


def begin(member, kind, *, title, total, arguments, at):
    """A job for the worker, from inside an act: `arguments` are plain JSON, `total` its number of stages."""
    job = Job.objects.create(
        shop=member.shop,
        created_at=at,
        created_by=member.user,
        member=member,
        kind=kind,
        title=title[:160],
        total=total,
        arguments=arguments,
        moved_at=at,
    )
    hand_over(job)
    return job


@transaction.atomic
def begin_again(job, *, at):
    """Another try of a job that failed, was interrupted, or that no worker took up."""
    locked = Job.objects.select_for_update().get(pk=job.pk)
    if not locked.may_start_again(at):
        raise Refused(MOVING)
    locked.attempt += 1
    locked.state, locked.moved_at, locked.ended_at = Job.State.WAITING, at, None
    locked.done, locked.said, locked.error = 0, "", ""
    locked.save()
    hand_over(locked)
    return locked


def hand_over(job):
    """Give it to the worker once what was changed with it is stored, so that the worker finds all of it."""
    job_id, attempt = job.pk, job.attempt
    transaction.on_commit(lambda: do.enqueue(job_id, attempt))


@task(takes_context=True)
def do(context, job_id, attempt):
    """What the worker runs: one try of one job."""
    job = Job.objects.select_related("shop", "member__user").get(pk=job_id)
    worker = context.task_result.worker_ids[-1][:64]
    taken = Job.objects.filter(pk=job_id, attempt=attempt, state=Job.State.WAITING).update(
        state=Job.State.RUNNING, worker=worker, moved_at=timezone.now()
    )
    if taken:
        run(Running(job, attempt))


def run(running):
    """Do the work of a try; whatever goes wrong becomes a sentence on its row."""
    try:
        running.finish(KINDS[running.job.kind].work(running))
    except Unasked as problem:
        logger.warning("Nobody waits for this any more: %s", problem)
    except Refused as refusal:
        running.fail(str(refusal))
    except Exception:
        logger.exception("The job %s (%s) broke", running.job.key, running.job.kind)
        running.fail(BROKE)


def interrupt(worker, *, at):
    """Say of what a worker had begun and not ended that it was interrupted; answers how many those are."""
    return Job.objects.left_by(worker).update(state=Job.State.INTERRUPTED, moved_at=at, ended_at=at)
