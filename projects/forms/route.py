"""Forms of what ties steps together: a link, parts of a step or of a glue-up, a route to keep."""

from django import forms

from projects.forms.steps import MOST_MINUTES
from projects.models import Route, Step, StepLink
from workshop.forms.quantities import QuantityField, ShopForm
from workshop.templatetags.figures import hours


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
    law = forms.ChoiceField(label="Its hours", choices=StepLink.Law, widget=forms.RadioSelect)
    at_c = QuantityField("temperature", label="Hours of a sheet at", least=0, most=60, required=False)

    def __init__(self, *args, step, **kwargs):
        super().__init__(*args, **kwargs)
        earlier = step.project.steps.kept().exclude(pk=step.pk).in_order()
        self.fields["before"].queryset = earlier.select_related(None)
        self.fields["opens"].help_text = "As soon as it ends, where nothing is said."
        self.fields["closes"].help_text = "Any time, where nothing is said."
        self.fields["hard"].help_text = "As between pours in a filled mould, where nobody can sand."
        self.fields["law"].choices = [(law.value, law.label) for law in StepLink.Law]
        self.fields["law"].help_text = "A sheet's hours follow the shop's warmth, by the ten-degree rule."
        self.fields["at_c"].help_text = "Only for hours that follow the warmth."

    def clean(self):
        """A window closes after it opens, a hard one closes, and hours that follow the warmth know theirs."""
        data = super().clean()
        opens, closes = data.get("opens") or 0, data.get("closes")
        if closes is not None and closes < opens:
            self.add_error("closes", "It would close before it opens. Give a later end, or none.")
        if data.get("hard") and closes is None and "closes" not in self.errors:
            self.add_error("closes", "Say when it closes: only then nothing helps afterwards.")
        follows = data.get("law") == StepLink.Law.TEN_DEGREE
        if follows and data.get("at_c") is None and "at_c" not in self.errors:
            self.add_error("at_c", "Say at which warmth the sheet gives these hours.")
        if data.get("law") == StepLink.Law.WALL and data.get("at_c") is not None:
            self.add_error(
                "at_c", "Hours as they are need no warmth. Empty this, or let them follow the warmth."
            )
        return data

    def window(self):
        """The window as it is stored."""
        data = self.cleaned_data
        closes = data["closes"]
        return {
            "open_min": round(data["opens"] or 0),
            "close_min": None if closes is None else round(closes),
            "hard": data["hard"],
            "at_c": data["at_c"],
            "law": StepLink.Law(data["law"]),
        }


def window_of(row):
    """A link as its form shows it."""
    return {
        "before": row.before,
        "opens": said_hours(row.open_min) if row.open_min else "",
        "closes": "" if row.close_min is None else said_hours(row.close_min),
        "hard": row.hard,
        "law": row.law,
        "at_c": row.at_c,
    }


def said_hours(minutes):
    """Minutes as one types them."""
    return hours(minutes).replace("\u00a0", " ")


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
