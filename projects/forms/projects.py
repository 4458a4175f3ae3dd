"""Forms of projects and their blocks."""

from django import forms

from materials.models import Resin, Species
from projects.forms.all_the_same import AllTheSameForm
from projects.models import Block, Project, Route
from workshop.forms.quantities import QuantityField, ShopForm

HOMOGENEOUS_MM = 6  # beyond it, heat no longer evens out between strip and gap


class ProjectForm(ShopForm):
    """A new piece: a title is enough."""

    asks_again = True
    title = forms.CharField(label="What is it?", max_length=120)
    due_on = forms.DateField(
        label="Wanted by", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    purpose = forms.ChoiceField(
        label="What is it for?", required=False, choices=Project.Purpose, widget=forms.RadioSelect
    )
    route = forms.ModelChoiceField(
        label="Route", queryset=Route.objects.none(), required=False, empty_label="the usual steps"
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        kept = Route.objects.of(self.shop).kept()
        self.fields["route"].queryset = kept
        if not kept.exists():
            del self.fields["route"]


class BlockForm(AllTheSameForm):
    """The figures a block is computed from, typed as they are said: `2 mm`, `1/16 in`."""

    strip_mm = QuantityField("length", label="Strip", least=0.2, most=50)
    gap_mm = QuantityField(
        "length", label="Gap", least=0.3, most=20, why="thinner ones resin does not run into"
    )
    finished_mm = QuantityField("length", label="Finished thickness", above=0, most=300)
    strips = QuantityField("count", label="Strips", least=2, most=5000, whole=True)
    length_mm = QuantityField("length", label="Length", above=0, most=5000)
    species = forms.ModelChoiceField(
        label="Wood", queryset=Species.objects.none(), required=False, empty_label="not yet"
    )
    resin = forms.ModelChoiceField(
        label="Resin", queryset=Resin.objects.none(), required=False, empty_label="not yet"
    )
    flatten_mm = QuantityField("length", label="Flattened away, each face", least=0, most=20)
    edge_mm = QuantityField("length", label="Cut off, each long edge", least=0, most=50)
    rim_mm = QuantityField("length", label="Rim of resin round the stack", least=0, most=50)
    over_mm = QuantityField("length", label="Resin over the strips", least=0, most=20)
    film_percent = QuantityField("percent", label="Left in the cups", least=0, most=50)
    soak_percent = QuantityField("percent", label="Soaks into the wood", least=0, most=50)

    FIRST = ("strip_mm", "gap_mm", "finished_mm", "strips", "length_mm", "species", "resin")
    MORE = ("flatten_mm", "edge_mm", "rim_mm", "over_mm", "film_percent", "soak_percent")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["species"].queryset = Species.objects.of(self.shop).order_by("name")
        self.fields["resin"].queryset = Resin.objects.of(self.shop).filter(removed_at=None).order_by("name")

    def first_fields(self):
        """What a block is."""
        return [self[name] for name in self.FIRST]

    def more_fields(self):
        """What has a good guess."""
        return [self[name] for name in self.MORE]

    def more_is_wrong(self):
        """Whether the fold has to be open, since something in it is wrong."""
        return any(name in self.errors for name in self.MORE)

    def figures(self):
        """What a block keeps of it."""
        return {name: self.cleaned_data[name] for name in self.FIRST + self.MORE}


class MoreBlocksForm(ShopForm):
    """How many blocks are added; one where nobody says."""

    many = forms.IntegerField(label="Blocks", required=False, min_value=1, max_value=Block.MOST)

    def clean(self):
        """One where nothing is said; the field has no place of its own for a sentence."""
        data = super().clean()
        if self.errors:
            raise forms.ValidationError(f"From 1 to {Block.MOST} blocks can be added at once.")
        return {**data, "many": data["many"] or 1}
