"""What the shop buys again, as a form: tape and the like, finishes, abrasives."""

from django import forms

from materials import advice
from materials.forms.coming_in import words_field
from materials.forms.resins import whole_number
from materials.models import Supply
from workshop.forms.quantities import QuantityField, ShopForm

FIRST_UNIT = {
    "consumable": Supply.Unit.LEVEL,
    "finish": Supply.Unit.MILLILITRE,
    "abrasive": Supply.Unit.PIECE,
}
OWN_FIELDS = {
    "finish": ("coverage_m2_l", "recoat_h", "recoat_close_h", "recoat_c", "penetrating"),
    "abrasive": ("grade", "grade_system"),
}
"""The fields that only one kind has."""


class SupplyForm(ShopForm):
    """A supply of one kind. An abrasive has its grade with its system, always."""

    name = forms.CharField(
        label="What it is called", max_length=80, widget=forms.TextInput(attrs={"class": "words"})
    )
    grade = forms.CharField(label="Grade", max_length=12, help_text="As it is printed: P400 or CAMI 400.")
    grade_system = forms.ChoiceField(
        label="Its system, if the grade is a bare number",
        required=False,
        choices=Supply.System,
        widget=forms.RadioSelect,
    )
    unit = forms.ChoiceField(label="It is counted in", choices=Supply.Unit, widget=forms.RadioSelect)
    coverage_m2_l = QuantityField("parts", label="A litre covers, in m²", required=False, least=0.5, most=200)
    recoat_h = QuantityField("hours", label="Next coat not before", required=False, least=0.1, most=720)
    recoat_close_h = QuantityField("hours", label="and not after", required=False, least=0.1, most=720)
    recoat_c = QuantityField("temperature", label="These hours are for", initial=20.0, least=5, most=45)
    penetrating = forms.BooleanField(
        label="It soaks in: an oil. It takes to the wood, and is wiped off the resin", required=False
    )
    pack = QuantityField("parts", label="One pack holds", required=False, above=0, most=1_000_000)
    lead_days = whole_number("Days on the road", 365)
    maker = words_field("Maker", 80)
    note = words_field("Note", 300)

    def __init__(self, *args, kind, **kwargs):
        self.kind = kind
        super().__init__(*args, **kwargs)
        others = {name for owner, names in OWN_FIELDS.items() if owner != kind for name in names}
        for name in others:
            del self.fields[name]
        self.fields["unit"].initial = FIRST_UNIT[kind]
        unit = (
            (self.data.get("unit") if self.is_bound else None) or self.initial.get("unit") or FIRST_UNIT[kind]
        )
        self.fields["pack"].kind = {"g": "mass", "ml": "volume"}.get(unit, "count")

    def clean(self):
        data = super().clean()
        if "grade" in data:
            self.clean_the_grade(data)
        opens, closes = data.get("recoat_h"), data.get("recoat_close_h")
        if opens and closes and closes <= opens:
            self.add_error("recoat_close_h", "The window would close before it opens.")
        if data.get("unit") == Supply.Unit.LEVEL:
            data["pack"] = None  # what is not counted comes in packs of one
        if not self.errors and self.is_taken(data):
            self.add_error("name", "This is on the list already.")
        return data

    def clean_the_grade(self, data):
        """The grade as number and system; a bare number is asked about."""
        grade = advice.grade(data["grade"], data.get("grade_system", ""))
        if grade.problem:
            self.add_error("grade", grade.problem)
        else:
            data["grade"], data["grade_system"] = str(grade.number), grade.system

    def is_taken(self, data):
        """Whether another supply has this name and grade."""
        same = Supply.objects.of(self.shop).filter(
            name__iexact=data["name"],
            grade=data.get("grade", ""),
            grade_system=data.get("grade_system", ""),
        )
        return same.exclude(pk=self.initial.get("pk")).exists()
