"""Opening hours as people type them: `8:00–12:30, 13–17`."""

from django import forms

from workshop import hours
from workshop.forms.quantities import ShopForm
from workshop.models import OpeningHours


class HoursField(forms.CharField):
    """Text in, a list of (opens, closes) out; empty means shut."""

    def __init__(self, **kwargs):
        super().__init__(max_length=120, **kwargs)
        self.widget.attrs.update({"autocomplete": "off", "spellcheck": "false"})

    def to_python(self, value):
        try:
            return hours.parse(super().to_python(value))
        except hours.NotHours as problem:
            raise forms.ValidationError(str(problem)) from problem

    def validate(self, value):
        """An empty list is an answer: shut."""

    def run_validators(self, value):
        """None of a text field's: the value is a list by now."""

    def prepare_value(self, value):
        return hours.said(value) if isinstance(value, list) else value


class WeekForm(ShopForm):
    """A line for each weekday."""

    use_required_attribute = False  # an empty line means shut

    def __init__(self, *args, week, **kwargs):
        super().__init__(*args, **kwargs)
        for day, label in OpeningHours.Weekday.choices:
            self.fields[label.lower()] = HoursField(label=label, initial=week[day])
            self.fields[label.lower()].widget.attrs["aria-describedby"] = f"id_{label.lower()}_says"

    def week(self):
        """What was typed: {weekday: stretches}."""
        return {day: self.cleaned_data[label.lower()] for day, label in OpeningHours.Weekday.choices}


class DayForm(ShopForm):
    """A date that differs from its weekday."""

    use_required_attribute = False

    date = forms.DateField(label="Date", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    hours = HoursField(label="Open", help_text="Like 10–14. Empty: shut all day.")
    note = forms.CharField(
        label="What for",
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"class": "words", "autocomplete": "off"}),
    )
