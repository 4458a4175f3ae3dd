"""Reads what people type (`1/16 in`, `12 fl oz`, `77 °F`, `0,5 mm`) and writes what they read.

Storage is always the unit named here first; no Django in this file.
"""

import re
from dataclasses import dataclass
from fractions import Fraction


class NotUnderstood(ValueError):  # noqa: N818 an answer to who typed it
    """The text is no quantity of this kind; the message says what would be."""


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: its unit of storage, what others are worth in it, and an example."""

    stored: str
    factors: dict
    example: str
    shown_inch: str = ""
    offsets: dict | None = None

    def to_stored(self, value, unit):
        """A value in `unit` as one in the unit of storage."""
        return (value + (self.offsets or {}).get(unit, 0.0)) * self.factors[unit]

    def from_stored(self, value, unit):
        """A stored value in `unit`."""
        return value / self.factors[unit] - (self.offsets or {}).get(unit, 0.0)


# 1 in = 25.4 mm and 1 lb = 453.59237 g exactly; US customary volumes (NIST SP 811, appendix B)
LENGTH = Kind("mm", {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}, "2 mm or 1/16 in", "in")
MASS = Kind("g", {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}, "350 g or 12 oz", "oz")
VOLUME = Kind(
    "ml",
    {"ml": 1.0, "cl": 10.0, "l": 1000.0, "fl oz": 29.5735295625, "qt": 946.352946, "gal": 3785.411784},
    "350 ml or 12 fl oz",
    "fl oz",
)
TEMPERATURE = Kind("°C", {"°C": 1.0, "°F": 5 / 9}, "20 °C or 68 °F", "°F", {"°F": -32.0})
MINUTES = Kind("min", {"min": 1.0, "h": 60.0, "d": 1440.0, "s": 1 / 60}, "40 min or 6 h")
HOURS = Kind("h", {"h": 1.0, "min": 1 / 60, "d": 24.0}, "4 h or 90 min")
DENSITY = Kind("g/ml", {"g/ml": 1.0, "kg/l": 1.0, "kg/m³": 0.001, "lb/gal": 0.11982642731689663}, "1.12 g/ml")
ANGLE = Kind("°", {"°": 1.0, "deg": 1.0}, "0.1°")
PERCENT = Kind("%", {"%": 1.0}, "45 %")
VISCOSITY = Kind("Pa·s", {"Pa·s": 1.0, "mPa·s": 0.001, "cP": 0.001}, "0.5 Pa·s or 500 mPa·s")
AREA = Kind(
    "m²",
    {"m²": 1.0, "cm²": 1e-4, "mm²": 1e-6, "in²": 25.4**2 / 1e6, "ft²": 304.8**2 / 1e6},
    "0.24 m² or 2.6 ft²",
    "ft²",
)
PARTS = Kind("parts", {"parts": 1.0}, "100")
COUNT = Kind("pieces", {"pieces": 1.0}, "50")

KINDS = {
    "length": LENGTH,
    "mass": MASS,
    "volume": VOLUME,
    "temperature": TEMPERATURE,
    "minutes": MINUTES,
    "hours": HOURS,
    "density": DENSITY,
    "angle": ANGLE,
    "percent": PERCENT,
    "viscosity": VISCOSITY,
    "area": AREA,
    "parts": PARTS,
    "count": COUNT,
}

SPELLINGS = {
    '"': "in",
    "”": "in",
    "″": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "feet": "ft",
    "foot": "ft",
    "c": "°C",
    "°c": "°C",
    "f": "°F",
    "°f": "°F",
    "gram": "g",
    "grams": "g",
    "gr": "g",
    "kgs": "kg",
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "litre": "l",
    "liter": "l",
    "litres": "l",
    "floz": "fl oz",
    "fl. oz": "fl oz",
    "fl.oz": "fl oz",
    "minute": "min",
    "minutes": "min",
    "mins": "min",
    "hour": "h",
    "hours": "h",
    "hr": "h",
    "hrs": "h",
    "day": "d",
    "days": "d",
    "g/cm³": "g/ml",
    "g/cm3": "g/ml",
    "g/cc": "g/ml",
    "kg/m3": "kg/m³",
    "pa s": "Pa·s",
    "pas": "Pa·s",
    "pa·s": "Pa·s",
    "mpas": "mPa·s",
    "mpa s": "mPa·s",
    "mpa·s": "mPa·s",
    "cp": "cP",
    "cps": "cP",
    "m2": "m²",
    "sqm": "m²",
    "cm2": "cm²",
    "mm2": "mm²",
    "in2": "in²",
    "sq in": "in²",
    "ft2": "ft²",
    "sq ft": "ft²",
    "degree": "°",
    "degrees": "°",
    "part": "parts",
    "strips": "pieces",
    "pcs": "pieces",
}
UNSAID = {"parts", "pieces"}
"""Units that a text goes without."""
INCH_UNITS = {"mm": "in", "g": "oz", "ml": "fl oz", "°C": "°F", "m²": "ft²"}

LONGEST = 40  # no quantity needs more; a pasted page would keep the pattern busy
NUMBER = re.compile(
    r"^\s*(?P<sign>[-−])?\s*(?:(?P<whole>\d+)[\s-]+)?"
    r"(?:(?P<num>\d+)\s*/\s*(?P<den>\d+)|(?P<dec>\d+(?:[.,]\d*)?|[.,]\d+))\s*(?P<unit>[^\d].*)?$"
)
# 6:30 h, as pages say a span of hours
CLOCKED = re.compile(r"(?P<hours>\d+):(?P<minutes>[0-5]\d)\s*h\.?", re.IGNORECASE)
AMBIGUOUS = re.compile(r"[1-9]\d{0,2},\d{3}")  # thousands to one reader, a decimal comma to another
THIN = str.maketrans("\u00a0\u202f\u2009", "   ")
# 12 500 is one number, however thin the blank; 1 125/1000 and 1 1/2 stay two parts
THOUSANDS = re.compile(r"(?<![\d.,/])(\d{1,3}(?: \d{3})+)(?![\d/])(?!\s*/)")


def parse(text, kind_name, default_unit=None):
    """The stored value that `text` means.

    A bare number is in `default_unit` (the unit of storage unless given); a comma is a decimal
    point; `1 1/2 in` and `1/16"` are read as a rule shows them, `6:30 h` as pages say it; thousands may
    stand apart.
    Raises NotUnderstood with a sentence that gives an example.
    """
    kind = KINDS[kind_name]
    if len(text) > LONGEST:
        raise NotUnderstood(f"“{text[:LONGEST]}…” is too long. Write it like {kind.example}.")
    plain = THOUSANDS.sub(lambda found: found[0].replace(" ", ""), text.translate(THIN))
    clocked = CLOCKED.fullmatch(plain.strip()) if "h" in kind.factors else None
    if clocked:
        return kind.to_stored(int(clocked["hours"]) + int(clocked["minutes"]) / 60, "h")
    found = NUMBER.match(plain)
    if not found:
        raise NotUnderstood(f"“{text.strip()}” is not understood. Write it like {kind.example}.")
    if found["den"] is not None and int(found["den"]) == 0:
        raise NotUnderstood("Nothing can be divided by 0.")
    if found["whole"] is not None and found["den"] is None:
        raise NotUnderstood(f"“{text.strip()}” holds two numbers. Write it like {kind.example}.")
    if found["dec"] and AMBIGUOUS.fullmatch(found["dec"]):
        whole, _, rest = found["dec"].partition(",")
        raise NotUnderstood(
            f"“{text.strip()}” can be read in two ways. Write {whole}{rest} or {whole}.{rest}."
        )
    unit = unit_named(found["unit"], kind, default_unit)
    return kind.to_stored(number_in(found), unit)


def number_in(found):
    """The number of a match: whole, decimal or mixed fraction, with its sign."""
    if found["den"] is not None:
        value = float(int(found["whole"] or 0) + Fraction(int(found["num"]), int(found["den"])))
    else:
        value = float(found["dec"].replace(",", "."))
    return -value if found["sign"] else value


def unit_named(text, kind, default_unit):
    """The unit that a spelling means for this kind, or NotUnderstood."""
    if not text or not text.strip():
        return default_unit or kind.stored
    spelled = " ".join(text.strip().rstrip(".").split())
    for candidate in (spelled, SPELLINGS.get(spelled.lower()), spelled.lower()):
        if candidate in kind.factors:
            return candidate
    known = ", ".join(kind.factors)
    raise NotUnderstood(
        f"“{spelled[:20]}” is no unit for this. Known are {known}. Write it like {kind.example}."
    )


def shown_unit(kind_name, system):
    """The unit that a shop reads this kind in: `metric` or `inch`."""
    kind = KINDS[kind_name]
    return INCH_UNITS.get(kind.stored, kind.stored) if system == "inch" else kind.stored


def digits(value, places):
    """A number with at most `places` decimals, thin-spaced thousands, a true minus; no trailing noughts."""
    text = f"{abs(value):,.{places}f}".replace(",", "\u202f")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return ("−" if value < 0 and text.strip("0.\u202f") else "") + text


def places_for(unit, value):
    """How many decimals a reader of this unit wants."""
    if unit == "oz" and abs(value) < 16:
        return 3  # 0.01 oz is 0.3 g: a cup's ratio wants better
    if unit in {"in", "oz", "fl oz"}:
        return 3 if unit == "in" else 2
    if unit in {"g/ml", "Pa·s"}:
        return 3
    if unit == "pieces":
        return 0
    return 1 if abs(value) >= 10 else 2


def write(value, kind_name, system="metric", places=None):
    """A stored value as a pair of texts: number and unit, in the units the shop reads."""
    kind = KINDS[kind_name]
    unit = shown_unit(kind_name, system)
    shown = kind.from_stored(value, unit)
    # how many places a page asks for is meant for the unit of storage; a coarser unit needs its own
    own = places is None or unit not in {kind.stored, "°F"}
    return digits(shown, places_for(unit, shown) if own else places), unit


def say(value, kind_name, system="metric", places=None):
    """A stored value as one text with its unit; parts and pieces go without, the degree of angle is close."""
    number, unit = write(value, kind_name, system, places)
    if unit == "°":
        return f"{number}°"
    return number if unit in UNSAID else f"{number}\u00a0{unit}"


NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip


def counted(number, noun):
    """A small count as one says it: no pours, one pour, twelve pours, 13 pours."""
    word = NUMBERS[number] if number < len(NUMBERS) else digits(number, 0)
    return f"{word} {noun}" if number == 1 else f"{word} {noun}s"


def times(number):
    """How often, as one says it: once, twice, three times."""
    return {1: "once", 2: "twice"}.get(number) or counted(number, "time")
