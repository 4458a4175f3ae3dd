"""What a resin's data sheet says, as a form."""

from django import forms

from materials.models import Resin
from workshop.forms.quantities import QuantityField, ShopForm

MOST_RATIO = 200  # common practice, no source: a hundredth of hardener is the least that is sold
SECOND = ("second_pot_minutes", "second_pot_mass_g", "second_pot_c")


def whole_number(label, most, **kwargs):
    """A field for a whole number of days or months."""
    typed = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
    return forms.IntegerField(
        label=label, required=False, min_value=0, max_value=most, widget=typed, **kwargs
    )


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
    pot_c = QuantityField("temperature", label="and at", initial=25.0, least=5, most=45)
    pot_meaning = forms.ChoiceField(
        label="Pot life means",
        choices=Resin.PotMeaning,
        widget=forms.RadioSelect,
        initial=Resin.PotMeaning.THICK,
    )
    second_pot_minutes = QuantityField(
        "minutes", label="A second pot life on the sheet", required=False, least=1, most=2880
    )
    second_pot_mass_g = QuantityField("mass", label="that one with", required=False, least=5, most=5000)
    second_pot_c = QuantityField("temperature", label="and at", required=False, least=5, most=45)
    cup_peak_c = QuantityField(
        "temperature", label="Such a cup gets as hot as", required=False, least=20, most=300
    )
    viscosity_pa_s = QuantityField(
        "viscosity", label="Mixed, it is as thick as", required=False, least=0.01, most=100
    )
    depth_c = QuantityField("temperature", label="The deepest pour holds at", initial=25.0, least=5, most=45)
    full_cure_h = QuantityField("hours", label="Fully cured after", required=False, least=1, most=1440)
    recoat_c = QuantityField("temperature", label="The hours above are for", initial=25.0, least=5, most=45)
    min_c = QuantityField("temperature", label="Work not below", required=False, least=-5, most=40)
    max_c = QuantityField("temperature", label="Work not above", required=False, least=5, most=60)
    max_humidity_percent = QuantityField(
        "percent", label="Work not damper than", required=False, least=20, most=100
    )
    refractive_index = QuantityField("parts", label="Refractive index", initial=1.55, least=1.3, most=1.8)
    pack_g = QuantityField("mass", label="A kit mixes to", required=False, above=0, most=1_000_000)
    lead_days = whole_number("Days on the road", 365)
    shelf_months_closed = whole_number("Keeps closed, in months", 240)
    shelf_months_open = whole_number("Keeps open, in months", 240)
    ratio_tolerance_percent = QuantityField(
        "percent",
        label="The ratio may be off by",
        initial=2.0,
        above=0,
        most=20,
        help_text="2 % where the sheet says nothing (from memory).",
    )
    sheet = forms.FileField(
        label="The sheet itself",
        required=False,
        widget=forms.FileInput(attrs={"accept": "application/pdf"}),
        help_text="A PDF of 20 MB or less.",
    )
    no_sheet = forms.BooleanField(label="Take the kept sheet away", required=False)

    PAPER = ("sheet", "no_sheet")
    WIDE = ("name", "pot_minutes", "maker", "second_pot_minutes")
    """Fields with a row of their own, so that those behind them that belong together share one."""

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

    @classmethod
    def figures(cls):
        """The names of the fields that are figures of the row."""
        return [name for name in cls.base_fields if name not in cls.PAPER]

    def first_fields(self):
        """The fields that every sheet fills."""
        return [self[name] for name in self.FIRST]

    def more_fields(self):
        """The fields with a default, behind a fold; radios apart."""
        radios = {"basis", "use", "pot_meaning"}
        apart = {*self.FIRST, *self.PAPER, *radios}
        return [self[name] for name in self.fields if name not in apart]

    def more_is_wrong(self):
        """Whether the fold has to be open, since something in it is wrong."""
        return any(name in self.errors for name in self.fields if name not in {*self.FIRST, *self.PAPER})

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
        self.check_second_pot_life(data)
        return data

    def check_second_pot_life(self, data):
        """A second pot life means something with its mass and its warmth only."""
        given = [name for name in SECOND if data.get(name) is not None]
        for name in SECOND if given and not any(name in self.errors for name in SECOND) else ():
            if name not in given:
                self.add_error(name, "Time, mass and warmth belong together: fill in all three, or none.")

    def values(self):
        """What goes into the row; the paper itself is taken in by the page."""
        return {name: value for name, value in self.cleaned_data.items() if name not in self.PAPER}
