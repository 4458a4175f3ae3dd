"""Signing in and setting up."""

import zoneinfo

from django import forms
from django.contrib.auth import password_validation
from django.contrib.auth.forms import AuthenticationForm

from workshop.models import User


class SignInForm(AuthenticationForm):
    """E-mail and password."""

    error_messages = {
        "invalid_login": "E-mail and password don't belong together. Look at both and try again.",
        "inactive": "This account is closed.",
    }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "E-mail"
        self.fields["username"].widget = forms.EmailInput(
            attrs={"autocomplete": "username", "autofocus": True}
        )
        self.fields["password"].label = "Password"

    def clean_username(self):
        return self.cleaned_data["username"].strip().lower()


class WelcomeForm(forms.Form):
    """All that a new installation has to be told; the rest has defaults."""

    shop_name = forms.CharField(label="What is the shop called?", max_length=80)
    name = forms.CharField(
        label="Your name", max_length=80, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    email = forms.EmailField(
        label="E-mail, to sign in with",
        max_length=254,
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    password = forms.CharField(
        label="A password, 10 characters or more",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    zone = forms.CharField(required=False, widget=forms.HiddenInput(attrs={"data-zone": ""}))
    code = forms.CharField(
        label="The code that the console of this installation shows", required=False, max_length=20
    )

    def __init__(self, *args, needs_code, **kwargs):
        super().__init__(*args, **kwargs)
        self.needs_code = needs_code
        if not needs_code:
            del self.fields["code"]

    def clean_zone(self):
        zone = self.cleaned_data["zone"]
        return zone if zone in zoneinfo.available_timezones() else "UTC"

    def clean_email(self):
        email = self.cleaned_data["email"].strip().lower()
        if User.objects.filter(email=email).exists():
            raise forms.ValidationError("Somebody of the demo has this e-mail. Take your own.")
        return email

    def clean_password(self):
        password = self.cleaned_data["password"]
        person = User(email=self.data.get("email", ""), name=self.data.get("name", ""))
        password_validation.validate_password(password, person)
        return password
