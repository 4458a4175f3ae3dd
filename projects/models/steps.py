"""Units of work in a project, and what has to be ticked before."""

from django.conf import settings
from django.db import models

from projects.models.design import Block, Project
from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class StepQuerySet(ShopQuerySet):
    """Questions about work."""

    def open(self):
        """What still wants hands."""
        open_states = [Step.State.TO_DO, Step.State.UNDER_WAY]
        return self.filter(state__in=open_states, project__removed_at=None).most_pressing_first()

    def at_the_bench(self):
        """What the bench can go on with: open steps, and those that wait for a cure."""
        states = [Step.State.TO_DO, Step.State.UNDER_WAY, Step.State.WAITING]
        return self.filter(state__in=states, project__removed_at=None).most_pressing_first()

    def most_pressing_first(self):
        """A begun pour can't wait; then what nobody began, what is wanted soonest first; then what cures."""
        places = {Step.State.UNDER_WAY: 0, Step.State.TO_DO: 1}
        whens = [models.When(state=state, then=place) for state, place in places.items()]
        due_on = models.F("project__due_on").asc(nulls_last=True)
        return self.order_by(models.Case(*whens, default=len(places)), due_on, "pk")


class Step(ShopRow):
    """A unit of work. Its state is a fold over the log, kept here to be asked for."""

    class Kind(models.TextChoices):
        POUR = "pour", "pour"

    class Mode(models.TextChoices):
        HANDS_ON = "hands_on", "hands-on"
        PASSIVE = "passive", "passive"

    class State(models.TextChoices):
        TO_DO = "to_do", "to do"
        UNDER_WAY = "under_way", "under way"
        WAITING = "waiting", "waiting"
        DONE = "done", "done"
        SKIPPED = "skipped", "skipped"

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="steps")
    block = models.ForeignKey(Block, on_delete=models.PROTECT, null=True, blank=True, related_name="steps")
    position = models.PositiveSmallIntegerField(default=0)
    kind = models.CharField(max_length=20, choices=Kind)
    title = models.CharField(max_length=120)
    mode = models.CharField(max_length=10, choices=Mode, default=Mode.HANDS_ON)
    minutes = models.PositiveIntegerField(default=60)
    state = models.CharField(max_length=10, choices=State, default=State.TO_DO)
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = StepQuerySet.as_manager()

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return self.title


class CheckItem(ShopRow):
    """One line of a step's checklist."""

    step = models.ForeignKey(Step, on_delete=models.CASCADE, related_name="checks")
    position = models.PositiveSmallIntegerField(default=0)
    text = models.CharField(max_length=160)
    ticked_at = models.DateTimeField(null=True, blank=True)
    ticked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = row_meta()
        ordering = ["position", "pk"]

    def __str__(self):
        return self.text
