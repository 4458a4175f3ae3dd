"""The form of a cup test: what was in the cup, and what its thermometer showed."""

from django import forms
from django.utils import timezone

from materials.fit.readings import NotReadings, readings_in
from materials.models import Batch
from workshop.forms.quantities import QuantityField, ShopForm

MOST_BYTES = 200_000
LEAST_RISE_K = 10.0
FAR_FROM_START_K = 10.0
RECENT_CUPS = 20
WHAT_TO_DO = (
    "A cup that hardly warms says nothing about the heat. Read one of 100 g or more, in a warm shop, "
    "outdoors and on stone; very slow resins want 300 g."
)


class CupField(forms.ModelChoiceField):
    """A choice among cups, each named by when its parts met."""

    def label_from_instance(self, batch):
        return f"{timezone.localtime(batch.met_at):%d %b %H:%M}, cup {batch.cup}"


class CupTestForm(ShopForm):
    """A cup that was left standing with a thermometer in its middle."""

    asks_again = True
    mass_g = QuantityField("mass", label="Mixed resin in the cup", least=10, most=5000)
    temp_c = QuantityField(
        "temperature",
        label="Resin and shop at the start",
        least=5,
        most=40,
        help_text="Both at one warmth, or the model can't follow.",
    )
    taken_on = forms.DateField(
        label="Read on", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    points = forms.CharField(
        label="Minutes and temperature, one pair a line",
        error_messages={"required": "Type the readings here, or hand in the logger’s file."},
        strip=False,
        max_length=MOST_BYTES,
        widget=forms.Textarea(attrs={"rows": 10, "spellcheck": "false", "autocomplete": "off"}),
        help_text="Minutes from when the parts met. Like “12 31.5” or “12,5; 31,5”; six lines or more.",
    )
    file = forms.FileField(
        label="Or the logger’s file (CSV)",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv,text/plain"}),
        help_text="It takes the place of the lines above.",
    )
    batch = CupField(
        label="It was this cup", queryset=Batch.objects.none(), required=False, empty_label="none of them"
    )
    note = forms.CharField(label="Note", max_length=300, required=False)

    use_required_attribute = False  # a file stands for the lines, which a browser doesn't know

    def __init__(self, *args, resin, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["points"].required = not self.files.get("file")
        self.resin = resin
        cups = Batch.objects.of(self.shop).filter(resin=resin).order_by("-met_at", "-pk")
        newest = list(cups.values_list("pk", flat=True)[:RECENT_CUPS])
        self.fields["batch"].queryset = cups.filter(pk__in=newest)

    def clean_taken_on(self):
        day = self.cleaned_data["taken_on"]
        if day and day > timezone.localdate():
            raise forms.ValidationError("This day is still to come.")
        return day

    def clean_file(self):
        """The file's text, which then stands in the field of lines so that it can be mended there."""
        upload = self.cleaned_data["file"]
        if not upload:
            return ""
        if upload.size > MOST_BYTES:
            raise forms.ValidationError(
                f"This file has {upload.size // 1000} kB; {MOST_BYTES // 1000} kB or less. "
                "Keep every tenth line."
            )
        text = text_of(upload.read())
        upload.seek(0)  # its fingerprint is taken later
        self.data = self.data.copy()
        self.data["points"] = text
        return text

    def clean(self):
        data = super().clean()
        if "file" in self.errors or "points" in self.errors:
            return data
        try:
            data["points"] = readings_in(data.get("file") or data.get("points", ""), self.shop.units)
        except NotReadings as problem:
            for sentence in problem.sentences:
                self.add_error("points", sentence)
            return data
        self.look_for_a_peak(data["points"], data.get("temp_c"))
        return data

    def look_for_a_peak(self, points, start_c):
        """Refuse readings from which nothing can be learnt, with the reason."""
        say = self.fields["temp_c"].say
        hottest, first = max(temp_c for _, temp_c in points), points[0][1]
        if start_c is None:
            return
        if abs(first - start_c) > FAR_FROM_START_K:
            self.add_error(
                "points",
                f"The first reading is {say(first)}, the start was {say(start_c)}. Begin to read when the "
                "parts meet, or mend the start.",
            )
        elif hottest - start_c < LEAST_RISE_K:
            more = hottest - start_c
            self.add_error("points", f"The cup warmed by {self.degrees(more)} only. {WHAT_TO_DO}")
        elif points[-1][1] >= hottest:
            self.add_error(
                "points",
                f"The last reading is the hottest ({say(hottest)}), so nobody knows how hot it got. Read on "
                "until it cools, and add those lines.",
            )

    def degrees(self, kelvin):
        """A difference of temperatures as the shop reads it."""
        if self.shop.units == "inch":
            return f"{kelvin * 9 / 5:.0f}\u00a0°F"
        return f"{kelvin:.0f}\u00a0°C"

    def values(self, happened_at):
        """What goes into the row; noon of the day where it was read on an earlier one."""
        data, day = self.cleaned_data, self.cleaned_data["taken_on"]
        zone = self.shop.tz
        taken_at = happened_at
        if day and day != happened_at.astimezone(zone).date():
            taken_at = happened_at.astimezone(zone).replace(
                year=day.year, month=day.month, day=day.day, hour=12, minute=0, second=0, microsecond=0
            )
        return {
            **{name: data[name] for name in ("mass_g", "temp_c", "batch", "note")},
            "points": [list(point) for point in data["points"]],
            "taken_at": taken_at,
        }


def text_of(content):
    """A file's text, by its mark or as one of the two ways that loggers write."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    if "\0" in text:
        raise forms.ValidationError("This is no text. Save the table as CSV and hand that in.")
    return text
