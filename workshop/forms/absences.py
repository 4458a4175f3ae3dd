"""Days on which somebody is away."""

from datetime import timedelta

from django import forms
from django.utils import timezone

from workshop.forms.quantities import ShopForm

LONGEST = timedelta(days=366)
FARTHEST = timedelta(days=730)
NOT_HERE = "Choose somebody who works in this shop."
OWN_ONLY = "Makers enter their own days away; an owner enters anybody’s."


def day_field(label):
    """A field for a date."""
    return forms.DateField(label=label, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))


class AwayForm(ShopForm):
    """Who is away, from when to when. Who may speak for themselves only has no choice."""

    who = forms.ChoiceField(label="Who")
    first_day = day_field("First day away")
    last_day = day_field("Last day away")
    note = forms.CharField(
        label="What for",
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"class": "words", "autocomplete": "off"}),
    )

    def __init__(self, *args, people, **kwargs):
        self.people = {str(person.key): person for person in people}
        super().__init__(*args, **kwargs)
        who = self.fields["who"]
        who.choices = [(key, person.name) for key, person in self.people.items()]
        who.error_messages["invalid_choice"] = NOT_HERE
        if len(self.people) == 1:
            who.initial = next(iter(self.people))
            who.widget = forms.HiddenInput()

    def clean_who(self):
        return self.people[self.cleaned_data["who"]]

    def clean(self):
        typed = super().clean()
        if "who" in self.errors and self.fields["who"].widget.is_hidden:
            self.add_error(None, OWN_ONLY)
        first, last = typed.get("first_day"), typed.get("last_day")
        if first and last:
            wrong = wrong_with(first, last, timezone.localdate())
            if wrong:
                self.add_error("last_day", wrong)
        return typed


def wrong_with(first, last, today):
    """What can't be right about these days, in words; empty for nothing."""
    if last < first:
        return "The last day lies before the first. Turn them round."
    if last < today:
        return "These days are over already. Enter those to come, or those that last until now."
    if last - first > LONGEST:
        return "That is longer than a year. Who stays away so long leaves the shop under People instead."
    if first - today > FARTHEST:
        return "That is more than two years ahead. No plan looks so far."
    return ""
