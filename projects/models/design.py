"""What is being made: a project and its blocks."""

from django.db import models
from django.db.models import Q

from materials.models import Resin, Species
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.records import Picture

POSITIVE = ("strip_mm", "gap_mm", "finished_mm", "length_mm")
NOT_NEGATIVE = ("flatten_mm", "edge_mm", "rim_mm", "over_mm", "film_percent", "soak_percent")


SEARCHED = ("code", "title", "customer")


class ProjectQuerySet(ShopQuerySet):
    """Questions about what is being made."""

    def kept(self):
        """Those that were not removed."""
        return self.filter(removed_at=None)

    def newest_first(self):
        """For the list: what was begun last stands on top."""
        return self.kept().order_by("-created_at", "-pk")

    def live(self):
        """Those that are planned or under way: what the shop works on."""
        return self.kept().filter(state__in=Project.LIVE)

    def pressing_first(self):
        """What is worked on, as it presses: what was begun, then by the day it is wanted, then the oldest."""
        begun = models.Q(state=Project.State.UNDER_WAY)
        return self.live().order_by(
            models.Case(models.When(begun, then=0), default=1),
            models.F("due_on").asc(nulls_last=True),
            "created_at",
            "pk",
        )

    def among(self, which):
        """Those of one choice of the list: a state, what is at work, or all."""
        if which == Project.AT_WORK:
            return self.live()
        return self.filter(state=which) if which in Project.State.values else self

    def removed_last(self):
        """The project that was taken off the list last; it can be brought back. None without one."""
        return self.exclude(removed_at=None).order_by("-removed_at", "-pk").first()

    def saying(self, text):
        """Those whose number, title or customer holds all words of a text, in whatever case."""
        found = self
        for word in text.casefold().split()[:10]:
            found = found.filter(search__contains=word)
        return found

    def wanted_first(self):
        """What is wanted soonest in front, then what was begun last."""
        return self.kept().order_by(models.F("due_on").asc(nulls_last=True), "-created_at", "-pk")


class Project(ShopRow):
    """One piece from idea to finished panel."""

    class State(models.TextChoices):
        IDEA = "idea", "idea"
        PLANNED = "planned", "planned"
        UNDER_WAY = "under_way", "under way"
        FINISHED = "finished", "finished"
        SET_ASIDE = "set_aside", "set aside"

    class Purpose(models.TextChoices):
        PIECE = "piece", "a piece"
        CASTING = "casting", "a test casting"

    LIVE = (State.PLANNED, State.UNDER_WAY)
    AT_WORK = "at_work"

    code = models.CharField(max_length=12)
    title = models.CharField(max_length=120)
    state = models.CharField(max_length=12, choices=State, default=State.PLANNED)
    purpose = models.CharField(max_length=10, choices=Purpose, default=Purpose.PIECE)
    due_on = models.DateField(null=True, blank=True)
    customer = models.CharField(max_length=120, blank=True)
    customer_note = models.CharField(max_length=1000, blank=True)
    cover = models.ForeignKey(Picture, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    set_aside_why = models.CharField(max_length=300, blank=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    # what the list is searched by, casefolded: SQLite folds ASCII only
    search = models.CharField(max_length=400, blank=True, editable=False)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = ProjectQuerySet.as_manager()

    class Meta:
        constraints = row_meta(models.UniqueConstraint(fields=["shop", "code"], name="projects_project_code"))
        indexes = [
            models.Index(fields=["shop", "state", "due_on"], name="projects_project_wanted"),
            models.Index(fields=["shop", "-created_at", "-id"], name="projects_project_newest"),
        ]

    def __str__(self):
        return f"{self.code} {self.title}"

    def save(self, *args, update_fields=None, **kwargs):
        """What is searched follows what is written."""
        self.search = searched(self)
        if update_fields is not None and set(SEARCHED) & set(update_fields):
            update_fields = {*update_fields, "search"}
        super().save(*args, update_fields=update_fields, **kwargs)

    @property
    def is_over(self):
        """Whether it was finished or set aside."""
        return self.state in (self.State.FINISHED, self.State.SET_ASIDE)


def searched(project):
    """What a project is found by."""
    return " ".join(getattr(project, name) for name in SEARCHED).casefold()[:400]


class BlockQuerySet(ShopQuerySet):
    """Questions about blocks."""

    def not_poured(self):
        """Those on which nothing was poured: their strips are strips still."""
        return self.filter(pours=None)


class Block(ShopRow):
    """A laminate block as planned. Everything else about it is computed from these figures."""

    MOST = 26
    """As many as there are letters."""

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="blocks")
    position = models.PositiveSmallIntegerField(default=0)
    species = models.ForeignKey(Species, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    resin = models.ForeignKey(Resin, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    strip_mm = models.FloatField(default=2)
    gap_mm = models.FloatField(default=2)
    finished_mm = models.FloatField(default=10)
    flatten_mm = models.FloatField(default=1)
    edge_mm = models.FloatField(default=3)
    strips = models.PositiveIntegerField(default=50)
    length_mm = models.FloatField(default=600)
    rim_mm = models.FloatField(default=4)
    over_mm = models.FloatField(default=1)
    film_percent = models.FloatField(default=3)
    soak_percent = models.FloatField(default=2)
    measured = models.JSONField(default=dict, blank=True)

    objects = BlockQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["project", "position"], name="projects_block_position"),
            models.CheckConstraint(
                condition=Q(strips__gt=0, **{f"{name}__gt": 0 for name in POSITIVE}),
                name="projects_block_positive",
            ),
            models.CheckConstraint(
                condition=Q(**{f"{name}__gte": 0 for name in NOT_NEGATIVE}),
                name="projects_block_not_negative",
            ),
        )

    def __str__(self):
        return f"Block {self.letter}"

    @property
    def poured_mm(self):
        """How deep it is as poured: the finished thickness and what flattening takes off both faces."""
        return self.finished_mm + 2 * self.flatten_mm

    @property
    def fill_mm(self):
        """How high the mould is filled: some resin stands over the strips."""
        return self.poured_mm + self.over_mm

    @property
    def letter(self):
        """A for the first block, B for the second."""
        return chr(ord("A") + self.position % self.MOST)
