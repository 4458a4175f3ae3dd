"""Forms for what came in: what it is, how much of it, and what its ticket says."""

from datetime import date
from decimal import Decimal

from django import forms
from django.utils import timezone

from materials.models import Lot, Resin, Species
from materials.months import months_from
from workshop.forms.quantities import MoneyField, QuantityField, ShopForm

HUNDREDTH = Decimal("0.01")
LATEST = date(2199, 12, 31)  # a date beyond is a slip of the finger


def day_field(label, **kwargs):
    """A date, by the browser's own calendar."""
    picker = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    return forms.DateField(label=label, required=False, widget=picker, **kwargs)


def words_field(label, most, **kwargs):
    """A few words, in the face that is read."""
    return forms.CharField(
        label=label,
        max_length=most,
        required=False,
        widget=forms.TextInput(attrs={"class": "words"}),
        **kwargs,
    )


class TicketForm(ShopForm):
    """What every ticket can say, whatever it hangs on."""

    cost = MoneyField(label="Cost", required=False)
    use_by = day_field("Use by")
    maker = words_field("Maker", 80)
    received_on = day_field("Came in on", help_text="Left empty: today.")
    opened_on = day_field("Opened on")
    place = words_field("Where it stands", 60)
    note = words_field("Note", 300)
    photo = forms.FileField(
        label="Photo",
        required=False,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp,image/heic,image/heif"}),
    )

    SAME = ("cost", "use_by", "maker", "opened_on", "place", "note")
    FOLDED = ("maker", "received_on", "opened_on", "place", "note", "photo")

    def first_fields(self):
        """What is asked at once."""
        return [self[name] for name in self.fields if name not in self.FOLDED]

    def more_fields(self):
        """What can be said as well, behind a fold."""
        return [self[name] for name in self.fields if name in self.FOLDED]

    def more_is_wrong(self):
        """Whether the fold has to be open, since something in it is wrong."""
        return any(name in self.errors for name in self.FOLDED)

    def free_code(self, name):
        """A code that nothing else in this shop has, whatever its case."""
        code = self.cleaned_data[name].strip()
        same = Lot.objects.of(self.shop).filter(code__iexact=code).exclude(pk=self.initial.get("pk"))
        if same.exists():
            raise forms.ValidationError(f"There is something with the code “{code}” already. Take another.")
        return code

    def clean(self):
        data = super().clean()
        came, opened, use_by = (data.get(name) for name in ("received_on", "opened_on", "use_by"))
        today = timezone.localdate()
        for name, day in (("received_on", came), ("opened_on", opened)):
            if day and day > today:
                self.add_error(name, "This day is still to come.")
        if came and opened and opened < came:
            self.add_error("opened_on", "It would have been opened before it came in.")
        if came and use_by and use_by < came:
            self.add_error("use_by", "It would have been past its date when it came in.")
        elif use_by and use_by > LATEST:
            self.add_error("use_by", "This is too far off to be a date on a label.")
        return data

    def ticket(self, received_on):
        """The values that every lot has; `received_on` is the day of the act."""
        said = {name: self.cleaned_data[name] for name in self.SAME if name in self.cleaned_data}
        return said | {"received_on": self.cleaned_data["received_on"] or received_on}


class BottlesForm(TicketForm):
    """A kit that came in: part A, part B, or both."""

    resin = forms.ModelChoiceField(label="Resin", queryset=Resin.objects.none(), empty_label=None)
    amount_a_g = QuantityField("mass", label="Part A", required=False, above=0, most=1_000_000)
    amount_b_g = QuantityField("mass", label="Part B", required=False, above=0, most=1_000_000)
    code_a = forms.CharField(label="Code of A", max_length=20)
    code_b = forms.CharField(label="Code of B", max_length=20)

    field_order = ("resin", "amount_a_g", "amount_b_g", "code_a", "code_b", "use_by", "cost")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["cost"].label = "Cost of both"
        self.fields["use_by"].help_text = "Left empty: as long as the resin’s sheet says it keeps closed."
        self.fields["resin"].queryset = Resin.objects.of(self.shop).filter(removed_at=None).order_by("name")

    def clean_code_a(self):
        return self.free_code("code_a")

    def clean_code_b(self):
        return self.free_code("code_b")

    def clean(self):
        data = super().clean()
        if not self.errors and not (data.get("amount_a_g") or data.get("amount_b_g")):
            self.add_error("amount_a_g", "Say how much of A or of B came in.")
        if data.get("code_a", "a").casefold() == data.get("code_b", "b").casefold():
            self.add_error("code_b", "A and B need codes of their own.")
        return data

    def lots(self, received_on):
        """Values and amount of each lot that came in."""
        data, ticket = self.cleaned_data, self.ticket(received_on)
        ticket["use_by"] = ticket["use_by"] or keeps_until(ticket["received_on"], data["resin"])
        came = [part for part in ("A", "B") if data[f"amount_{part.lower()}_g"]]
        for part, cost in zip(came, shares(data["cost"], len(came)), strict=True):
            yield (
                {
                    **ticket,
                    "kind": Lot.Kind.RESIN,
                    "resin": data["resin"],
                    "part": part,
                    "code": data[f"code_{part.lower()}"],
                    "unit": Lot.Unit.GRAM,
                    "cost": cost,
                },
                data[f"amount_{part.lower()}_g"],
            )


def keeps_until(received_on, resin):
    """Until when a closed bottle keeps by its resin's sheet; None where the sheet doesn't say."""
    months = resin.shelf_months_closed
    return months_from(received_on, months) if months else None


