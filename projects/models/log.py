"""What happened: the log, pours, photos and clocks."""

from datetime import timedelta

from django.apps import apps
from django.db import models
from django.db.models import Q

from materials.models import Batch, Reading
from projects.models.design import Block, Project
from projects.models.steps import Step
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.people import Member
from workshop.models.records import Picture

GROUPS = (
    ("cups", "cups and pours", ["check", "overrule", "mix", "weigh", "pour"]),
    ("work", "work", ["work", "strips", "seal", "mould", "demould", "glue_up", "sand", "coat", "taken_back"]),
    ("readings", "readings", ["reading"]),
    ("clocks", "clocks", ["clock", "timer"]),
    ("words", "notes and photos", ["note", "photo"]),
    ("papers", "failures and sheets", ["failure", "sheet"]),
)
"""Kinds of entries to choose from: name, word on screen, kinds."""
MOST_WORDS = 8  # of a search; a pasted page would keep the database busy


class LogQuerySet(ShopQuerySet):
    """Questions about what happened."""

    def kept(self):
        """Entries that were not removed."""
        return self.filter(removed_at=None)

    def undone(self, keys):
        """The keys of those of these acts that were taken back."""
        return self.filter(key__in=keys).exclude(removed_at=None).values_list("key", flat=True)

    def taken_out(self):
        """Notes and photos that were taken out and can be brought back."""
        return self.filter(kind__in=LogEntry.REMOVABLE).exclude(removed_at=None)

    def river(self):
        """Newest first, with all that a page shows of each."""
        return (
            self.kept()
            .select_related("member", "project", "batch", "batch__resin")
            .prefetch_related("entry_pictures__picture")
            .order_by("-happened_at", "-pk")
        )

    def with_readings(self):
        """With what was measured at each."""
        return self.prefetch_related("readings")

    def of_group(self, group):
        """Those of one of the groups to choose from; all of them for none."""
        kinds = {name: kinds for name, _, kinds in GROUPS}.get(group)
        return self.filter(kind__in=kinds) if kinds else self

    def saying(self, text):
        """Those in which every word of a text stands, in whatever case."""
        found = self
        for word in text.casefold().split()[:MOST_WORDS]:
            found = found.filter(search__contains=word)
        return found

    def newest(self, kind, **of):
        """The newest entry of a kind, or None."""
        return self.kept().filter(kind=kind, **of).order_by("-happened_at", "-pk").first()

    def around(self, step):
        """What was done for a step's block, or for its project where it has no block."""
        mine = self.filter(project=step.project_id)
        return mine.filter(Q(step__block=step.block_id) | Q(step__block=None)) if step.block_id else mine

    def done_all_the_same(self):
        """Acts against which something stood, with who did them and why; the newest first."""
        rows = self.kept().filter(detail__all_the_same__isnull=False).select_related("member", "step")
        return rows.order_by("-happened_at", "-pk")

    def in_order(self):
        """As they happened; the order every fold uses, whatever order they arrived in."""
        return self.kept().order_by("happened_at", "key")


