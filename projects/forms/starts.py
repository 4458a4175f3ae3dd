"""What the advisor asks: in how many pours, how long each takes, and from when."""

from django import forms

from workshop.forms.quantities import QuantityField, ShopForm


class StartsForm(ShopForm):
    """Few figures, each with a good guess."""

    pours = QuantityField("count", label="In how many pours", least=1, most=8, whole=True)
    minutes = QuantityField("minutes", label="To mix and pour each", least=1, most=600)
    begin = forms.TimeField(
        label="Starting at",
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text="Empty means now, or when its turn comes.",
    )
    hours = forms.ChoiceField(
        label="Windows",
        choices=[("safe", "with reserve"), ("plain", "to the sheet’s hours")],
        widget=forms.RadioSelect,
    )
    since = forms.ChoiceField(
        label="Looking",
        choices=[("turn", "from when its turn comes"), ("now", "from now")],
        widget=forms.RadioSelect,
    )

    def __init__(self, data=None, *args, waits=False, **kwargs):
        """`waits`: something stands before the pour, so that it can be looked for in two ways."""
        if data is not None:
            # a page that was opened while nothing stood before the pour does not ask
            data = data.copy()
            data.setdefault("since", "turn")
        super().__init__(data, *args, **kwargs)
        if not waits:
            del self.fields["since"]
