"""Forms of the shelf."""

from decimal import Decimal

from django import forms

from materials.actions import to_thousandths
from materials.models import Lot, Movement, Resin, Species
from workshop.forms.quantities import MoneyField, QuantityField, ShopForm

HUNDREDTH = Decimal("0.01")
MOST_RATIO = 200  # common practice, no source: a hundredth of hardener is the least that is sold


class ResinForm(ShopForm):
    """What a data sheet says. The first part is what every sheet has; the rest has defaults."""

    name = forms.CharField(label="Name on the bottle", max_length=80)
    parts_a = QuantityField("parts", label="Parts of A", least=0.01, most=10_000)
    parts_b = QuantityField("parts", label="Parts of B", least=0.01, most=10_000)
    basis = forms.ChoiceField(
        label="The ratio is", choices=Resin.Basis, widget=forms.RadioSelect, initial=Resin.Basis.MASS
    )
    use = forms.ChoiceField(
        label="Made for", choices=Resin.Use, widget=forms.RadioSelect, initial=Resin.Use.CASTING
    )
    pot_minutes = QuantityField(
        "minutes", label="Pot life", least=1, most=2880, help_text="With its unit: 40 min or 6 h."
    )
    recoat_open_h = QuantityField("hours", label="Next pour not before", required=False, least=0.1, most=240)
    recoat_close_h = QuantityField("hours", label="and not after", required=False, least=0.1, most=480)
    demould_h = QuantityField("hours", label="Out of the mould after", required=False, least=0.1, most=720)
    max_depth_mm = QuantityField(
        "length", label="Deepest pour of neat resin", required=False, least=0.1, most=500
    )
    maker = forms.CharField(label="Maker", max_length=80, required=False)
    density_a_g_ml = QuantityField("density", label="Density of A", initial=1.12, least=0.7, most=2.5)
    density_b_g_ml = QuantityField("density", label="Density of B", initial=0.98, least=0.7, most=2.5)
    pot_mass_g = QuantityField("mass", label="Pot life was measured with", initial=100.0, least=5, most=5000)
    pot_c = QuantityField("temperature", label="at", initial=25.0, least=5, most=45)
    pot_meaning = forms.ChoiceField(
        label="Pot life means",
        choices=Resin.PotMeaning,
        widget=forms.RadioSelect,
        initial=Resin.PotMeaning.THICK,
    )
    recoat_c = QuantityField("temperature", label="The hours above are for", initial=25.0, least=5, most=45)
    min_c = QuantityField("temperature", label="Work not below", required=False, least=-5, most=40)
    max_c = QuantityField("temperature", label="Work not above", required=False, least=5, most=60)
    refractive_index = QuantityField("parts", label="Refractive index", initial=1.55, least=1.3, most=1.8)
    ratio_tolerance_percent = QuantityField(
        "percent",
        label="The ratio may be off by",
        initial=2.0,
        above=0,
        most=20,
        help_text="2 % where the sheet says nothing (from memory).",
    )

    FIRST = (
        "name",
        "parts_a",
        "parts_b",
        "pot_minutes",
        "pot_mass_g",
        "pot_c",
        "recoat_open_h",
        "recoat_close_h",
        "demould_h",
        "recoat_c",
        "max_depth_mm",
    )

    def first_fields(self):
        """The fields that every sheet fills."""
        return [self[name] for name in self.FIRST]

    def more_fields(self):
        """The fields with a default, behind a fold; radios apart."""
        radios = {"basis", "use", "pot_meaning"}
        return [self[name] for name in self.fields if name not in self.FIRST and name not in radios]

    def more_is_wrong(self):
        """Whether the fold has to be open, since something in it is wrong."""
        return any(name in self.errors for name in self.fields if name not in self.FIRST)

    def clean_name(self):
        name = self.cleaned_data["name"].strip()
        same = Resin.objects.of(self.shop).filter(name__iexact=name).exclude(pk=self.initial.get("pk"))
        if same.exists():
            raise forms.ValidationError(f"There is a resin called “{name}” already.")
        return name

    def clean(self):
        data = super().clean()
        parts_a, parts_b = data.get("parts_a"), data.get("parts_b")
        if parts_a and parts_b and max(parts_a, parts_b) > MOST_RATIO * min(parts_a, parts_b):
            self.add_error(
                "parts_b", f"One part is more than {MOST_RATIO} times the other. Look at the sheet again."
            )
        opens, closes = data.get("recoat_open_h"), data.get("recoat_close_h")
        if opens and closes and closes <= opens:
            self.add_error("recoat_close_h", "The window would close before it opens.")
        low, high = data.get("min_c"), data.get("max_c")
        if low is not None and high is not None and high <= low:
            self.add_error("max_c", "This must be warmer than the lowest temperature.")
        return data

    def values(self):
        """What goes into the row."""
        return dict(self.cleaned_data)


