"""Reads several figures of one kind as they are typed in a row (`2.05 1.98 2,01 mm`).

No Django in this file.
"""

import re

from workshop import units
from workshop.units import NotUnderstood

MOST = 60
APART = re.compile(r"[;\n\r]+")
ALL_BUT_SURE = "Put a semicolon between two figures, or a point into one."
MORE_THAN_ONE_POINT = re.compile(r"[.,]\d+[.,]\d")
WHOLE_AND_COMMA = re.compile(r"^\d+,$")
NOUGHT_IN_FRONT = re.compile(r"^0\d")
FIGURE = re.compile(r"^[-−]?[.,]?\d")
WITH_FRACTION = re.compile(r"(?<![\d.,/])\d+ +\d+ */ *\d+")
BLANK_BESIDE_A_STROKE = re.compile(r"\s*/\s*")


def parse_several(text, kind_name, default_unit=None):
    """The stored values that `text` means, in the order in which they stand; one figure is a row of one.

    Blanks, semicolons and line breaks part figures, a comma is a decimal point; the unit is said behind the
    last figure, behind each, or not at all.
    Raises NotUnderstood with a sentence where a figure can't be read or could be two.
    """
    pieces = [piece.strip() for piece in APART.split(text) if piece.strip()]
    figures = [figure for piece in pieces for figure in figures_in(piece, kind_name)]
    if not figures:
        raise NotUnderstood(f"“{text.strip()[:20]}” holds no figure. Write it like 2.05 1.98 2.01.")
    if len(figures) > MOST:
        raise NotUnderstood(f"These are {len(figures)} figures, {MOST} at most. Write the rest down next.")
    unit = unit_of_all(figures, units.KINDS[kind_name], default_unit)
    return [units.parse(f"{number} {own or unit}", kind_name, default_unit) for number, own in figures]


def figures_in(piece, kind_name):
    """The figures between two semicolons as pairs of number and unit, both still text."""
    if is_one(piece, kind_name):
        return [parted(piece)]
    plain = BLANK_BESIDE_A_STROKE.sub("/", piece)
    for doubtful in (units.THOUSANDS.search(plain), WITH_FRACTION.search(plain)):
        if doubtful:
            raise NotUnderstood(f"“{doubtful[0]}” can be one figure or two. {ALL_BUT_SURE}")
    figures = []
    for word in plain.split():
        if FIGURE.match(word):
            figures.append(parted(sure(word)))
        elif figures and not figures[-1][1]:
            figures[-1] = (figures[-1][0], word.rstrip(","))
        else:
            raise NotUnderstood(f"“{word[:20]}” is no figure. Write it like 2.05 1.98 2.01.")
    return figures


def is_one(piece, kind_name):
    """Whether a text is one figure, with its unit perhaps, as a field for one figure reads it."""
    found = units.NUMBER.match(piece)
    if found is None or (found["whole"] and found["den"] is None):
        return False
    unit = (found["unit"] or "").strip()
    return not any(sign.isdigit() for sign in unit) and not WHOLE_AND_COMMA.match(piece)


def sure(word):
    """A figure without the comma that parts it from the next; refused where it may be half of one."""
    if WHOLE_AND_COMMA.match(word) or NOUGHT_IN_FRONT.match(word):
        raise NotUnderstood(f"“{word[:20]}” can be half of a figure. {ALL_BUT_SURE}")
    if MORE_THAN_ONE_POINT.search(word):
        raise NotUnderstood(f"“{word[:20]}” can be more than one figure. {ALL_BUT_SURE}")
    return word.rstrip(",")  # in “2.05, 1.98” the decimals are written, so that this comma parts


def parted(word):
    """Number and unit of one figure; what is no number is left for the reader of one figure to refuse."""
    found = units.NUMBER.match(word)
    if not found or not found["unit"]:
        return word, ""
    return word[: found.start("unit")].strip(), found["unit"].strip()


def unit_of_all(figures, kind, default_unit):
    """The unit of those that say none: the last one's where it alone has one, else that of bare figures."""
    named = [own for _, own in figures]
    said = [own for own in named if own]
    bare = default_unit or kind.stored
    if not said or len(said) == len(named):
        return ""
    if len(said) == 1 and named[-1]:
        return said[0]
    if all(units.unit_named(own, kind, default_unit) == bare for own in said):
        return ""
    raise NotUnderstood(
        f"Only some figures say “{said[0][:20]}”. Say the unit behind each, or once at the end."
    )


def say_several(values, kind_name, system="metric"):
    """Stored values as one text: each number, and the unit once."""
    written = [units.write(value, kind_name, system) for value in values]
    unit = written[-1][1]
    numbers = ", ".join(number for number, _ in written)
    return numbers if unit in units.UNSAID else f"{numbers}\u00a0{unit}"
