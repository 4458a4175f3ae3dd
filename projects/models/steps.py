"""Units of work in a project, and what has to be ticked before."""

from django.conf import settings
from django.db import models

from projects.models.design import Block, Project
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.machines import Machine
from workshop.models.people import Member


class StepQuerySet(ShopQuerySet):
    """Questions about work."""

    def kept(self):
        """Steps that stand in their route, of projects that were not removed."""
        return self.filter(removed_at=None, project__removed_at=None)

    def in_order(self):
        """As the route goes."""
        return self.order_by("position", "pk")

    def open(self):
        """What still wants hands."""
        states = [Step.State.TO_DO, Step.State.UNDER_WAY]
        return self.kept().filter(state__in=states, project__state__in=Project.LIVE)

    def to_plan(self):
        """What is not over of all that is worked on, each project's in order, with what a plan looks at."""
        states = [Step.State.TO_DO, Step.State.UNDER_WAY, Step.State.WAITING]
        found = self.kept().filter(state__in=states, project__state__in=Project.LIVE)
        return found.select_related("project", "block", "block__resin", "machine", "assignee").order_by(
            "project__created_at", "project", "position", "pk"
        )

    def gone_on(self, since, until):
        """What was done, or begun and done, between two moments, of all projects."""
        return (
            self.kept()
            .filter(state=Step.State.DONE, ended_at__gte=since, started_at__lte=until)
            .select_related("project", "block")
            .order_by("started_at", "pk")
        )

    def still_open(self, project):
        """What of a project is neither done nor skipped."""
        over = [Step.State.DONE, Step.State.SKIPPED]
        return self.filter(project=project, removed_at=None).exclude(state__in=over)

    def told_whole(self):
        """Hands-on work that was begun and is done, of which the log knows both moments."""
        times = {"started_at__isnull": False, "ended_at__isnull": False}
        return self.filter(state=Step.State.DONE, mode=Step.Mode.HANDS_ON, removed_at=None, **times)

    def at_the_bench(self, shop):
        """What the bench can go on with: what is next in each project, what is begun, what waits."""
        return self.of_live(shop, [Step.State.UNDER_WAY, Step.State.WAITING]).most_pressing_first()

    def can_be_done(self, shop):
        """What hands can do now: what is begun, and the next of each project."""
        return self.of_live(shop, [Step.State.UNDER_WAY]).most_pressing_first()

    def of_live(self, shop, states):
        """Steps in one of these states, and the next to do, of all that a shop works on.

        They are looked up by state and by project, and only then read: a shop has a hundred thousand
        steps behind it, and asking each of them for its state would take longer every year.
        """
        begun = Step.objects.of(shop).kept().filter(state__in=states, project__state__in=Project.LIVE)
        return self.filter(pk__in=begun.values_list("pk").union(self.next_of_each(shop), all=True))

    def where_each_stands(self, projects):
        """One step of each project: what is begun, else what waits, else what is next to do."""
        places = {Step.State.UNDER_WAY: 0, Step.State.WAITING: 1}
        whens = [models.When(state=state, then=place) for state, place in places.items()]
        rows = Step.objects.filter(
            project=models.OuterRef("pk"), removed_at=None, state__in=[*places, Step.State.TO_DO]
        ).order_by(models.Case(*whens, default=len(places)), "position", "pk")
        pks = [project.pk for project in projects]
        return self.filter(
            pk__in=Project.objects.filter(pk__in=pks).values_list(models.Subquery(rows.values("pk")[:1]))
        )

    def next_of_each(self, shop):
        """The first step to do of each live project; none where one before it is begun and not over."""
        holding_up = Step.objects.filter(
            project=models.OuterRef("project"),
            state__in=[Step.State.UNDER_WAY, Step.State.WAITING],
            position__lt=models.OuterRef("position"),
            removed_at=None,
        )
        first = Step.objects.filter(
            ~models.Exists(holding_up),
            project=models.OuterRef("pk"),
            state=Step.State.TO_DO,
            removed_at=None,
        ).in_order()
        return Project.objects.of(shop).live().values_list(models.Subquery(first.values("pk")[:1]))

    def with_story(self):
        """With all that a row of acts shows."""
        return self.select_related("project", "block", "block__resin", "assignee")

    def most_pressing_first(self):
        """What is begun can't wait; then what nobody began, what is wanted soonest first; then what cures."""
        places = {Step.State.UNDER_WAY: 0, Step.State.TO_DO: 1}
        whens = [models.When(state=state, then=place) for state, place in places.items()]
        due_on = models.F("project__due_on").asc(nulls_last=True)
        planned = models.F("planned_start").asc(nulls_last=True)
        return self.order_by(models.Case(*whens, default=len(places)), due_on, planned, "pk")


