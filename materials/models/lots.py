"""Things bought once, and the ledger of what came in and went out."""

from datetime import timedelta

from django.db import models
from django.db.models import Q, Sum
from django.db.models.functions import Coalesce

from materials.models.resin import Resin
from materials.models.supplies import Supply
from materials.models.wood import Species
from materials.months import months_from
from workshop.models.base import ShopQuerySet, ShopRow, row_meta
from workshop.models.records import AppendOnlyMixin, AppendOnlyQuerySet, Picture

NOTHING_BUT = {
    "resin": Q(resin__isnull=False, species__isnull=True, supply__isnull=True, part__in=["A", "B"]),
    "wood": Q(resin__isnull=True, species__isnull=False, supply__isnull=True, part=""),
    "supply": Q(resin__isnull=True, species__isnull=True, supply__isnull=False, part=""),
    "leftover": Q(species__isnull=False, supply__isnull=True, part=""),
}
"""What each group of kinds points at: its own target alone; a leftover at its wood, its resin if known."""
SOON = 30  # days before its date from which a lot is pointed out
MOST_WORDS = 8  # of a search; more find nothing that fewer don't


class LotQuerySet(ShopQuerySet):
    """Questions about what stands on the shelf."""

    def here(self):
        """Lots that were not taken off the shelf."""
        return self.filter(removed_at=None)

    def off(self):
        """Lots that were taken off the shelf, and can be put back."""
        return self.exclude(removed_at=None)

    def usable(self, today):
        """Lots that a plan may count on: here, and not past the date on their label."""
        return self.here().filter(Q(use_by=None) | Q(use_by__gte=today))

    def some_left(self):
        """Those of which something is left, each with what."""
        return self.with_on_hand().filter(on_hand_thousandths__gt=0)

    def held(self):
        """Each with the sum of its ledger, `held_thousandths`, and with what `values` named before."""
        return self.annotate(held_thousandths=Coalesce(Sum("movements__thousandths"), 0))

    def with_something_left(self):
        """Those that are not used up."""
        some = Q(unit="level", level__in=["enough", "low"]) | Q(held_thousandths__gt=0)
        return self.values("pk").held().filter(some)

    def ageing(self, today, months_open=()):
        """Past their date or nearly, or open longer than their resin's sheet says.

        `months_open`: how many months the sheets allow; each is a question of its own, since
        databases count months in ways of their own.
        """
        near = Q(use_by__lte=today + timedelta(days=SOON))
        for months in months_open:
            day = months_from(today, -months)
            near |= Q(kind="resin", resin__shelf_months_open=months, opened_on__lte=day)
        return self.filter(near)

    def running_low(self):
        """What is low or gone, and of which no other lot here says enough."""
        enough = Lot.objects.here().filter(supply=models.OuterRef("supply"), level="enough")
        return self.filter(~models.Exists(enough), level__in=["low", "gone"])

    def of_targets(self, targets):
        """Bottles, bundles and supplies of what is named: {"resin": ids, "wood": ids, "supply": ids}."""
        return self.filter(
            Q(kind="resin", resin__in=targets["resin"])
            | Q(kind="wood", species__in=targets["wood"])
            | Q(supply__in=targets["supply"])
        )

    def to_use_first(self):
        """The one whose date comes first in front, then the oldest."""
        return self.order_by(models.F("use_by").asc(nulls_last=True), "received_on", "pk")

    def found(self, text):
        """Those in whose name, code, maker or place each word of a text occurs."""
        words = text.casefold().split()[:MOST_WORDS]
        return self.filter(*(Q(search__contains=word) for word in words))

    def in_order(self):
        """As they stand on their board: like things together, by name and code."""
        return self.order_by("kind", "search", "pk")

    def with_names(self):
        """With the rows that say what each is."""
        return self.select_related("resin", "species", "supply")

    def with_on_hand(self):
        """Each with the sum of its ledger, `on_hand_thousandths`, and `received_thousandths`."""
        came_in = Sum("movements__thousandths", filter=Q(movements__kind="receive"))
        return self.annotate(
            on_hand_thousandths=Coalesce(Sum("movements__thousandths"), 0),
            received_thousandths=Coalesce(came_in, 0),
        )

    def bottles(self, resin, part):
        """Bottles of one part of a resin, the one to use first in front."""
        return self.here().filter(resin=resin, part=part).to_use_first()

    def of_wood(self, species):
        """Bundles and sawn stock of a wood with what is left of each, the oldest in front."""
        found = self.here().filter(species=species, kind__in=Lot.WOODS).with_on_hand()
        return found.order_by("received_on", "pk")