class LogEntry(ShopRow):
    """An act at the bench is its entry: kind, moment, member and a versioned detail."""

    class Kind(models.TextChoices):
        MIX = "mix", "parts met"
        WEIGH = "weigh", "weighed"
        POUR = "pour", "poured"
        PHOTO = "photo", "photo"
        NOTE = "note", "note"
        CLOCK = "clock", "clock"
        FAILURE = "failure", "failure"
        SHEET = "sheet", "sheet made"
        WORK = "work", "work"
        STRIPS = "strips", "strips loaded"
        SEAL = "seal", "sealed"
        MOULD = "mould", "mould"
        DEMOULD = "demould", "out of the mould"
        GLUE_UP = "glue_up", "glued up"
        SAND = "sand", "sanding"
        COAT = "coat", "coated"
        READING = "reading", "reading"
        TIMER = "timer", "clock set"
        CHECK = "check", "checked before the mix"
        OVERRULE = "overrule", "overruled"
        TAKEN_BACK = "taken_back", "taken back"

    REMOVABLE = (Kind.NOTE, Kind.PHOTO)
    """What may be taken out of the log; nothing else follows from it."""
    TAKEABLE = (
        Kind.POUR,
        Kind.WORK,
        Kind.STRIPS,
        Kind.SEAL,
        Kind.MOULD,
        Kind.DEMOULD,
        Kind.GLUE_UP,
        Kind.COAT,
        Kind.READING,
        Kind.TIMER,
    )
    """Acts that can be taken back when written down by mistake, with all that followed from them."""

    kind = models.CharField(max_length=12, choices=Kind)
    project = models.ForeignKey(
        Project, on_delete=models.PROTECT, null=True, blank=True, related_name="entries"
    )
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="entries")
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, null=True, blank=True, related_name="entries")
    happened_at = models.DateTimeField()
    raw_happened_at = models.DateTimeField()
    received_at = models.DateTimeField()
    member = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    text = models.CharField(max_length=1000, blank=True)
    search = models.CharField(max_length=1200, blank=True)
    detail = models.JSONField(default=dict)
    readings = models.ManyToManyField(Reading, related_name="entries", blank=True)
    detail_version = models.PositiveSmallIntegerField(default=1)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = LogQuerySet.as_manager()

    class Meta:
        constraints = row_meta()
        indexes = [
            models.Index(fields=["shop", "project", "happened_at"], name="projects_entry_project"),
            models.Index(fields=["shop", "-happened_at", "-id"], name="projects_entry_newest"),
        ]
        verbose_name_plural = "log entries"

    @property
    def may_be_taken_back(self):
        """Whether it is an act that can be taken back."""
        return self.kind in self.TAKEABLE and self.removed_at is None

    def __str__(self):
        return f"{self.get_kind_display()}: {self.text}"[:120]


class EntryPictureQuerySet(ShopQuerySet):
    """Questions about photos of the log."""

    def of_project(self, project):
        """The photos of a project, the newest first."""
        kept = self.filter(entry__project=project, entry__removed_at=None)
        return kept.select_related("picture").order_by("-entry__happened_at", "order", "pk")


class EntryPicture(ShopRow):
    """A photo in an entry."""

    entry = models.ForeignKey(LogEntry, on_delete=models.PROTECT, related_name="entry_pictures")
    picture = models.ForeignKey(Picture, on_delete=models.PROTECT, related_name="+")
    order = models.PositiveSmallIntegerField(default=0)
    caption = models.CharField(max_length=200, blank=True)

    objects = EntryPictureQuerySet.as_manager()

    class Meta:
        constraints = row_meta()
        ordering = ["order", "pk"]

    def __str__(self):
        return self.caption or "photo"


class PourQuerySet(ShopQuerySet):
    """Questions about pours."""

    def on(self, block):
        """What was poured on a block, in the order in which it was written down, with its cups."""
        return self.filter(block=block).prefetch_related("batches").order_by("pk")

    def in_mould(self, block, at):
        """What was poured on a block by a moment, the oldest first, with cups and clocks."""
        poured = self.on(block).filter(started_at__lte=at).select_related("entry")
        return poured.prefetch_related("entry__timers").order_by("started_at", "pk")

    def to_compare(self):
        """The newest first, with cups, sheets, bottles, and what went wrong with each."""
        cups = Batch.objects.select_related("resin", "lot_a", "lot_b")
        failed = apps.get_model("projects", "Failure").objects.kept()
        return (
            self.filter(block__project__removed_at=None)
            .select_related("block")
            .prefetch_related(models.Prefetch("batches", cups), models.Prefetch("failures", failed))
            .order_by("-started_at", "-pk")
        )


class Pour(ShopRow):
    """A pour: which cups went into which block, how deep, when."""

    entry = models.OneToOneField(LogEntry, on_delete=models.PROTECT, related_name="pour")
    block = models.ForeignKey(Block, on_delete=models.PROTECT, related_name="pours")
    batches = models.ManyToManyField(Batch, related_name="pours")
    lift = models.PositiveSmallIntegerField()
    depth_mm = models.FloatField()
    started_at = models.DateTimeField()

    objects = PourQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(condition=Q(depth_mm__gt=0), name="projects_pour_depth")
        )

    def __str__(self):
        return f"pour {self.lift}"

    @property
    def flows_until(self):
        """Until when its first cup could still be poured by its sheet; None without a cup.

        In narrow gaps resin flows longer than in a cup, so that this is the shorter of both.
        """
        return min((cup.thick_at for cup in self.batches.all()), default=None)


