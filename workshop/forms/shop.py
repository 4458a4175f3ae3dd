"""The shop's own settings."""

import zoneinfo

from django import forms

from workshop.forms.quantities import QuantityField, ShopForm
from workshop.models import Shop


def clock():
    """A field for a time on the wall."""
    return forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


class ShopSettingsForm(ShopForm):
    """Name, clock, units and usual warmth of the shop."""

    name = forms.CharField(label="Name of the shop", max_length=80)
    zone = forms.CharField(label="Time zone", max_length=60, help_text="Like Europe/Berlin.")
    units = forms.ChoiceField(label="Units on screen", choices=Shop.Units, widget=forms.RadioSelect)
    currency = forms.CharField(label="Currency", max_length=3, help_text="Three letters, like EUR.")
    day_c = QuantityField("temperature", label="Usually by day", least=-10, most=50)
    night_c = QuantityField("temperature", label="Usually by night", least=-10, most=50)
    day_humidity_percent = QuantityField("percent", label="Humidity by day", least=1, most=100)
    night_humidity_percent = QuantityField("percent", label="Humidity by night", least=1, most=100)
    day_from = forms.TimeField(label="Day begins", widget=clock())
    day_to = forms.TimeField(label="Night begins", widget=clock())
    public_address = forms.URLField(
        label="Address for codes on paper",
        required=False,
        max_length=200,
        assume_scheme="https",
        help_text="What a phone should open when it reads a sheet's code. "
        "Empty: the address in use when the sheet is made.",
    )

    def clean_zone(self):
        zone = self.cleaned_data["zone"].strip()
        if zone not in zoneinfo.available_timezones():
            raise forms.ValidationError(f"“{zone}” is no time zone. They look like Europe/Berlin.")
        return zone

    def clean_currency(self):
        currency = self.cleaned_data["currency"].strip().upper()
        if not (len(currency) == 3 and currency.isascii() and currency.isalpha()):
            raise forms.ValidationError("Three letters, like EUR.")
        return currency

    def clean(self):
        values = super().clean()
        begins, ends = values.get("day_from"), values.get("day_to")
        if begins and ends and begins >= ends:
            self.add_error("day_to", "The night begins after the day does.")
        return values