def shares(cost, count):
    """A cost as so many equal parts to the hundredth, whose sum is the cost; None where it isn't known."""
    if cost is None:
        return [None] * count
    share = (cost / count).quantize(HUNDREDTH)
    return [share] * (count - 1) + [cost - share * (count - 1)]


class SingleForm(TicketForm):
    """One lot with a code of its own."""

    code = forms.CharField(label="Code", max_length=20)

    def clean_code(self):
        return self.free_code("code")

    def lot(self, received_on):
        """Values and amount of the lot."""
        raise NotImplementedError

    def values(self, received_on, *names, **more):
        """The lot's values: what every ticket says, these fields, and what follows from the kind."""
        picked = {name: self.cleaned_data[name] for name in ("code", *names)}
        return {**self.ticket(received_on), **picked, **more}


class WoodForm(SingleForm):
    """Wood that came in, with its sizes. Each form of it says its kind, its unit and what counts it."""

    species = forms.ModelChoiceField(label="Wood", queryset=Species.objects.none(), empty_label=None)
    width_mm = QuantityField("length", label="Wide", above=0, most=1000)
    length_mm = QuantityField("length", label="Long", above=0, most=10_000)

    UNIT, COUNT = Lot.Unit.PIECE, "pieces"
    SIZES = ("species", "thickness_mm", "width_mm", "length_mm")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["species"].queryset = Species.objects.of(self.shop).order_by("name")
        del self.fields["use_by"], self.fields["opened_on"]  # wood keeps
        self.order_fields(self.ORDER)

    def lot(self, received_on):
        values = self.values(received_on, *self.SIZES, kind=self.KIND, unit=self.UNIT)
        return values, self.cleaned_data[self.COUNT]


class BundleForm(WoodForm):
    """A bundle of strips that came in."""

    strips = QuantityField("count", label="How many strips", above=0, most=100_000, whole=True)
    thickness_mm = QuantityField("length", label="Thick", least=0.2, most=50)

    KIND, UNIT, COUNT = Lot.Kind.WOOD, Lot.Unit.STRIP, "strips"
    ORDER = ("species", "strips", "thickness_mm", "width_mm", "length_mm", "code", "cost")


class SawnForm(WoodForm):
    """Sawn stock that came in: boards and squares, to be made into strips."""

    pieces = QuantityField("count", label="How many pieces", above=0, most=100_000, whole=True, initial=1)
    thickness_mm = QuantityField("length", label="Thick", least=0.2, most=500)

    KIND = Lot.Kind.SAWN
    ORDER = ("species", "pieces", "thickness_mm", "width_mm", "length_mm", "code", "cost")


class LeftoverForm(WoodForm):
    """A bar or an offcut of a block, kept for another piece: its stripes, and where the first line lies."""

    pieces = QuantityField("count", label="How many alike", above=0, most=1000, whole=True, initial=1)
    strip_mm = QuantityField("length", label="Strip", least=0.1, most=100)
    gap_mm = QuantityField("length", label="Gap", least=0, most=100)
    thickness_mm = QuantityField("length", label="Deep", above=0, most=500)
    phase_mm = QuantityField(
        "length",
        label="First line from the marked edge",
        required=False,
        least=0,
        most=200,
        help_text="Mark one long edge; measure from it to the middle of the first strip.",
    )
    came_from = words_field("From which project", 140)

    ORDER = (
        "species", "strip_mm", "gap_mm", "length_mm", "width_mm", "thickness_mm", "phase_mm", "code",
        "came_from", "pieces", "cost",
    )  # fmt: skip
    FOLDED = ("came_from", "pieces", "cost", *TicketForm.FOLDED)
    KIND = Lot.Kind.LEFTOVER
    SIZES = (*WoodForm.SIZES, "strip_mm", "gap_mm", "phase_mm", "came_from")

    def clean(self):
        data = super().clean()
        phase, strip, gap = (data.get(name) for name in ("phase_mm", "strip_mm", "gap_mm"))
        if None not in (phase, strip, gap) and phase > strip + gap:
            self.add_error("phase_mm", "The first line lies within one strip and one gap of the end.")
        return data


class SupplyLotForm(SingleForm):
    """Something of the list of supplies that came in: counted in its unit, or only enough or low."""

    field_order = ("amount", "level", "code", "cost", "use_by")

    def __init__(self, *args, supply, **kwargs):
        self.supply = supply
        super().__init__(*args, **kwargs)
        if supply.unit == supply.Unit.LEVEL:
            self.fields["level"] = forms.ChoiceField(
                label="There is now",
                choices=[("enough", "enough"), ("low", "low")],
                initial="enough",
                widget=forms.RadioSelect,
            )
        else:
            self.fields["amount"] = amount_field(supply, self.shop.units)
        self.order_fields(self.field_order)

    def lot(self, received_on):
        data = self.cleaned_data
        kind = {"kind": self.supply.kind, "supply": self.supply, "unit": self.supply.unit}
        return self.values(received_on, **kind, level=data.get("level", "")), data.get("amount")


def amount_field(supply, system, **more):
    """A field for an amount of a supply, read in its unit; `system` is the shop's."""
    kind = {"g": "mass", "ml": "volume"}.get(supply.unit, "count")
    words = {"pieces": "How many", "m": "How many metres"}
    limits = {"above": 0, "most": 1_000_000, "whole": supply.unit == supply.Unit.PIECE}
    field = QuantityField(kind, label=words.get(supply.unit, "How much"), **{**limits, **more})
    field.system = system
    field.widget.attrs["aria-describedby"] = "id_amount_says"
    return field
