"""What went wrong, why, and the check that will stop it next time."""

from django.db import models

from materials.models import Resin, Species
from projects.models.design import Project
from projects.models.log import LogEntry, Pour
from projects.models.steps import Step
from workshop.models.base import ShopQuerySet, ShopRow, row_meta


class FailureQuerySet(ShopQuerySet):
    """Questions about failures."""

    def kept(self):
        """Those that were not removed, of projects that were not either."""
        return self.filter(removed_at=None, project__removed_at=None)

    def told(self):
        """With all that a page says of each."""
        causes = models.Prefetch("causes", Cause.objects.likeliest_first())
        return self.select_related(
            "project", "entry", "entry__member", "entry__step", "pour", "pour__block"
        ).prefetch_related("entry__entry_pictures__picture", causes, "lessons")

    def newest_first(self):
        """With all that the list shows."""
        return self.kept().told().order_by("-noticed_at", "-pk")


class Failure(ShopRow):
    """What went wrong, with the facts of its pour as they were known when it was noticed."""

    class Kind(models.TextChoices):
        SOFT = "soft", "tacky or soft"
        SOFT_SPOTS = "soft_spots", "soft spots or streaks"
        OVERHEATED = "overheated", "too hot: smoke, yellow, cracks"
        CRACKS = "cracks", "cracks days later"
        WOOD_BUBBLES = "wood_bubbles", "bubble trails from the wood"
        FINE_BUBBLES = "fine_bubbles", "fine bubbles everywhere"
        VOIDS = "voids", "large voids"
        HAZE = "haze", "milky or hazy"
        GREASY = "greasy", "greasy film"
        LAYER_LINE = "layer_line", "a line between pours"
        LOOSE = "loose", "wood and resin parted"
        LEAK = "leak", "the mould leaked"
        BOWED = "bowed", "strips bowed or touching"
        PITCH = "pitch", "strips out of pitch"
        WARPED = "warped", "the block bows"
        OPEN_RING = "open_ring", "a ring won't close"
        LINES = "lines", "lines don't meet at a seam"
        GLUE_LINE = "glue_line", "a dry or open glue line"
        CHIPPED = "chipped", "torn or chipped edges"
        SMEARED = "smeared", "smeared in sanding"
        SCRATCHES = "scratches", "scratches in the polish"
        STICKY_FINISH = "sticky_finish", "finish stays sticky or shrinks back"
        IN_USE = "in_use", "yellow or warm in use"
        PERSON = "person", "skin or breathing trouble"
        OTHER = "other", "something else"

    class Severity(models.TextChoices):
        TRACE = "trace", "a trace"
        REPAIR = "repair", "wants repair"
        LOST = "lost", "the block is lost"

    project = models.ForeignKey(Project, on_delete=models.PROTECT, related_name="failures")
    entry = models.OneToOneField(LogEntry, on_delete=models.PROTECT, related_name="failure")
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="failures")
    kind = models.CharField(max_length=16, choices=Kind)
    where = models.CharField(max_length=300)
    severity = models.CharField(max_length=10, choices=Severity)
    noticed_at = models.DateTimeField()
    gathered = models.JSONField(default=dict)
    done = models.CharField(max_length=1000, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = FailureQuerySet.as_manager()

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return self.get_kind_display()


class CauseQuerySet(ShopQuerySet):
    """Questions about causes."""

    def of_kept(self):
        """Those of failures that stand on a page, with the failure."""
        return self.filter(failure__in=Failure.objects.kept()).select_related("failure")

    def likeliest_first(self):
        """What is confirmed in front, what was ruled out last."""
        places = {Cause.Status.CONFIRMED: 0, Cause.Status.SUSPECTED: 1}
        whens = [models.When(status=status, then=place) for status, place in places.items()]
        return self.order_by(models.Case(*whens, default=len(places)), "pk")


class Cause(ShopRow):
    """Why it went wrong, as far as anybody knows."""

    class Code(models.TextChoices):
        RATIO = "ratio", "the ratio was off"
        UNMIXED = "unmixed", "not mixed through"
        OLD = "old", "a bottle past its date or darkened"
        COLD = "cold", "too cold"
        WARM = "warm", "too warm"
        DAMP_AIR = "damp_air", "damp air"
        DEEP = "deep", "poured too deep"
        BIG_CUP = "big_cup", "too much in one cup"
        LATE = "late", "a window was missed"
        EARLY = "early", "too early: not yet hard"
        DAMP_WOOD = "damp_wood", "wood too damp or too dry"
        UNSEALED = "unsealed", "wood not sealed, or sealed while warming"
        MOULD = "mould", "the mould was not tight"
        COMBS = "combs", "combs too far apart or wrong"
        FILLED = "filled", "filled too fast or from one side"
        ANGLE = "angle", "an angle was off"
        TURNED = "turned", "a piece or strip in the wrong place"
        CLAMPED = "clamped", "clamped too hard or glue too thin"
        TOOL = "tool", "cut too deep, too fast, or too hot"
        GRADE = "grade", "a grade was skipped or mixed up"
        DIRT = "dirt", "dust, wax or silicone"
        LAMP = "lamp", "lamp or sun too close"
        SKIN = "skin", "skin or lungs not covered"
        OTHER = "other", "something else"

    class Status(models.TextChoices):
        SUSPECTED = "suspected", "suspected"
        CONFIRMED = "confirmed", "confirmed"
        RULED_OUT = "ruled_out", "ruled out"

    failure = models.ForeignKey(Failure, on_delete=models.PROTECT, related_name="causes")
    code = models.CharField(max_length=12, choices=Code)
    status = models.CharField(max_length=10, choices=Status, default=Status.SUSPECTED)
    evidence = models.CharField(max_length=500, blank=True)

    objects = CauseQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["failure", "code"], name="projects_cause_once")
        )

    def __str__(self):
        return self.get_code_display()


class LessonQuerySet(ShopQuerySet):
    """Questions about lessons."""

    def in_use(self):
        """Those that still put a line on a checklist."""
        return self.filter(retired_at=None)

    def retired(self):
        """Those that don't any more, the last one in front."""
        return self.exclude(retired_at=None).order_by("-retired_at", "-pk")

    def told(self):
        """With all that a page says of each: on how many checklists still to do, how often ticked."""
        to_do = models.Q(
            checks__step__state=Step.State.TO_DO,
            checks__step__removed_at=None,
            checks__step__project__removed_at=None,
            checks__step__project__state__in=Project.LIVE,
        )
        return self.select_related("failure", "failure__project", "resin", "species").annotate(
            stands_on=models.Count("checks", filter=to_do),
            ticked=models.Count("checks", filter=models.Q(checks__ticked_at__isnull=False)),
        )


class Lesson(ShopRow):
    """A line for the checklists of later steps of one kind, so that a failure does not come back."""

    failure = models.ForeignKey(
        Failure, on_delete=models.PROTECT, null=True, blank=True, related_name="lessons"
    )
    sentence = models.CharField(max_length=160)
    step_kind = models.CharField(max_length=20, choices=Step.Kind)
    resin = models.ForeignKey(Resin, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    species = models.ForeignKey(Species, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = LessonQuerySet.as_manager()

    class Meta:
        constraints = row_meta()

    def __str__(self):
        return self.sentence

    def belongs_to(self, step):
        """Whether its line belongs on a step's checklist: by kind, and by resin and wood if it names them."""
        block = step.block
        return (
            (self.shop_id, self.step_kind) == (step.shop_id, step.kind)
            and self.resin_id in (None, block.resin_id if block else None)
            and self.species_id in (None, block.species_id if block else None)
        )
