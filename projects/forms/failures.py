"""Forms of what went wrong: the failure itself, its causes, and the lesson."""

from django import forms

from materials.models import Resin, Species
from projects.models import Cause, Failure, Pour, Step
from projects.trouble import GROUPS, TROUBLES
from workshop.forms.quantities import ShopForm

PICTURES = {"accept": "image/jpeg,image/png,image/webp,image/heic,image/heif"}


class FoldedRadios(forms.RadioSelect):
    """Radios of which some lie in a fold: a browser can't ask for what it does not show, so the form does."""

    def use_required_attribute(self, initial):
        """Never."""
        return False


def radios_by_value(bound):
    """The radios of a field by what each stands for."""
    return {str(radio.data["value"]): radio for radio in bound.subwidgets}


class FailureForm(ShopForm):
    """What went wrong, where and how bad."""

    asks_again = True
    kind = forms.ChoiceField(label="What went wrong?", choices=Failure.Kind, widget=FoldedRadios)
    where = forms.CharField(label="Where, and how it looks", max_length=300)
    severity = forms.ChoiceField(label="How bad is it?", choices=Failure.Severity, widget=forms.RadioSelect)
    photo = forms.FileField(
        label="Photo", required=False, widget=forms.ClearableFileInput(attrs=dict(PICTURES))
    )
    pour = forms.ModelChoiceField(
        label="Which pour?", queryset=Pour.objects.none(), required=False, empty_label="not from a pour"
    )
    step = forms.ModelChoiceField(
        label="If not from a pour: at which step?",
        queryset=Step.objects.none(),
        required=False,
        empty_label="at none",
    )
    done = forms.CharField(
        label="What was done about it",
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args, project, **kwargs):
        super().__init__(*args, **kwargs)
        pours = Pour.objects.of(self.shop).filter(block__project=project).select_related("block")
        self.fields["pour"].queryset = pours.order_by("-started_at", "-pk")
        self.fields["step"].queryset = Step.objects.of(self.shop).kept().filter(project=project).in_order()

    def kind_groups(self):
        """The kinds in groups: name, radios, and whether the chosen one is among them."""
        radios, chosen = radios_by_value(self["kind"]), str(self["kind"].value() or "")
        return [(name, [radios[kind] for kind in kinds], chosen in kinds) for name, kinds in GROUPS]


class CauseForm(ShopForm):
    """Why it happened, as far as anybody knows."""

    code = forms.ChoiceField(label="Why did it happen?", choices=Cause.Code, widget=FoldedRadios)
    status = forms.ChoiceField(
        label="How sure is it?",
        choices=Cause.Status,
        widget=forms.RadioSelect,
        initial=Cause.Status.SUSPECTED,
    )
    evidence = forms.CharField(
        label="What speaks for it, or against",
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args, kind, pointed=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.looked_for = TROUBLES[kind].likely
        self.pointed = [code for code in Cause.Code if code in pointed]

    def likely_radios(self):
        """What its facts point to, then what is usual: radio, what to look for, whether the facts say so."""
        radios = radios_by_value(self["code"])
        usual = [code for code in self.looked_for if code not in self.pointed]
        first = [code for code in self.looked_for if code in self.pointed]
        rest = [code for code in self.pointed if code not in self.looked_for]
        return [
            (radios[code], self.looked_for.get(code, ""), code in self.pointed)
            for code in [*first, *rest, *usual]
        ]

    def other_radios(self):
        """All others."""
        shown = {*self.looked_for, *self.pointed}
        return [radio for code, radio in radios_by_value(self["code"]).items() if code not in shown]

    def other_is_chosen(self):
        """Whether the fold of the others has to be open."""
        return str(self["code"].value() or "") in {str(radio.data["value"]) for radio in self.other_radios()}


class LessonForm(ShopForm):
    """A line for the checklist of later steps."""

    asks_again = True
    sentence = forms.CharField(
        label="What is checked from now on?",
        max_length=160,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="One line, as you would say it at the bench. It goes onto checklists.",
    )
    step_kind = forms.ChoiceField(label="Before or at which work?", choices=Step.Kind)
    resin = forms.ModelChoiceField(
        label="Only with this resin", queryset=Resin.objects.none(), required=False, empty_label="with any"
    )
    species = forms.ModelChoiceField(
        label="Only with this wood", queryset=Species.objects.none(), required=False, empty_label="with any"
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["resin"].queryset = Resin.objects.of(self.shop).filter(removed_at=None).order_by("name")
        self.fields["species"].queryset = Species.objects.of(self.shop).order_by("name")
