"""History in words: what rows keep as names and figures, as people say it."""

import re
from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone
from django.utils.dateformat import format as date_format

from workshop import units

VERBS = {
    "receive": "received",
    "use": "took from",
    "waste": "threw away from",
    "count": "counted",
    "reverse": "took back a line of",
    "made": "printed",
    "looked after": "looked how much there is of",
    "fitted to a cup": "fitted to a cup of",
    "logged seal": "logged a seal coat",
    "logged mould": "logged the mould",
    "logged demould": "logged a block out of its mould",
    "logged glue_up": "logged a glue-up",
    "logged sand": "logged sanding",
    "logged coat": "logged a coat",
    "logged reading": "logged a reading",
    "logged timer": "set a clock",
    "took back a change": "took back",
    "took back an act": "took back",
    "logged taken_back": "logged what was taken back",
    "marked": "marked on",
    "laid out the dates": "laid out all dates of",
    "linked": "let wait",
    "changed the wait": "changed the wait of",
    "put in what the design asks for": "put in what the design asks for:",
    "chose parts of the glue-up": "chose parts of the glue-up of",
    "unlinked": "let wait no more",
    "entered days away": "entered days away:",
    "took out days away": "took out days away:",
    "put back days away": "put back days away:",
    "kept anew the route": "kept the route anew",
    "accepted a plan": "took a plan for",
    "put back the dates": "put back the former dates of",
}
"""Verbs whose word on screen is another one."""
LABELS = {
    "role": "part in the shop",
    "zone": "time zone",
    "day_c": "usually by day",
    "night_c": "usually by night",
    "day_from": "day begins",
    "day_to": "night begins",
    "day_humidity_percent": "humidity by day",
    "night_humidity_percent": "humidity by night",
    "public_address": "address for codes on paper",
    "kerf_mm": "the saw cut takes",
    "gauge_max_deg": "the gauge turns up to",
    "angle_error_deg": "angles are true to",
    "length_error_mm": "true to",
    "bed_mm": "width",
    "max_length_mm": "length",
    "depth_mm": "depth",
    "scale_step_g": "smallest step",
    "thousandths": "amount",
    "temp_c": "warmth of the block",
    "recoat_open_h": "next coat from",
    "recoat_close_h": "next coat until",
    "recoat_c": "times of coats at",
    "pot_minutes": "pot life",
    "pot_mass_g": "pot life for",
    "pot_c": "pot life at",
    "demould_h": "out of the mould after",
    "full_cure_h": "full cure after",
    "cup_peak_c": "a cup gets as hot as",
    "max_depth_mm": "deepest pour",
    "depth_c": "deepest pour at",
    "min_c": "not colder than",
    "max_c": "not warmer than",
    "max_humidity_percent": "not damper than",
    "finished_mm": "finished thickness",
    "flatten_mm": "flattened away, each face",
    "density_a_g_ml": "density of A",
    "density_b_g_ml": "density of B",
    "mass_g": "in the cup",
    "hottest_c": "hottest reading",
    "heat_j_per_kg": "heat in J/kg",
    "residual_percent": "off by",
    "due_on": "wanted by",
    "customer_note": "about the customer",
    "mode": "goes",
    "open_min": "from",
    "close_min": "until",
    "hard": "nothing helps once it has closed",
    "at_c": "hours of a sheet at",
    "law": "its hours",
    "before": "waits for",
    "assignee": "whose",
    "parts_a": "parts of A",
    "parts_b": "parts of B",
    "second_pot_minutes": "second pot life",
    "second_pot_mass_g": "second pot life for",
    "second_pot_c": "second pot life at",
    "pack_g": "a kit mixes to",
    "lead_days": "days on the road",
    "shelf_months_closed": "months it keeps closed",
    "shelf_months_open": "months it keeps open",
    "sheet": "data sheet",
    "received_on": "came in on",
    "opened_on": "opened on",
    "thickness_mm": "thick",
    "width_mm": "wide",
    "phase_mm": "first line from the marked edge",
    "along_mm": "middle along the block",
    "across_mm": "middle across the block",
    "truing_mm": "planed off each sawn edge",
    "trim_mm": "squared off each bar’s end",
    "stub_mm": "stub that stays",
    "came_from": "from",
    "coverage_m2_l": "m² that a litre covers",
    "recoat_h": "next coat not before",
    "pack": "a pack holds",
    "unit": "counted in",
    "penetrating": "soaks in",
    "modulus_gpa": "stiffness in GPa",
    "radial": "movement across the rings",
    "tangential": "movement along the rings",
    "evidence": "what speaks for it",
    "severity": "how bad",
    "done": "what was done",
    "for": "on the checklist of",
}
SUFFIXES = {
    "_g_ml": "density",
    "_pa_s": "viscosity",
    "_percent": "percent",
    "_minutes": "minutes",
    "_min": "minutes",
    "_mm": "length",
    "_deg": "angle",
    "_g": "mass",
    "_h": "hours",
    "_c": "temperature",
}
"""What kind of quantity a name ends in; the longer ending first."""
TINY = {"radial", "tangential"}  # coefficients, of which three places would show two figures
GROUPS = {
    "people": ("people", ["invited", "took back the invitation of", "joined", "changed the part of",
                          "removed from the shop", "took in again", "left the shop",
                          "made the address of", "took back the address of",
                          "entered days away", "took out days away", "put back days away"]),
    "shop": ("the shop", ["founded", "changed the shop", "changed the opening hours",
                          "set the hours of a day"]),
    "machines": ("machines", ["added the machine", "changed the machine", "retired the machine",
                              "brought back the machine"]),
    "shelf": ("the shelf", ["received", "receive", "use", "waste", "count", "reverse", "opened",
                            "changed the ticket of", "looked after", "took off the shelf",
                            "put back on the shelf", "added the supply", "changed the supply",
                            "took off the list", "put back on the list", "added the wood",
                            "changed the wood", "read a cup of", "fitted to a cup"]),
    "plans": ("plans and sheets", ["began", "designed", "added", "changed", "made", "recorded", "removed",
                                    "brought back", "made an idea", "planned", "took up", "finished",
                                    "set aside", "chose the cover of", "took away the cover of",
                                    "added the step", "changed the step", "moved the step",
                                    "removed the step", "split the step", "joined the step",
                                    "put in what the design asks for", "chose parts of the glue-up",
                                    "linked", "changed the wait", "unlinked",
                                    "kept the route", "kept anew the route",
                                    "removed the route", "brought back the route",
                                    "added the line", "took off the line",
                                    "added the block",
                                    "took back a change", "laid out the dates", "put back the dates",
                                    "wrote on the shelf list", "struck off the shelf list",
                                    "put back on the shelf list"]),
    "bench": ("the bench", ["ticked", "cleared", "measured", "laid", "marked", "took the leftover",
                          "gave back the leftover"]),
    "lessons": ("failures and lessons", ["suspected", "confirmed", "ruled out", "learned", "let go of"]),
}  # fmt: skip
"""Kinds of history to choose from; the bench has all that was logged as well."""
NOTHING = "–"
UNTOLD = {"dates"}
"""What history keeps for putting back, and nobody reads."""


