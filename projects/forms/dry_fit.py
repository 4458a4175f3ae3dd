"""The form of the map: which pieces, and how they lie."""

import re

from django import forms

from projects.models import PieceMark
from workshop.forms.quantities import ShopForm

MARK = re.compile(r"^(?P<state>[a-z]+)(?P<numbers>( \d{1,6}){1,20000})$")


class MarkForm(ShopForm):
    """One button says both: `laid 1 2 3`."""

    mark = forms.CharField(required=False, max_length=140_000)
    version = forms.CharField(required=False, max_length=64)

    def clean_mark(self):
        """The state and the numbers."""
        found = MARK.match(self.cleaned_data["mark"])
        if not found or found["state"] not in PieceMark.State.values:
            raise forms.ValidationError("Press one of the buttons: it says which pieces lie.")
        return found["state"], [int(number) for number in found["numbers"].split()]

    def clean(self):
        """The one sentence of this form stands above it, since it has no field to stand at."""
        data = super().clean()
        for sentence in self.errors.pop("mark", []):
            self.add_error(None, sentence)
        return data
