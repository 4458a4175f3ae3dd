"""A wood of the shop's own, as a form."""

from django import forms

from materials.forms.coming_in import words_field
from materials.models import Species
from workshop.forms.quantities import QuantityField, ShopForm


class CoefficientField(forms.FloatField):
    """A small number as handbooks print it, with all its places; a comma is a decimal point."""

    widget = forms.TextInput
    default_error_messages = {"invalid": "This is no number. Write it like 0.0024."}

    def __init__(self, **kwargs):
        super().__init__(required=False, min_value=0.0001, max_value=0.01, **kwargs)
        self.widget.attrs.update({"inputmode": "decimal", "autocomplete": "off"})

    def to_python(self, value):
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class WoodForm(ShopForm):
    """A wood that no handbook row of ours has. Figures may be left out; what is known has its source."""

    name = forms.CharField(
        label="Name of the wood", max_length=80, widget=forms.TextInput(attrs={"class": "words"})
    )
    specific_gravity = QuantityField("parts", label="Specific gravity", required=False, least=0.1, most=1.4)
    modulus_gpa = QuantityField(
        "parts", label="Stiffness along the grain, in GPa", required=False, least=1, most=40
    )
    radial = CoefficientField(label="Movement across the rings, for 1 %")
    tangential = CoefficientField(
        label="Movement along the rings, for 1 %",
        help_text="As handbooks print it: 0.0024 is 0.24 mm on a width of 100 mm.",
    )
    source = words_field("Where the figures come from", 300)

    FIGURES = ("specific_gravity", "modulus_gpa", "radial", "tangential")

    def clean_name(self):
        name = self.cleaned_data["name"].strip()
        same = Species.objects.of(self.shop).filter(name__iexact=name).exclude(pk=self.initial.get("pk"))
        if same.exists():
            raise forms.ValidationError(f"There is a wood called “{name}” already.")
        return name

    def clean(self):
        data = super().clean()
        if any(data.get(name) is not None for name in self.FIGURES) and not data.get("source"):
            self.add_error("source", "Say where the figures come from; “from memory” is an answer.")
        return data