class Lot(ShopRow):
    """A bottle, a bundle: something bought once, with a code of its own."""

    class Kind(models.TextChoices):
        RESIN = "resin", "bottle"
        WOOD = "wood", "bundle"
        SAWN = "sawn", "sawn stock"
        CONSUMABLE = "consumable", "tape and the like"
        FINISH = "finish", "finish"
        ABRASIVE = "abrasive", "abrasive"
        LEFTOVER = "leftover", "leftover"

    class Part(models.TextChoices):
        A = "A", "part A"
        B = "B", "part B"

    class Unit(models.TextChoices):
        GRAM = "g", "g"
        MILLILITRE = "ml", "ml"
        STRIP = "strips", "strips"
        PIECE = "pieces", "pieces"
        METRE = "m", "m"
        LEVEL = "level", "only enough or low"

    class Level(models.TextChoices):
        ENOUGH = "enough", "enough"
        LOW = "low", "low"
        GONE = "gone", "gone"

    class Condition(models.TextChoices):
        FINE = "fine", "fine"
        CRYSTALLISED = "crystallised", "crystallised"
        DARKENED = "darkened", "darkened"
        THICKENED = "thickened", "thickened"

    SUPPLIES = (Kind.CONSUMABLE, Kind.FINISH, Kind.ABRASIVE)
    WOODS = (Kind.WOOD, Kind.SAWN)

    kind = models.CharField(max_length=10, choices=Kind)
    resin = models.ForeignKey(Resin, on_delete=models.PROTECT, null=True, blank=True, related_name="lots")
    part = models.CharField(max_length=1, choices=Part, blank=True)
    species = models.ForeignKey(Species, on_delete=models.PROTECT, null=True, blank=True, related_name="lots")
    supply = models.ForeignKey(Supply, on_delete=models.PROTECT, null=True, blank=True, related_name="lots")
    maker = models.CharField(max_length=80, blank=True)
    code = models.CharField(max_length=20)
    unit = models.CharField(max_length=10, choices=Unit)
    received_on = models.DateField()
    opened_on = models.DateField(null=True, blank=True)
    use_by = models.DateField(null=True, blank=True)
    cost = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    place = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=300, blank=True)
    picture = models.ForeignKey(Picture, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    condition = models.CharField(max_length=14, choices=Condition, blank=True)
    level = models.CharField(max_length=8, choices=Level, blank=True)
    thickness_mm = models.FloatField(null=True, blank=True)
    width_mm = models.FloatField(null=True, blank=True)
    length_mm = models.FloatField(null=True, blank=True)
    # of a leftover: its stripes, and where the first line lies from the marked edge
    strip_mm = models.FloatField(null=True, blank=True)
    gap_mm = models.FloatField(null=True, blank=True)
    phase_mm = models.FloatField(null=True, blank=True)
    came_from = models.CharField(max_length=140, blank=True)
    search = models.CharField(max_length=300, blank=True, editable=False)
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = LotQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.UniqueConstraint(fields=["shop", "code"], name="materials_lot_code"),
            models.CheckConstraint(
                condition=(Q(kind="resin") & NOTHING_BUT["resin"])
                | (Q(kind__in=["wood", "sawn"]) & NOTHING_BUT["wood"])
                | (Q(kind__in=["consumable", "finish", "abrasive"]) & NOTHING_BUT["supply"])
                | (Q(kind="leftover") & NOTHING_BUT["leftover"]),
                name="materials_lot_one_target",
            ),
            models.CheckConstraint(
                condition=Q(unit="level", level__in=["enough", "low", "gone"])
                | (~Q(unit="level") & Q(level="")),
                name="materials_lot_level",
            ),
        )
        indexes = [
            models.Index(fields=["shop", "removed_at", "kind", "search", "id"], name="materials_lot_board"),
            models.Index(fields=["shop", "removed_at", "use_by"], name="materials_lot_use_by"),
            models.Index(fields=["shop", "removed_at", "opened_on"], name="materials_lot_opened"),
            models.Index(fields=["shop", "removed_at", "level"], name="materials_lot_low"),
        ]

    def __str__(self):
        return self.code

    def save(self, *args, **kwargs):
        """A lot is found under what it is called; an update of named fields leaves that alone."""
        if kwargs.get("update_fields") is None:
            self.search = self.searched()
        super().save(*args, **kwargs)

    def searched(self):
        """What a search looks through, casefolded by us: databases fold ASCII only, or as they like."""
        name = str((self.kind == self.Kind.RESIN and self.resin) or self.supply or self.species or "")
        rest = (name, self.code, self.get_part_display(), self.maker, self.place, self.came_from)
        return " ".join(part for part in rest if part).casefold()[:300]

    @staticmethod
    def units_of(keys):
        """The units of the lots with these keys, by key."""
        return dict(Lot.objects.filter(key__in=keys).values_list("key", "unit"))

    @property
    def what(self):
        """What it is, as on its ticket."""
        if self.kind == self.Kind.RESIN:
            return f"{self.resin.name}, part {self.part}"
        if self.kind in self.SUPPLIES:
            return str(self.supply)
        return self.species.name

    @property
    def on_hand(self):
        """What is left, in the lot's unit; negative when more went out than came in."""
        held = getattr(self, "on_hand_thousandths", None)
        if held is None:
            held = self.movements.aggregate(held=Coalesce(Sum("thousandths"), 0))["held"]
        return held / 1000

    @property
    def short(self):
        """By how much the ledger is below nothing; 0 when it isn't."""
        return max(0.0, -self.on_hand)

    @property
    def is_counted(self):
        """Whether a ledger counts it; tape and the like are only enough, low or gone."""
        return self.unit != self.Unit.LEVEL

    @property
    def whole(self):
        """Whether it comes in whole things."""
        return self.unit in (self.Unit.STRIP, self.Unit.PIECE)

    @property
    def quantity_kind(self):
        """The kind of quantity that its unit belongs to."""
        return {self.Unit.GRAM: "mass", self.Unit.MILLILITRE: "volume"}.get(self.unit, "count")


