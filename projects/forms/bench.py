"""Forms of the bench: few fields, big, and forgiving about how a figure is typed."""

from django import forms
from django.utils import timezone

from materials.models import Lot
from projects.forms.acts import warmth
from projects.forms.all_the_same import AllTheSameForm
from projects.models import Sheet
from workshop.forms.quantities import QuantityField, ShopForm

LEAST_G = 0.01  # what a fine scale shows last


class CupForm(AllTheSameForm):
    """The first half of a cup: A weighed, and how warm it is, before the parts meet."""

    asks_again = True
    a_g = QuantityField("mass", label="A weighed", least=LEAST_G, most=50_000)
    room_c = warmth()
    humidity_percent = QuantityField(
        "percent", label="Humidity of the air", required=False, least=1, most=100
    )
    lot_a = forms.ModelChoiceField(label="Bottle of A", queryset=Lot.objects.none(), empty_label=None)
    lot_b = forms.ModelChoiceField(label="Bottle of B", queryset=Lot.objects.none(), empty_label=None)
    wanted_a_g = forms.FloatField(widget=forms.HiddenInput, min_value=0.001)

    def __init__(self, *args, resin, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["lot_a"].queryset = Lot.objects.of(self.shop).bottles(resin, "A")
        self.fields["lot_b"].queryset = Lot.objects.of(self.shop).bottles(resin, "B")


class WeighForm(ShopForm):
    """One part as the scale shows it, the cup tared."""

    grams = QuantityField("mass", label="weighed", least=LEAST_G, most=50_000)

    def __init__(self, *args, part, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["grams"].label = f"{part} weighed"


class PourForm(AllTheSameForm):
    """What went into the mould."""

    asks_again = True
    depth_mm = QuantityField("length", label="Depth of this pour", above=0, most=500)
    text = forms.CharField(
        label="Anything to remember?",
        required=False,
        max_length=800,  # the entry of the log holds 1000, and says the pour before it
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    same = forms.BooleanField(required=False)
    more = forms.BooleanField(label="More comes: the next cup, or another pour on top", required=False)

    def __init__(self, *args, liquid=None, **kwargs):
        super().__init__(*args, **kwargs)
        if liquid is None:
            del self.fields["same"]
        else:
            poured = timezone.localtime(liquid.poured_at, self.shop.tz)
            self.fields[
                "same"
            ].label = f"It belongs to pour {liquid.lift} of {poured:%H:%M}, which still flows"
            self.fields["same"].initial = True


class PhotoForm(ShopForm):
    """A photo for the log."""

    asks_again = True
    photo = forms.FileField(
        label="Photo",
        widget=forms.ClearableFileInput(
            attrs={"accept": "image/jpeg,image/png,image/webp,image/heic,image/heif"}
        ),
    )
    text = forms.CharField(label="What it shows", required=False, max_length=200)


class NoteForm(ShopForm):
    """A line for the log."""

    asks_again = True
    text = forms.CharField(label="What happened", max_length=1000, widget=forms.Textarea(attrs={"rows": 3}))


class SettleForm(ShopForm):
    """What was done when a clock rang."""

    how = forms.CharField(label="What was done", max_length=200)


class SheetForm(ShopForm):
    """Of which block a job sheet is, where there are several, and its paper."""

    paper = forms.ChoiceField(
        label="Paper", choices=Sheet.Paper, widget=forms.RadioSelect, initial=Sheet.Paper.A4
    )
    letter = forms.ChoiceField(label="Of which block", widget=forms.RadioSelect)

    def __init__(self, *args, blocks, **kwargs):
        super().__init__(*args, **kwargs)
        self.blocks = {block.letter: block for block in blocks}
        self.fields["letter"].choices = [(letter, str(block)) for letter, block in self.blocks.items()]
        self.fields["letter"].initial = next(iter(self.blocks))
        if len(self.blocks) < 2:
            del self.fields["letter"]

    def block(self):
        """The block that was chosen; the only one where there was nothing to choose."""
        return self.blocks[self.cleaned_data.get("letter") or next(iter(self.blocks))]
