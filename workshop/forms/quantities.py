"""Form fields that read quantities as people type them."""

from django import forms
from django.core.validators import MinValueValidator

from workshop import units
from workshop.forms.again import AsksAgain
from workshop.forms.opened import OfARow
from workshop.several import parse_several, say_several


class QuantityField(forms.CharField):
    """Text in, stored unit out: `1/16 in` becomes 1.5875 for a length.

    `kind` is a name of `workshop.units.KINDS`; `least` and `most` are in the unit of storage
    and each may come with a sentence that says why.
    """

    def __init__(self, kind, *, least=None, most=None, above=None, why="", whole=False, **kwargs):
        self.kind, self.least, self.most, self.above = kind, least, most, above
        self.why, self.whole = why, whole
        self.system = "metric"
        kwargs.setdefault("max_length", 40)
        super().__init__(**kwargs)
        mode = "numeric" if whole else "decimal"
        self.widget.attrs.update({"inputmode": mode, "autocomplete": "off", "spellcheck": "false"})
        self.widget.attrs["data-quantity"] = kind

    def get_bound_field(self, form, field_name):
        """With the unit that a bare number is read in, for the page to say it as one types."""
        unit = units.shown_unit(self.kind, self.system)
        if unit not in units.UNSAID:
            self.widget.attrs["data-bare"] = unit
        return super().get_bound_field(form, field_name)

    def to_python(self, value):
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            value = units.parse(text, self.kind, units.shown_unit(self.kind, self.system))
        except units.NotUnderstood as problem:
            raise forms.ValidationError(str(problem)) from problem
        return self.meant(value)

    def meant(self, value):
        """The limit itself where the figure reads like it: 50 mm are 1.969 in, and these are 50.01 mm."""
        for limit in () if self.whole else (self.least, self.most):
            if limit is not None and value != limit and self.say(value) == self.say(limit):
                return float(limit)
        return value

    def validate(self, value):
        super().validate(value)
        if value is None:
            return
        if self.above is not None and value <= self.above:
            raise forms.ValidationError(f"More than {self.say(self.above)} is needed{self.because}.")
        if self.least is not None and value < self.least:
            too_little = f"{self.say(value)} is too little: {self.say(self.least)} or more"
            raise forms.ValidationError(f"{too_little}{self.because}.")
        if self.most is not None and value > self.most:
            too_much = f"{self.say(value)} is too much: {self.say(self.most)} or less"
            raise forms.ValidationError(f"{too_much}.")
        if self.whole and value != int(value):
            raise forms.ValidationError("A whole number is needed.")

    def run_validators(self, value):
        """None of a text field's: the value is a number by now."""

    def clean(self, value):
        number = super().clean(value)
        return int(number) if self.whole and number is not None else number

    def has_changed(self, initial, data):
        """A figure left as it was shown has not; what is shown is rounded."""
        figure, typed = isinstance(initial, int | float), isinstance(data, str)
        as_shown = figure and typed and data.strip() == self.prepare_value(initial)
        return not as_shown and super().has_changed(initial, data)

    @property
    def because(self):
        return f", {self.why}" if self.why else ""

    def say(self, value):
        return units.say(value, self.kind, self.system)

    def echo(self, value):
        """What was understood, as it is said below the field."""
        return self.say(value)

    def prepare_value(self, value):
        if isinstance(value, int | float):
            return units.say(value, self.kind, self.system).replace("\u00a0", " ").replace("\u202f", "")
        return value


class QuantitiesField(QuantityField):
    """One figure or several of a kind, typed in a row; each has to lie within the limits."""

    widget = forms.Textarea

    def __init__(self, kind, **kwargs):
        super().__init__(kind, max_length=800, **kwargs)
        # a keypad of digits alone has neither blank nor semicolon on some phones
        self.widget.attrs.update({"inputmode": "text", "rows": 2})

    def to_python(self, value):
        text = forms.CharField.to_python(self, value)
        if text in self.empty_values:
            return None
        try:
            values = parse_several(text, self.kind, units.shown_unit(self.kind, self.system))
        except units.NotUnderstood as problem:
            raise forms.ValidationError(str(problem)) from problem
        return [self.meant(each) for each in values]

    def validate(self, value):
        for each in value or [None]:
            super().validate(each)

    def echo(self, value):
        said = say_several(value, self.kind, self.system)
        return said if len(value) == 1 else f"{len(value)} readings: {said}"


class MoneyField(forms.DecimalField):
    """A sum in the shop's currency; a comma is a decimal point."""

    widget = forms.TextInput
    default_error_messages = {"invalid": "This is no sum of money. Write it like 12.50."}

    def __init__(self, **kwargs):
        not_below = MinValueValidator(0, "This can't be less than 0.")
        super().__init__(max_digits=10, decimal_places=2, validators=[not_below], **kwargs)
        self.widget.attrs.update({"inputmode": "decimal", "autocomplete": "off"})

    def to_python(self, value):
        plain = "".join(value.split()).replace(",", ".") if isinstance(value, str) else value
        return super().to_python(plain)


class ShopForm(OfARow, AsksAgain, forms.Form):
    """A form that knows the shop's units, and echoes what it understood.

    `row`: what the form changes, or several; somebody else's change of it meanwhile is then not undone.
    """

    def __init__(self, *args, shop=None, row=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.shop = shop
        self.know_the_row(row)
        for name, field in self.fields.items():
            if isinstance(field, QuantityField):
                field.system = shop.units if shop else "metric"
            if isinstance(field.widget, forms.RadioSelect):
                continue
            field.widget.attrs.setdefault("aria-describedby", f"id_{name}_says")
        self.take_over()

    def clean(self):
        """A figure left as it was shown stays the kept one: what is shown is rounded."""
        data = super().clean()
        for name, field in self.fields.items():
            kept = self[name].initial
            if isinstance(field, QuantityField) and name in data and isinstance(kept, int | float):
                text = self[name].data
                if isinstance(text, str) and text.strip() == field.prepare_value(kept):
                    data[name] = kept
        return data

    def echoes(self):
        """What each quantity was understood as, by field name; only where the text needs it."""
        found = {}
        for name, field in self.fields.items():
            if not isinstance(field, QuantityField) or name in self.errors:
                continue
            value = self.cleaned_data.get(name) if self.is_bound else self.initial.get(name)
            if value is not None:
                found[name] = field.echo(value)
        return found