class Movement(AppendOnlyMixin, ShopRow):
    """One line of a lot's ledger. Never changed; a mistake gets a second line."""

    class Kind(models.TextChoices):
        RECEIVE = "receive", "came in"
        USE = "use", "used"
        WASTE = "waste", "wasted"
        COUNT = "count", "counted"
        REVERSE = "reverse", "taken back"

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="movements")
    thousandths = models.BigIntegerField()
    kind = models.CharField(max_length=10, choices=Kind)
    happened_at = models.DateTimeField()
    reverses = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )
    act_key = models.UUIDField(null=True, blank=True)
    why = models.CharField(max_length=300, blank=True)

    objects = AppendOnlyQuerySet.as_manager()

    class Meta:
        constraints = row_meta(
            models.CheckConstraint(
                condition=Q(kind="receive", thousandths__gt=0)
                | Q(kind__in=["use", "waste"], thousandths__lt=0)
                | Q(kind="count")
                | (Q(kind="reverse", reverses__isnull=False) & ~Q(thousandths=0)),
                name="materials_movement_sign",
            )
        )
        indexes = [models.Index(fields=["lot", "happened_at"], name="materials_movement_lot")]

    def __str__(self):
        return f"{self.get_kind_display()} {self.thousandths / 1000:g} {self.lot.unit}"

    @property
    def amount(self):
        """In the lot's unit, signed."""
        return self.thousandths / 1000
