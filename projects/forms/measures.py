"""Forms of what is measured and timed: sanding, a block out of its mould, a reading, a clock."""

from django import forms

from materials.models import Lot, Reading, Supply
from projects.actions.readings import SAYS
from projects.forms.acts import ActForm, LotField, warmth, with_area, words
from projects.forms.all_the_same import AllTheSameForm
from projects.models import Project, SandingSession
from workshop.forms.quantities import QuantitiesField, QuantityField, ShopForm
from workshop.models import Machine


class SandForm(AllTheSameForm):
    """What is sanded with; a grade means nothing without its system."""

    grade = forms.CharField(
        label="Grade",
        max_length=10,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    # "P120" says it by itself; a bare figure is refused with the two that it could be
    system = forms.ChoiceField(
        label="On its back", choices=Supply.System, widget=forms.RadioSelect, required=False
    )
    side = forms.ChoiceField(label="Which side", choices=SandingSession.Side, widget=forms.RadioSelect)
    wet = forms.BooleanField(label="Wet", required=False)
    machine = forms.ModelChoiceField(
        label="With", queryset=Machine.objects.none(), required=False, empty_label="hand or hand-held sander"
    )
    area_m2 = QuantityField("area", label="Area", required=False, above=0, most=100)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        sanders = Machine.objects.of(self.shop).in_use().filter(kind=Machine.Kind.SANDER)
        self.fields["machine"].queryset = sanders.order_by("name", "pk")

    def clean(self):
        """The area as it is stored."""
        return with_area(super().clean())


class StopForm(ActForm):
    """What a session took."""

    done_says = "All grades on all sides are sanded"
    discs = QuantityField("count", label="Discs or sheets", required=False, least=0, most=500, whole=True)
    removed_mm = QuantityField("length", label="Taken off", required=False, least=0, most=50)


class DemouldForm(ActForm):
    """What a block measures as it leaves the mould."""

    done_says = "It is measured"
    length_mm = QuantityField("length", label="Length along the strips", required=False, above=0, most=5000)
    width_mm = QuantityField("length", label="Width across the strips", required=False, above=0, most=5000)
    depth_mm = QuantityField("length", label="Depth", required=False, above=0, most=500)
    bow_mm = QuantityField("length", label="Bow over its length", required=False, least=0, most=200)
    hardness = QuantityField("parts", label="Hardness, Shore D", required=False, least=0, most=100)
    temp_c = warmth(required=False)

    def __init__(self, *args, planned, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["temp_c"].label = "Warmth of the block"
        for name, value in planned.items():
            self.fields[name].help_text = f"planned {self.fields[name].say(value)}"


LIMITS = {
    Reading.Kind.TEMPERATURE: (-30, 60),
    Reading.Kind.HUMIDITY: (1, 100),
    Reading.Kind.BLOCK: (-30, 250),
    Reading.Kind.MOISTURE: (0, 100),
    Reading.Kind.MASS: (0.01, 1_000_000),
    Reading.Kind.THICKNESS: (0.01, 1000),
    Reading.Kind.WIDTH: (0.01, 10_000),
    Reading.Kind.LENGTH: (0.01, 10_000),
    Reading.Kind.BOW: (0, 1000),
    Reading.Kind.HARDNESS: (0, 100),
}
"""What a reading can be, in its unit of storage; beyond is a slip of the finger."""
OF_A_BUNDLE = {
    Reading.Kind.MOISTURE,
    Reading.Kind.MASS,
    Reading.Kind.THICKNESS,
    Reading.Kind.WIDTH,
    Reading.Kind.LENGTH,
}
"""Kinds that may be of something on the shelf."""
SEVERAL = {Reading.Kind.THICKNESS, Reading.Kind.MOISTURE, Reading.Kind.HARDNESS}
"""Kinds that are measured in several places, one after the other."""


class ReadingForm(AllTheSameForm):
    """A measured value of one kind, or several of it."""

    asks_again = True
    value = forms.CharField(label="")
    lot = LotField(label="Of what on the shelf", empty_label="of nothing on the shelf")
    text = words()

    def __init__(self, *args, kind, **kwargs):
        super().__init__(*args, **kwargs)
        self.kind = Reading.Kind(kind)
        self.fields["value"] = self.value_field()
        self.fields["value"].widget.attrs["aria-describedby"] = "id_value_says"
        if self.kind in OF_A_BUNDLE:
            self.fields["lot"].system = self.shop.units
            rows = Lot.objects.of(self.shop).here().with_on_hand().filter(kind__in=Lot.WOODS)
            self.fields["lot"].queryset = rows.select_related("species").order_by("code", "pk")
        else:
            del self.fields["lot"]

    @property
    def takes_several(self):
        """Whether several values can be typed in a row."""
        return self.kind in SEVERAL

    def value_field(self):
        """The field that reads this kind in the shop's units."""
        least, most = LIMITS[self.kind]
        made = QuantitiesField if self.takes_several else QuantityField
        label = self.kind.label.capitalize()
        field = made(SAYS.get(self.kind, "parts"), label=label, least=least, most=most)
        if self.takes_several:
            field.help_text = "Several at once: with blanks, semicolons or line breaks between them."
        field.system = self.shop.units
        return field

    def clean(self):
        """With its kind, as the act wants it."""
        return {"lot": None, **super().clean(), "kind": self.kind}


class ClockForm(ShopForm):
    """A clock of one's own."""

    asks_again = True
    name = forms.CharField(
        label="What for",
        max_length=80,
        widget=forms.TextInput(attrs={"class": "words", "autocomplete": "off"}),
    )
    minutes = QuantityField("minutes", label="How long", least=1, most=60 * 24 * 60)


class ShopClockForm(ClockForm):
    """A clock of one's own, for a project or for none."""

    project = forms.ModelChoiceField(
        label="For which project", queryset=Project.objects.none(), required=False, empty_label="for none"
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["project"].queryset = Project.objects.of(self.shop).live().order_by("-code", "-pk")
