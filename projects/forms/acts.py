"""Forms of the acts at the bench: few fields, big, and what is known is filled in already."""

from django import forms

from materials.models import Lot, Resin, Supply
from projects.forms.all_the_same import AllTheSameForm
from workshop.forms.quantities import QuantityField
from workshop.models import Machine
from workshop.units import say

MM2_OF_M2 = 1e6
LONGEST_H = 24 * 30


def words():
    """A few lines to remember; the log's entry holds 1000 and says the act before them."""
    return forms.CharField(
        label="Anything to remember?",
        required=False,
        max_length=800,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


def warmth(**more):
    """The temperature of the shop."""
    return QuantityField("temperature", label="Warm in the shop", least=-10, most=60, **more)


def humidity():
    """The humidity of the air, where it was read."""
    return QuantityField("percent", label="Humidity of the air", required=False, least=1, most=100)


class LotField(forms.ModelChoiceField):
    """A bottle, bundle or tin: its code, what it is, what is left of it."""

    def __init__(self, **kwargs):
        super().__init__(queryset=Lot.objects.none(), required=False, to_field_name="key", **kwargs)
        self.system = "metric"

    def label_from_instance(self, lot):
        if lot.unit == Lot.Unit.LEVEL:
            return f"{lot.code}, {lot.what}"
        left = say(lot.on_hand, lot.quantity_kind, self.system)
        unit = "" if lot.quantity_kind != "count" else f" {lot.get_unit_display()}"
        return f"{lot.code}, {lot.what}, {left}{unit} left"


class ActForm(AllTheSameForm):
    """An act on a step: what to remember, and whether the step is done with it."""

    asks_again = True
    done_says = "That is all of it"
    text = words()
    done = forms.BooleanField(label="", required=False)

    def __init__(self, *args, step, **kwargs):
        super().__init__(*args, **kwargs)
        self.step = step
        self.fields["done"].label = self.done_says
        for field in self.fields.values():
            if isinstance(field, LotField):
                field.system = self.shop.units

    def lots(self, kinds, **narrower):
        """What stands on the shelf of some kinds, with what is left of each."""
        rows = Lot.objects.of(self.shop).here().with_on_hand().filter(kind__in=kinds, **narrower)
        return rows.select_related("species", "supply").order_by("opened_on", "received_on", "pk")


class StripsForm(ActForm):
    """Strips that went into the mould."""

    done_says = "All strips are in and held down"
    count = QuantityField("count", label="Strips that went in", above=0, most=5000, whole=True)
    lot = LotField(label="Out of which bundle", empty_label="out of none")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        species = self.step.block.species_id if self.step.block else None
        of = {"species": species} if species else {}
        self.fields["lot"].queryset = self.lots(Lot.WOODS, **of)


class SealForm(ActForm):
    """A seal coat, and from when to when the next one may go on it."""

    done_says = "That was the last coat"
    resin = forms.ModelChoiceField(
        label="With which resin", queryset=Resin.objects.none(), required=False, empty_label="something else"
    )
    coat = QuantityField("count", label="Which coat", above=0, most=20, whole=True)
    amount_g = QuantityField(
        "mass", label="Used, A and B together", required=False, above=0, most=20_000,
        help_text="Left empty, nothing is taken from the bottles: so where a cup was mixed for it here.",
    )  # fmt: skip
    lot_a = LotField(label="Bottle of A", empty_label="out of none")
    lot_b = LotField(label="Bottle of B", empty_label="out of none")
    temp_c = warmth()
    humidity_percent = humidity()
    steady_or_falling = forms.ChoiceField(
        label="The warmth of the shop",
        choices=[("yes", "steady or falling"), ("no", "rising")],
        widget=forms.RadioSelect,
    )
    open_h = QuantityField(
        "hours", label="Next coat from", required=False, above=0, most=LONGEST_H,
        help_text="By the sheet; the clock carries it to the warmth above.",
    )  # fmt: skip
    close_h = QuantityField("hours", label="Next coat until", required=False, above=0, most=LONGEST_H)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["resin"].queryset = Resin.objects.of(self.shop).filter(removed_at=None).order_by("name")
        for part in "AB":
            self.fields[f"lot_{part.lower()}"].queryset = self.lots(
                [Lot.Kind.RESIN], part=part
            ).select_related("resin")

    def clean(self):
        """A window closes after it opens; without an opening it has no end either."""
        data = super().clean()
        self.clean_bottles(data)
        data["steady_or_falling"] = data.get("steady_or_falling") != "no"
        opens, closes = data.get("open_h"), data.get("close_h")
        if closes is not None and opens is None and "open_h" not in self.errors:
            self.add_error("open_h", "From when on may the next coat go on?")
        elif closes is not None and opens is not None and closes <= opens:
            self.add_error("close_h", "This must be later than the hours from which it may go on.")
        return data

    def clean_bottles(self, data):
        """What is taken is taken from bottles of that resin."""
        resin = data.get("resin")
        for name in ("lot_a", "lot_b") if data.get("amount_g") else ():
            lot = data.get(name)
            if lot and lot.resin_id != (resin and resin.pk):
                other = f"{lot.code} is a bottle of {lot.resin.name}, not of {resin or 'what went on'}."
                self.add_error(name, f"{other} Choose another, or none.")


class MouldForm(ActForm):
    """How far a mould is."""

    done_says = "The mould is ready"
    machine = forms.ModelChoiceField(
        label="Which mould", queryset=Machine.objects.none(), required=False, empty_label="made for this one"
    )
    taped = forms.BooleanField(label="Release tape is on", required=False)
    sealed = forms.BooleanField(label="Seams are sealed", required=False)
    level = forms.BooleanField(label="Level both ways, tray under it", required=False)
    tested_empty = forms.BooleanField(label="Tried empty with water or air, and it holds", required=False)
    sealant_h = QuantityField(
        "hours", label="Sealant dries for", required=False, above=0, most=LONGEST_H,
        help_text="As its tube says. A clock starts, and the step waits for it.",
    )  # fmt: skip

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        moulds = Machine.objects.of(self.shop).in_use().filter(kind=Machine.Kind.MOULD)
        self.fields["machine"].queryset = moulds.order_by("name", "pk")

    def clean(self):
        """Something has to have been done."""
        data = super().clean()
        if not any(
            data.get(name) for name in ("taped", "sealed", "level", "tested_empty", "sealant_h", "done")
        ):
            self.add_error(None, "Tick what was done at the mould.")
        return data


class GlueForm(ActForm):
    """A part that was glued: its open time, and how long the clamps stay."""

    done_says = "All pieces of this step are glued"
    part = forms.CharField(
        label="Which part", required=False, max_length=60, widget=forms.TextInput(attrs={"class": "words"})
    )
    pieces = QuantityField("count", label="Pieces", required=False, above=0, most=5000, whole=True)
    open_min = QuantityField("minutes", label="Open time of the glue", required=False, least=1, most=1440)
    clamped_h = QuantityField("hours", label="Clamps stay for", required=False, above=0, most=LONGEST_H)
    temp_c = warmth()


class CoatForm(ActForm):
    """A coat of finish."""

    done_says = "The step is done with this coat"
    supply = forms.ModelChoiceField(
        label="What went on",
        queryset=Supply.objects.none(),
        required=False,
        to_field_name="key",
        empty_label="something else",
    )
    lot = LotField(label="Out of which tin", empty_label="out of none")
    number = QuantityField("count", label="Which coat", above=0, most=50, whole=True)
    area_m2 = QuantityField("area", label="Area", required=False, above=0, most=100)
    amount_ml = QuantityField("volume", label="Used", required=False, above=0, most=20_000)
    temp_c = warmth()
    humidity_percent = humidity()

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        finishes = Supply.objects.of(self.shop).kept().filter(kind=Supply.Kind.FINISH)
        self.fields["supply"].queryset = finishes.in_order()
        self.fields["lot"].queryset = self.lots([Lot.Kind.FINISH])

    def clean(self):
        """A tin that isn't kept in millilitres can't say what is left after so many."""
        data = super().clean()
        lot = data.get("lot")
        if lot and data.get("amount_ml") and lot.unit not in {Lot.Unit.MILLILITRE, Lot.Unit.LEVEL}:
            kept = f"{lot.code} is kept in {lot.get_unit_display()}, so millilitres can’t be taken from it."
            self.add_error("amount_ml", f"{kept} Leave this empty, and count the tin on the shelf.")
        return with_area(data)


def with_area(data):
    """The area in square millimetres, as it is stored."""
    area = data.get("area_m2")
    data["area_mm2"] = None if area is None else area * MM2_OF_M2
    return data
