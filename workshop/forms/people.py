"""Coming into a shop, parts in it, going."""

from django import forms
from django.contrib.auth import password_validation

from workshop.forms.quantities import ShopForm
from workshop.models import Member, User

PARTS = [
    (Member.Role.MAKER, "maker: plans, works, writes down"),
    (Member.Role.VIEWER, "viewer: looks at everything"),
    (Member.Role.OWNER, "owner: also decides on people and the shop"),
]


def new_password(label):
    """A field for a password to be."""
    return forms.CharField(
        label=label,
        strip=False,
        max_length=200,
        help_text="10 characters or more.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )


class DeedForm(ShopForm):
    """A button that needs no figures; it carries what the act refuses."""


class InviteForm(ShopForm):
    """Whom to ask in, as what."""

    for_whom = forms.CharField(
        label="For whom",
        max_length=80,
        required=False,
        help_text="A name to know the link by.",
        widget=forms.TextInput(attrs={"class": "words", "autocomplete": "off"}),
    )
    role = forms.ChoiceField(
        label="Their part in the shop", choices=PARTS, initial=Member.Role.MAKER, widget=forms.RadioSelect
    )


class WhyForm(ShopForm):
    """A reason that history keeps, where one is given."""

    why = forms.CharField(
        label="Why",
        max_length=500,
        required=False,
        help_text="Stands in the history.",
        widget=forms.TextInput(attrs={"class": "words"}),
    )


class RoleForm(WhyForm):
    """Another part in the shop."""

    role = forms.ChoiceField(label="Part in the shop", choices=PARTS, widget=forms.RadioSelect)
    field_order = ["role", "why"]


class AccountForm(forms.Form):
    """An account for somebody who holds a link into a shop."""

    name = forms.CharField(
        label="Your name",
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "name", "class": "words"}),
    )
    email = forms.EmailField(
        label="E-mail, to sign in with", widget=forms.EmailInput(attrs={"autocomplete": "username"})
    )
    password = new_password("A password")

    def clean_email(self):
        return self.cleaned_data["email"].strip().lower()

    def clean_password(self):
        password = self.cleaned_data["password"]
        person = User(email=self.data.get("email", ""), name=self.data.get("name", ""))
        password_validation.validate_password(password, person)
        return password
