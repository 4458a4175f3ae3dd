"""The form of the check before a mix: what the air is now, and behind a fold all that seldom changes."""

from django import forms

from materials.models import Resin
from projects.check import told
from projects.forms.all_the_same import MOST_WHY, MOST_WORDS, SAY_WHY, reason_of
from workshop.forms.quantities import QuantityField, ShopForm

BOARDS = [
    ("mdf", "MDF, also melamine-faced"),
    ("plywood", "plywood"),
    ("polyethylene", "polyethylene"),
    ("silicone", "silicone"),
]
WEAKEST = [
    ("combs", "printed combs"),
    ("glue", "hot glue"),
    ("resin", "nothing but resin and wood"),
    ("other", "something else"),
]
CHECKS = [
    ("taped", "taped"),
    ("sealed", "sealed"),
    ("sealant dry", "sealant dry"),
    ("leak-tested", "leak-tested, empty"),
    ("levelled", "levelled"),
    ("tray under it", "tray under it"),
]


class CheckForm(ShopForm):
    """Warmth and humidity each time; the rest is taken over from the last check."""

    shop_c = QuantityField("temperature", label="Warm in the shop", least=-10, most=60)
    humidity_percent = QuantityField(
        "percent", label="Humidity of the air", required=False, least=1, most=100
    )
    resin = forms.ModelChoiceField(label="Resin", queryset=Resin.objects.none(), empty_label=None)
    depth_mm = QuantityField("length", label="Depth still to be poured", above=0, most=500)
    lifts = QuantityField("count", label="In how many pours", least=1, most=8, whole=True)
    cups = QuantityField("count", label="Cups for each pour", least=1, most=40, whole=True)
    mix_fill_min = QuantityField("minutes", label="To mix, fill and level", least=1, most=600)
    surface_c = QuantityField(
        "temperature", label="Coldest of wood and mould", required=False, least=-10, most=60
    )
    night_c = QuantityField("temperature", label="Lowest at night", least=-20, most=50)
    weakest = forms.ChoiceField(
        label="What softens first?", choices=WEAKEST, widget=forms.RadioSelect, required=False
    )
    weakest_c = QuantityField("temperature", label="It softens at", least=30, most=150)
    board = forms.ChoiceField(label="The mould is of", choices=BOARDS, widget=forms.RadioSelect)
    board_mm = QuantityField("length", label="Its board is thick", least=0, most=100)
    mould_checks = forms.MultipleChoiceField(
        label="The mould is", choices=CHECKS, widget=forms.CheckboxSelectMultiple, required=False
    )
    combs_at_ends = forms.ChoiceField(
        label="Do combs hold both ends?",
        choices=[("yes", "yes"), ("no", "no")],
        widget=forms.RadioSelect,
        required=False,
    )
    comb_spacing_mm = QuantityField("length", label="Combs are apart", required=False, least=5, most=2000)
    hold_down_g = QuantityField("mass", label="Lies on the strips", required=False, least=0, most=500_000)
    fill_from = forms.ChoiceField(
        label="Filled",
        choices=[("above", "from above, along the length"), ("end", "from one end")],
        widget=forms.RadioSelect,
    )
    strip_moisture_percent = QuantityField(
        "percent", label="Moisture of the strips", required=False, least=1, most=30
    )
    service_percent = QuantityField(
        "percent", label="Moisture where it will hang", least=1, most=25, help_text="A lit panel: about 7 %."
    )
    tint_percent = QuantityField("percent", label="Colour, by mass", least=0, most=30)

    FIRST = ("shop_c", "humidity_percent")
    OF_STRIPS = (
        "combs_at_ends", "comb_spacing_mm", "hold_down_g", "fill_from", "strip_moisture_percent",
        "service_percent", "board", "board_mm", "mould_checks", "weakest",
    )  # fmt: skip

    def __init__(self, *args, coat=False, **kwargs):
        super().__init__(*args, **kwargs)
        resins = Resin.objects.of(self.shop).filter(removed_at=None)
        self.fields["resin"].queryset = resins.order_by("name")
        self.coat = coat
        for name in self.OF_STRIPS if coat else ():
            self.fields[name].required = False

    def first_fields(self):
        """What is asked each time."""
        return [self[name] for name in self.FIRST]

    def more_fields(self):
        """What seldom changes; a film has neither strips nor mould."""
        hidden = {*self.FIRST, *(self.OF_STRIPS if self.coat else ())}
        return [self[name] for name in self.fields if name not in hidden]

    def more_is_wrong(self):
        """Whether the fold has to be open, since something in it is wrong."""
        return any(name not in self.FIRST for name in self.errors)


class OverruleForm(ShopForm):
    """Why a stop is overruled: a reason by button, words where it is another."""

    code = forms.ChoiceField(choices=[(code, code) for code in told.NAMES], widget=forms.HiddenInput)
    why = forms.CharField(max_length=MOST_WHY, required=False)
    words = forms.CharField(label="In your words", max_length=MOST_WORDS, required=False)

    def clean(self):
        """One of both must say something; “another reason” alone says nothing."""
        data = super().clean()
        data["reason"] = reason_of(data.get("why", ""), data.get("words", ""))
        if not data["reason"]:
            raise forms.ValidationError(SAY_WHY)
        return data