@dataclass(frozen=True)
class Told:
    """One line of history as it stands on a page."""

    event: object
    at: datetime
    day: date
    who: str
    did: str
    what: str
    changes: tuple
    """(name, from, to) as texts."""
    why: str


class Teller:
    """Tells events in the units of a shop. `lot_units` (key: unit) says what a lot's amounts are in."""

    def __init__(self, system, lot_units=None):
        self.system, self.lot_units = system, lot_units or {}

    def tell(self, event):
        """One event in words."""
        names = [name for name in dict.fromkeys([*event.before, *event.after]) if is_news(event, name)]
        return Told(
            event=event,
            at=event.at,
            day=timezone.localdate(event.at),
            who=event.actor.name if event.actor else "the program",
            did=VERBS.get(event.verb, event.verb),
            what=event.target_label,
            changes=tuple(self.change(event, name) for name in names),
            why=event.why,
        )

    def change(self, event, name):
        """A field's label, what it was, what it became; empty where there was nothing before."""
        unit = self.lot_units.get(event.target_key, "")
        before = self.value(name, event.before[name], unit) if name in event.before else ""
        after = self.value(name, event.after[name], unit) if name in event.after else ""
        return label_of(name), before, after

    def value(self, name, value, unit):
        """A stored value as text, in the shop's units where it is a quantity."""
        if value is None or value == "":
            return NOTHING
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int | float):
            return self.number(name, value, unit)
        if isinstance(value, str):
            return clock(value) if name in {"day_from", "day_to"} else day_of(value)
        return ", ".join(str(part) for part in value) if isinstance(value, list) else NOTHING

    def number(self, name, value, unit):
        """A number with the unit that its name or its lot gives it."""
        if name in {"thousandths", "amount"}:
            amount = value / 1000 if name == "thousandths" else value
            kind = {"g": "mass", "ml": "volume", "mm": "length"}.get(unit)
            if kind:
                return units.say(amount, kind, self.system)
            return f"{units.digits(amount, 3)}\u00a0{unit}".strip()
        kind = kind_of(name)
        places = 5 if name in TINY else 3
        return units.say(value, kind, self.system) if kind else units.digits(float(value), places)


def is_news(event, name):
    """Whether a field says more than the line's own words: what stayed as it was, or is the name, doesn't."""
    missing = object()
    if name in UNTOLD:
        return False
    before, after = event.before.get(name, missing), event.after.get(name, missing)
    return before != after and not (before is missing and after == event.target_label)


def kind_of(name):
    """The kind of quantity that a name ends in, or None."""
    return next((kind for ending, kind in SUFFIXES.items() if name.endswith(ending)), None)


def label_of(name):
    """A name as a reader knows it: its own words, or the name without its unit."""
    if name in LABELS:
        return LABELS[name]
    ending = next((ending for ending in SUFFIXES if name.endswith(ending)), "")
    return name.removesuffix(ending).replace("_", " ")


def clock(text):
    """A time without its seconds."""
    return re.sub(r"^(\d\d:\d\d):\d\d$", r"\1", text)


def day_of(text):
    """A date as people read it; any other text as it is."""
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return text
    return date_format(date.fromisoformat(text), "j M Y")


# Other rooms say in what their lots are measured; each takes the keys of targets and gives {key: unit}.
LOT_UNITS = []


def lot_units(keys):
    """What the amounts of these targets are in, as far as a room knows."""
    found = {}
    for know in LOT_UNITS:
        found |= know(keys)
    return found