class Step(ShopRow):
    """A unit of work. Its state is a fold over the log, kept here to be asked for."""

    class Kind(models.TextChoices):
        BUY = "buy", "buy"
        CONDITION = "condition", "condition strips"
        MEASURE = "measure", "measure strips"
        SEAL = "seal", "seal coat"
        COMBS = "combs", "combs"
        MOULD = "mould", "mould"
        LOAD = "load", "load strips"
        CHECK = "check", "check the evening before"
        SET_OUT = "set_out", "set out"
        POUR = "pour", "pour"
        CURE = "cure", "cure in the mould"
        DEMOULD = "demould", "demould and measure"
        MARK = "mark", "mark flaws"
        REST = "rest", "rest"
        FLATTEN = "flatten", "flatten"
        TEST_CUT = "test_cut", "test cuts"
        CUT = "cut", "cut"
        DRY_FIT = "dry_fit", "dry fit"
        GLUE_UP = "glue_up", "glue up"
        CLAMPED = "clamped", "glue cures"
        LEVEL = "level", "flatten the panel"
        SAND = "sand", "sand"
        COAT = "coat", "finish coat"
        DRY = "dry", "dry"
        LIGHT = "light", "light"
        PACK = "pack", "pack"
        OTHER = "other", "other work"

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
    people = models.PositiveSmallIntegerField(default=1)
    machine = models.ForeignKey(Machine, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    assignee = models.ForeignKey(Member, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    state = models.CharField(max_length=10, choices=State, default=State.TO_DO)
    started_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    skip_why = models.CharField(max_length=300, blank=True)
    # the first schedule: laid out when asked, and left alone until it is asked again
    planned_start = models.DateTimeField(null=True, blank=True)
    planned_end = models.DateTimeField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = StepQuerySet.as_manager()

    class Meta:
        constraints = row_meta()
        indexes = [
            models.Index(fields=["project", "state", "position"], name="projects_step_next"),
            models.Index(fields=["shop", "state", "project"], name="projects_step_state"),
            models.Index(fields=["shop", "state", "-ended_at"], name="projects_step_ended"),
        ]

    def __str__(self):
        return self.title

    @property
    def is_passive(self):
        """Whether it goes by itself once begun."""
        return self.mode == self.Mode.PASSIVE


class RouteChange(ShopRow):
    """A project's route as it was before a change of it, so that the change can be undone."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="route_changes")
    label = models.CharField(max_length=200)
    before = models.JSONField(default=dict)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return self.label


class CheckItem(ShopRow):
    """One line of a step's checklist; some come from a lesson."""

    step = models.ForeignKey(Step, on_delete=models.CASCADE, related_name="checks")
    position = models.PositiveSmallIntegerField(default=0)
    text = models.CharField(max_length=160)
    lesson = models.ForeignKey(
        "projects.Lesson", on_delete=models.PROTECT, null=True, blank=True, related_name="checks"
    )
    ticked_at = models.DateTimeField(null=True, blank=True)
    ticked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = row_meta()
        ordering = ["position", "pk"]

    def __str__(self):
        return self.text