class CodeMixin:
    """A lot's code: free in this shop."""

    def free_code(self, name):
        code = self.cleaned_data[name].strip()
        if Lot.objects.of(self.shop).filter(code__iexact=code).exists():
            raise forms.ValidationError(f"There is something with the code “{code}” already. Take another.")
        return code


class BottlesForm(CodeMixin, ShopForm):
    """A kit that came in: part A, part B, or both."""

    resin = forms.ModelChoiceField(label="Resin", queryset=Resin.objects.none(), empty_label=None)
    amount_a_g = QuantityField("mass", label="Part A", required=False, above=0, most=1_000_000)
    amount_b_g = QuantityField("mass", label="Part B", required=False, above=0, most=1_000_000)
    code_a = forms.CharField(label="Code of A", max_length=20)
    code_b = forms.CharField(label="Code of B", max_length=20)
    use_by = forms.DateField(label="Use by", required=False, widget=forms.DateInput(attrs={"type": "date"}))
    cost = MoneyField(label="Cost of both", required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
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
        data = self.cleaned_data
        came = [
            (part, data[f"amount_{part.lower()}_g"])
            for part in ("A", "B")
            if data[f"amount_{part.lower()}_g"]
        ]
        for (part, amount), cost in zip(came, shares(data["cost"], len(came)), strict=True):
            yield (
                {
                    "kind": Lot.Kind.RESIN,
                    "resin": data["resin"],
                    "part": part,
                    "code": data[f"code_{part.lower()}"],
                    "unit": Lot.Unit.GRAM,
                    "received_on": received_on,
                    "use_by": data["use_by"],
                    "cost": cost,
                },
                amount,
            )


def shares(cost, count):
    """A cost as so many equal parts to the hundredth, whose sum is the cost; None where it isn't known."""
    if cost is None:
        return [None] * count
    share = (cost / count).quantize(HUNDREDTH)
    return [share] * (count - 1) + [cost - share * (count - 1)]


class BundleForm(CodeMixin, ShopForm):
    """A bundle of strips that came in."""

    species = forms.ModelChoiceField(label="Wood", queryset=Species.objects.none(), empty_label=None)
    strips = QuantityField("count", label="How many strips", above=0, most=100_000, whole=True)
    thickness_mm = QuantityField("length", label="Thick", least=0.2, most=50)
    width_mm = QuantityField("length", label="Wide", above=0, most=1000)
    length_mm = QuantityField("length", label="Long", above=0, most=10_000)
    code = forms.CharField(label="Code", max_length=20)
    cost = MoneyField(label="Cost", required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["species"].queryset = Species.objects.of(self.shop).order_by("name")

    def clean_code(self):
        return self.free_code("code")

    def lot(self, received_on):
        """Values and amount of the lot."""
        data = self.cleaned_data
        names = ("species", "thickness_mm", "width_mm", "length_mm", "code", "cost")
        values = {name: data[name] for name in names}
        values |= {"kind": Lot.Kind.WOOD, "unit": Lot.Unit.STRIP, "received_on": received_on}
        return values, data["strips"]


class LineForm(ShopForm):
    """One line for a lot's ledger: used, wasted or counted."""

    kind = forms.ChoiceField(
        label="What happened",
        widget=forms.RadioSelect,
        initial=Movement.Kind.USE,
        choices=[("use", "some was used"), ("waste", "some was wasted"), ("count", "I counted what is left")],
    )
    why = forms.CharField(label="For what, or why", max_length=300, required=False)

    def __init__(self, *args, lot, **kwargs):
        self.lot = lot
        super().__init__(*args, **kwargs)
        wood = lot.kind == Lot.Kind.WOOD
        self.fields["amount"] = QuantityField(
            lot.quantity_kind, label="How much", least=0, most=1_000_000, whole=wood
        )
        self.fields["amount"].system = self.shop.units
        self.fields["amount"].widget.attrs["aria-describedby"] = "id_amount_says"
        self.order_fields(["kind", "amount", "why"])

    def clean(self):
        data = super().clean()
        amount, counted = data.get("amount"), data.get("kind") == Movement.Kind.COUNT
        if amount is not None and not counted and to_thousandths(amount) == 0:
            self.add_error("amount", "More than 0 is needed.")
        return data


class ReverseForm(forms.Form):
    """Why a line is taken back. Its sentences stand above the ledger: each of its lines has such a form."""

    why = forms.CharField(label="Why", max_length=300, required=False)

    def clean(self):
        if not self.cleaned_data.get("why") and "why" not in self.errors:
            raise forms.ValidationError("Say why the line is taken back.")
        for sentence in self.errors.pop("why", []):
            self.add_error(None, sentence)
        return self.cleaned_data