class Overrule(ShopRow):
    """A stop that somebody overruled, with the reason; it goes onto the sheet."""

    entry = models.OneToOneField(LogEntry, on_delete=models.PROTECT, related_name="overrule")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="overrules")
    code = models.CharField(max_length=20)
    reason = models.CharField(max_length=300)

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return f"{self.code}: {self.reason}"


class TimerQuerySet(ShopQuerySet):
    """Questions about clocks."""

    def running(self):
        """Clocks that nobody has settled, the next to be due in front."""
        return self.filter(settled_at=None).order_by("due_at", "pk")

    def shown(self, at):
        """Running clocks that a page shows: one that wants no answer leaves half a day after it rang."""
        told = models.Q(kind__in=Timer.TELLS_ONLY, due_at__lt=at - Timer.LEAVES_AFTER)
        return self.running().exclude(told)

    def on_what(self, step, at):
        """Clocks that run at a moment on what a step works on: its block, or all its project without one."""
        return self.running().filter(self.about(step), started_at__lte=at).select_related("step__block")

    def about(self, step):
        """Which clocks are about what a step works on; what dries at a step of no block is about each."""
        if not step.block_id:
            return Q(step__project=step.project_id)
        common = Q(step__block=None, step__project=step.project_id, kind__in=Timer.DRIES)
        return Q(step__block=step.block_id) | common

    def with_story(self):
        """With all that a clock's row shows."""
        return self.select_related("step__block", "batch__resin", "entry__project", "entry__member")


class Timer(ShopRow):
    """A running clock. Its due time is a stored instant, so it survives whatever stops."""

    class Kind(models.TextChoices):
        POT_LIFE = "pot_life", "pot life"
        GEL = "gel", "gel"
        RECOAT = "recoat", "next pour"
        DEMOULD = "demould", "demould"
        FULL_CURE = "full_cure", "full cure"
        TACK = "tack", "seal coat"
        SAND = "sand", "sanding"
        SEALANT = "sealant", "sealant"
        GLUE = "glue", "open time of the glue"
        CLAMPED = "clamped", "clamps"
        COAT = "coat", "next coat"
        WAIT = "wait", "wait"
        FREE = "free", "clock"

    OF_A_POUR = (Kind.GEL, Kind.RECOAT, Kind.DEMOULD, Kind.FULL_CURE)
    OF_A_COAT = (Kind.TACK, Kind.SAND)
    DRIES = (*OF_A_COAT, Kind.SEALANT)
    OF_THE_WORK = (Kind.POT_LIFE, Kind.GLUE, Kind.WAIT, Kind.FREE)
    """Clocks that end with the step; all others are about a thing, which hardens whoever is done with it."""
    TELLS_ONLY = (Kind.GEL, Kind.SAND, Kind.FULL_CURE)
    """Clocks that say when something is so, and want no answer: they ring and leave by themselves."""
    LEAVES_AFTER = timedelta(hours=12)

    kind = models.CharField(max_length=12, choices=Kind)
    entry = models.ForeignKey(LogEntry, on_delete=models.PROTECT, related_name="timers")
    name = models.CharField(max_length=80, blank=True)
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="timers")
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, null=True, blank=True, related_name="timers")
    started_at = models.DateTimeField()
    early_at = models.DateTimeField(null=True, blank=True)
    due_at = models.DateTimeField()
    closes_at = models.DateTimeField(null=True, blank=True)
    law = models.CharField(max_length=20, default="ten_degree")
    figures = models.JSONField(default=dict)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(Member, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    settled_how = models.CharField(max_length=200, blank=True)

    objects = TimerQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["entry", "kind"], name="projects_timer_once"),
            models.CheckConstraint(
                condition=Q(due_at__gte=models.F("started_at")), name="projects_timer_order"
            ),
        )
        indexes = [models.Index(fields=["shop", "settled_at", "due_at"], name="projects_timer_running")]

    def __str__(self):
        return f"{self.get_kind_display()} due {self.due_at:%d %b %H:%M}"
