"""Forms of what ties steps together: a link, parts of a step or of a glue-up, a route to keep."""

from django import forms

from projects.forms.steps import MOST_MINUTES
from projects.models import Route, Step, StepLink
from workshop.forms.quantities import QuantityField, ShopForm


class SplitForm(ShopForm):
    """In how many parts."""

    parts = QuantityField("count", label="In how many parts?", least=2, most=12, whole=True)


class LinkForm(ShopForm):
    """What a step waits for, and its window."""

    before = forms.ModelChoiceField(
        label="It waits for", queryset=Step.objects.none(), empty_label="choose a step"
    )
    opens = QuantityField("minutes", label="Opens, after its end", least=0, most=MOST_MINUTES, required=False)
    closes = QuantityField(
        "minutes", label="Closes, after its end", above=0, most=MOST_MINUTES, required=False
    )
    hard = forms.BooleanField(label="Nothing helps once it has closed", required=False)
    at_c = QuantityField("temperature", label="Hours of a sheet at", least=0, most=60, required=False)

    def __init__(self, *args, step, **kwargs):
        super().__init__(*args, **kwargs)
        earlier = step.project.steps.kept().exclude(pk=step.pk).in_order()
        self.fields["before"].queryset = earlier.select_related(None)
        self.fields["opens"].help_text = "As soon as it ends, where nothing is said."
        self.fields["closes"].help_text = "Any time, where nothing is said."
        self.fields["hard"].help_text = "As between pours in a filled mould, where nobody can sand."
        self.fields["at_c"].help_text = "Then they follow the warmth of the shop, by the ten-degree rule."

    def clean(self):
        """A window closes after it opens, and a hard one closes."""
        data = super().clean()
        opens, closes = data.get("opens") or 0, data.get("closes")
        if closes is not None and closes < opens:
            self.add_error("closes", "It would close before it opens. Give a later end, or none.")
        if data.get("hard") and closes is None and "closes" not in self.errors:
            self.add_error("closes", "Say when it closes: only then nothing helps afterwards.")
        return data

    def window(self):
        """The window as it is stored."""
        data = self.cleaned_data
        at_c, closes = data["at_c"], data["closes"]
        return {
            "open_min": round(data["opens"] or 0),
            "close_min": None if closes is None else round(closes),
            "hard": data["hard"],
            "at_c": at_c,
            "law": StepLink.Law.WALL if at_c is None else StepLink.Law.TEN_DEGREE,
        }


class PartsForm(ShopForm):
    """By what a glue-up is taken apart, how quickly pieces are placed, and how long the glue is open."""

    way = forms.ChoiceField(label="By", choices=(), widget=forms.RadioSelect)
    open_min = QuantityField("minutes", label="The glue is open for", least=1, most=24 * 60)

    def __init__(self, *args, ways, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["way"].choices = ways


class RouteForm(ShopForm):
    """The name under which a route is kept."""

    name = forms.CharField(
        label="What is this route called?", max_length=Route._meta.get_field("name").max_length
    )

    def clean_name(self):
        """Without spaces at its ends."""
        return self.cleaned_data["name"].strip()
