"""A machine's figures. Each kind asks only for those that it has."""

from django import forms

from workshop.forms.quantities import QuantityField, ShopForm
from workshop.models import Machine

FIGURES_OF = {
    Machine.Kind.SAW: {
        "kerf_mm": "The saw cut takes",
        "gauge_max_deg": "The gauge turns up to",
        "angle_error_deg": "Angles are true to",
        "length_error_mm": "Lengths are true to",
    },
    Machine.Kind.PLANER: {"bed_mm": "Widest board", "max_length_mm": "Longest board"},
    Machine.Kind.SANDER: {"bed_mm": "Widest panel", "length_error_mm": "Thickness is true to"},
    Machine.Kind.PRINTER: {"bed_mm": "Bed, one side", "max_length_mm": "Bed, other side"},
    Machine.Kind.SCALE: {"scale_step_g": "Smallest step"},
    Machine.Kind.MOULD: {
        "max_length_mm": "Inside length",
        "bed_mm": "Inside width",
        "depth_mm": "Inside depth",
    },
    Machine.Kind.CLAMPS: {"max_length_mm": "Open to"},
}
SEVERAL = {Machine.Kind.MOULD, Machine.Kind.CLAMPS}
FIELDS = {
    "kerf_mm": {"kind": "length", "above": 0, "most": 20},
    "gauge_max_deg": {"kind": "angle", "above": 0, "most": 90},
    "angle_error_deg": {"kind": "angle", "above": 0, "most": 5},
    "length_error_mm": {"kind": "length", "above": 0, "most": 10},
    "bed_mm": {"kind": "length", "above": 0, "most": 10_000},
    "max_length_mm": {"kind": "length", "above": 0, "most": 20_000},
    "depth_mm": {"kind": "length", "above": 0, "most": 1000},
    "scale_step_g": {"kind": "mass", "above": 0, "most": 100},
}
SIGNS_APART = {
    "angle_error_deg": "How far a cut is off at most, on a good day.",
    "length_error_mm": "How far a cut is off at most, on a good day.",
    "scale_step_g": "What the last digit of the scale counts.",
}


class MachineForm(ShopForm):
    """Name, how many where there may be several, and the figures of the kind."""

    name = forms.CharField(
        label="Name", max_length=80, widget=forms.TextInput(attrs={"class": "words", "autocomplete": "off"})
    )

    def __init__(self, *args, kind, **kwargs):
        super().__init__(*args, **kwargs)
        if kind in SEVERAL:
            self.add(
                "amount", QuantityField("count", label="How many", least=1, most=500, whole=True, initial=1)
            )
        for name, label in FIGURES_OF[kind].items():
            hint = SIGNS_APART.get(name, "") if kind == Machine.Kind.SAW or name == "scale_step_g" else ""
            self.add(name, QuantityField(**FIELDS[name], label=label, required=False, help_text=hint))

    def add(self, name, field):
        """A further field that reads the shop's units."""
        field.system = self.shop.units if self.shop else "metric"
        field.widget.attrs["aria-describedby"] = f"id_{name}_says"
        self.fields[name] = field
