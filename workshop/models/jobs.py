"""Long work that a worker does beside the pages: how far it is, and what came out."""

from datetime import timedelta

from django.db import models

from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.people import Member

SILENT = timedelta(minutes=2)
"""A job that runs says something at least this often; a longer silence means that its worker is gone."""
UNTAKEN = timedelta(seconds=30)
"""After this long somebody should look whether a worker runs at all."""


class JobQuerySet(ShopQuerySet):
    """Questions about jobs."""

    def left_by(self, worker):
        """Those that a worker of this name had begun and not ended."""
        return self.filter(state=Job.State.RUNNING, worker=worker)


class Job(ShopRow):
    """One piece of long work. A second try is the same row with a higher `attempt`."""

    class State(models.TextChoices):
        WAITING = "waiting", "waiting"
        RUNNING = "running", "running"
        DONE = "done", "done"
        FAILED = "failed", "failed"
        INTERRUPTED = "interrupted", "was interrupted"

    kind = models.CharField(max_length=40)
    title = models.CharField(max_length=160)
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=12, choices=State, default=State.WAITING)
    attempt = models.PositiveSmallIntegerField(default=1)
    arguments = models.JSONField(default=dict)
    said = models.CharField(max_length=160, blank=True)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    result = models.JSONField(default=dict)
    error = models.CharField(max_length=500, blank=True)
    worker = models.CharField(max_length=64, blank=True)
    moved_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=models.Q(done__lte=models.F("total")), name="workshop_job_done_within_total"
            )
        )

    def __str__(self):
        return self.title

    def stands(self, at):
        """Its state at a moment: a job that runs and has been silent for too long was interrupted."""
        silent = self.state == self.State.RUNNING and at - self.moved_at > SILENT
        return self.State.INTERRUPTED if silent else self.State(self.state)

    def moves(self, at):
        """Whether it is still on its way."""
        return self.stands(at) in {self.State.WAITING, self.State.RUNNING}

    def is_untaken(self, at):
        """Whether no worker has taken it up for so long that one should be looked for."""
        return self.state == self.State.WAITING and at - self.moved_at > UNTAKEN

    def may_start_again(self, at):
        """Whether a second try makes sense: not while it moves, and not once it is done."""
        return self.stands(at) in {self.State.FAILED, self.State.INTERRUPTED} or self.is_untaken(at)
