"""What a project wants besides what its blocks say, as a form."""

from django import forms

from materials.forms.coming_in import amount_field
from materials.models import Supply
from projects.models import Step
from projects.models.needs import NOT_OVER
from workshop.forms.quantities import ShopForm


class WriteInForm(ShopForm):
    """Something of the list of supplies, how much of it, and for which step."""

    asks_again = True
    supply = forms.ModelChoiceField(label="What", queryset=Supply.objects.none(), empty_label="choose")
    amount = forms.CharField(
        label="How much",
        required=False,
        max_length=40,
        help_text="In its own unit; of what is not counted, leave it empty.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    step = forms.ModelChoiceField(
        label="For which step", queryset=Step.objects.none(), required=False, empty_label="for the whole"
    )

    def __init__(self, *args, project, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["supply"].queryset = Supply.objects.of(self.shop).kept().in_order()
        steps = Step.objects.of(self.shop).kept().filter(project=project, state__in=NOT_OVER)
        self.fields["step"].queryset = steps.in_order()

    def clean(self):
        data = super().clean()
        supply = data.get("supply")
        if supply is None or "amount" in self.errors:
            return data
        if supply.unit == Supply.Unit.LEVEL:
            data["amount"] = None  # enough of it is wanted, not a number
            return data
        try:
            data["amount"] = amount_field(supply, self.shop.units).clean(data["amount"])
        except forms.ValidationError as problem:
            self.add_error("amount", problem)
        return data
