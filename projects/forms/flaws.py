"""The form of a flaw: tapped on the drawing or typed."""

from django import forms

from projects.models import Flaw
from workshop.forms.quantities import QuantityField, ShopForm

USUAL_MM = 10.0  # of a flaw whose size nobody typed; judgement, no source


class FlawForm(ShopForm):
    """What it is, where its middle lies, how large it is."""

    kind = forms.ChoiceField(label="What is it?", choices=Flaw.Kind, widget=forms.RadioSelect)
    along_mm = QuantityField("length", label="Middle, from the squared end", least=0, most=10_000)
    across_mm = QuantityField("length", label="Middle, from the jointed edge", least=0, most=10_000)
    length_mm = QuantityField("length", label="Long, along the strips", required=False, above=0, most=10_000)
    width_mm = QuantityField("length", label="Wide, across them", required=False, above=0, most=10_000)
    note = forms.CharField(
        label="Note", max_length=200, required=False, widget=forms.TextInput(attrs={"class": "words"})
    )

    PLACE = ("along_mm", "across_mm", "length_mm", "width_mm")

    def __init__(self, *args, size, pitch_mm, **kwargs):
        super().__init__(*args, **kwargs)
        self.size, self.pitch_mm = size, pitch_mm
        small = self.fields["length_mm"].say(USUAL_MM)
        self.fields["length_mm"].help_text = f"Empty: {small}; a leaned strip all along."
        self.fields["width_mm"].help_text = f"Empty: {small}; a leaned strip with its gap."

    def place_fields(self):
        """Where it lies and how large it is."""
        return [self[name] for name in self.PLACE]

    def clean(self):
        """With the size that is meant where none was typed, and a place that lies in the block."""
        data = super().clean()
        lean = data.get("kind") == Flaw.Kind.LEAN
        for name, most in zip(("along_mm", "across_mm"), self.size, strict=True):
            if name in data and data[name] > most:
                said = self.fields[name].say(most)
                self.add_error(name, f"The block ends at {said}. Measure its middle within it.")
        if lean and not self["length_mm"].data and "along_mm" not in self.errors:
            data["along_mm"], data["length_mm"] = self.size[0] / 2, self.size[0]
        data["length_mm"] = data.get("length_mm") or USUAL_MM
        data["width_mm"] = data.get("width_mm") or (self.pitch_mm if lean else USUAL_MM)
        return data
