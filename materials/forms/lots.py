"""Forms of one lot: its ticket, opening it, and the lines of its ledger."""

from django import forms

from materials.actions import to_thousandths
from materials.forms.coming_in import SingleForm, day_field, words_field
from materials.models import Lot, Movement
from workshop.forms.quantities import QuantityField, ShopForm

SIZES = {
    "thickness_mm": ("Thick", 0.2),
    "width_mm": ("Wide", 0.1),
    "length_mm": ("Long", 0.1),
    "strip_mm": ("Strip", 0.1),
    "gap_mm": ("Gap", 0),
    "phase_mm": ("First line from the marked edge", 0),
}
"""The sizes a ticket may show: label, and the least in mm."""
SIZES_OF = {
    Lot.Kind.WOOD: ("thickness_mm", "width_mm", "length_mm"),
    Lot.Kind.SAWN: ("thickness_mm", "width_mm", "length_mm"),
    Lot.Kind.LEFTOVER: tuple(SIZES),
}
CONDITIONS = {
    Lot.Condition.CRYSTALLISED: (
        "Crystals in A go back when it is warmed gently, as its sheet says, and stirred until it is clear. "
        "Cap loose, never over a flame, and used only once it has cooled (common practice, no source)."
    ),
    Lot.Condition.DARKENED: (
        "Darkened B gives the casting its colour. Mix a test cup first and look at it by daylight "
        "(common practice, no source)."
    ),
    Lot.Condition.THICKENED: (
        "What has thickened has aged or drawn moisture, and lets go of fewer bubbles. Mix a test cup first; "
        "what stays soft goes out, as its sheet says (common practice, no source)."
    ),
}
"""What to do about how a lot was found on opening."""


class ChangeForm(SingleForm):
    """A ticket as it should read. What the lot is, and how much of it there is, stays."""

    came_from = words_field("From which project", 140)

    FOLDED = ()
    TICKET = ("code", "cost", "use_by", "maker", "received_on", "opened_on", "place", "note", "came_from")

    @staticmethod
    def sizes_of(lot):
        """The sizes that a lot's ticket may show."""
        return SIZES_OF.get(lot.kind, ())

    def __init__(self, *args, lot, **kwargs):
        self.lot = lot
        super().__init__(*args, **kwargs)
        for name in self.sizes_of(lot):
            label, least = SIZES[name]
            self.fields[name] = QuantityField("length", label=label, required=False, least=least, most=10_000)
            self.fields[name].system = self.shop.units
            self.fields[name].widget.attrs["aria-describedby"] = f"id_{name}_says"
        if lot.kind != Lot.Kind.LEFTOVER:
            del self.fields["came_from"]
        if lot.kind in (*Lot.WOODS, Lot.Kind.LEFTOVER):
            del self.fields["use_by"], self.fields["opened_on"]
        self.fields["received_on"].required, self.fields["received_on"].help_text = True, ""
        self.order_fields(("code", "place", "use_by", "received_on", "opened_on", "cost", "maker", "note"))

    def row_values(self):
        """What the ticket should say."""
        return {name: value for name, value in self.cleaned_data.items() if name != "photo"}


class OpenForm(ShopForm):
    """A lot is opened: when, how it was found, and until when it keeps now."""

    opened_on = day_field("Opened on")
    condition = forms.ChoiceField(
        label="It looks", choices=Lot.Condition, initial=Lot.Condition.FINE, widget=forms.RadioSelect
    )
    use_by = day_field("Use by")
    note = words_field("Note", 300)

    def __init__(self, *args, lot, today, **kwargs):
        self.lot, self.today = lot, today
        super().__init__(*args, **kwargs)
        self.fields["opened_on"].required = True

    def clean_opened_on(self):
        day = self.cleaned_data["opened_on"]
        if day > self.today:
            raise forms.ValidationError("This day is still to come.")
        if day < self.lot.received_on:
            raise forms.ValidationError("It would have been opened before it came in.")
        return day


class LevelForm(ShopForm):
    """How much of it there is, at a glance."""

    level = forms.ChoiceField(label="There is", choices=Lot.Level, widget=forms.RadioSelect)


class LineForm(ShopForm):
    """One line for a lot's ledger: used, wasted or counted."""

    asks_again = True
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
        self.fields["amount"] = QuantityField(
            lot.quantity_kind, label="How much", least=0, most=1_000_000, whole=lot.whole
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


class ReverseForm(ShopForm):
    """Why a line is taken back. Its sentences stand above the ledger: each of its lines has such a form."""

    why = forms.CharField(label="Why", max_length=300, required=False)

    def clean(self):
        if not self.cleaned_data.get("why") and "why" not in self.errors:
            raise forms.ValidationError("Say why the line is taken back.")
        for sentence in self.errors.pop("why", []):
            self.add_error(None, sentence)
        return self.cleaned_data
