"""Forms of the route: a step, a line of its checklist, why it is skipped, how long it waits."""

from django import forms

from projects.forms.all_the_same import AllTheSameForm
from projects.models import Step
from workshop.forms.quantities import QuantityField, ShopForm
from workshop.models import Machine, Member

MOST_MINUTES = 90 * 24 * 60


class StepForm(ShopForm):
    """One unit of work."""

    title = forms.CharField(label="What is done", max_length=120)
    kind = forms.ChoiceField(label="Kind of work", choices=Step.Kind)
    mode = forms.ChoiceField(label="It is", choices=Step.Mode, widget=forms.RadioSelect)
    minutes = QuantityField("minutes", label="It takes", above=0, most=MOST_MINUTES)
    people = QuantityField("count", label="Hands of", least=1, most=20, whole=True)
    assignee = forms.ModelChoiceField(
        label="Whose", queryset=Member.objects.none(), required=False, empty_label="anybody’s"
    )
    machine = forms.ModelChoiceField(
        label="With", queryset=Machine.objects.none(), required=False, empty_label="no machine"
    )

    def __init__(self, *args, begun=False, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["assignee"].queryset = Member.objects.of(self.shop).present().order_by("name", "pk")
        self.fields["machine"].queryset = Machine.objects.of(self.shop).in_use().order_by("name", "pk")
        if begun:
            del self.fields["kind"]

    def clean_minutes(self):
        """Whole minutes are kept."""
        return max(1, round(self.cleaned_data["minutes"]))


class LineForm(ShopForm):
    """A line of a checklist."""

    text = forms.CharField(label="One more thing to check", max_length=160)


class SkipForm(ShopForm):
    """Why a step is skipped."""

    why = forms.CharField(label="Why is it skipped?", max_length=300)


class TakeBackForm(ShopForm):
    """Why an act is taken back."""

    WHYS = (
        ("Wrong figure", "a figure is wrong"),
        ("Wrong step or project", "it belongs to another step or project"),
        ("It did not happen", "it did not happen"),
        ("Written twice", "it stands here twice"),
    )
    why = forms.ChoiceField(
        label="Why?",
        choices=WHYS,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose why it is taken back."},
    )
    text = forms.CharField(label="In your words", required=False, max_length=200)

    def sentence(self):
        """The reason as the log keeps it."""
        words = self.cleaned_data["text"].strip().rstrip(".")
        return f"{self.cleaned_data['why']}: {words}" if words else self.cleaned_data["why"]


class RememberForm(AllTheSameForm):
    """What there is to remember of a step."""

    text = forms.CharField(
        label="Anything to remember?",
        required=False,
        max_length=800,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class WaitForm(AllTheSameForm):
    """How long something takes that goes by itself."""

    minutes = QuantityField("minutes", label="It takes", above=0, most=MOST_MINUTES)
