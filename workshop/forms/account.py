"""A person's own matters: password, further shops."""

import zoneinfo

from django import forms
from django.contrib.auth import password_validation

from workshop.forms.people import new_password


class ResetForm(forms.Form):
    """A new password, for somebody who came by a link."""

    new = new_password("The new password")

    def __init__(self, *args, user, **kwargs):
        super().__init__(*args, **kwargs)
        self.user = user

    def clean_new(self):
        password = self.cleaned_data["new"]
        password_validation.validate_password(password, self.user)
        return password


class PasswordForm(ResetForm):
    """A new password, for somebody who knows the old one."""

    old = forms.CharField(
        label="The password until now",
        strip=False,
        max_length=200,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    field_order = ["old", "new"]


class AskForm(forms.Form):
    """Whose password is lost."""

    email = forms.EmailField(label="E-mail", widget=forms.EmailInput(attrs={"autocomplete": "username"}))

    def clean_email(self):
        return self.cleaned_data["email"].strip().lower()


class NewShopForm(forms.Form):
    """All that a further shop has to be told."""

    shop_name = forms.CharField(
        label="What is the shop called?", max_length=80, widget=forms.TextInput(attrs={"class": "words"})
    )
    zone = forms.CharField(required=False, widget=forms.HiddenInput(attrs={"data-zone": ""}))

    def clean_zone(self):
        zone = self.cleaned_data["zone"]
        return zone if zone in zoneinfo.available_timezones() else "UTC"
