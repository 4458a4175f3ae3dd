"""Text to readings of a cup: minutes and temperatures as people type them and loggers write them.

One pair a line. Between the two stands a semicolon, a tab, a comma or blanks; a comma inside a figure is a
decimal point; a first line without figures is a heading.
"""

import re

from workshop import units

LEAST, MOST = 6, 5000
COLDEST_C, HOTTEST_C = -20.0, 450.0
LONGEST_MIN = 10_000.0
MOST_FAULTS = 4
NUMBER = re.compile(r"[-−]?(\d+([.,]\d*)?|[.,]\d+)")
CLOCK = re.compile(r"(\d+):([0-5]?\d):([0-5]?\d)")
HALF_CLOCK = re.compile(r"\d+:\d+")
UNIT = re.compile(r"(?<=[\d.,])\s*(?:°\s*)?([cf])$", re.IGNORECASE)
MINUTES = re.compile(r"(?<=\d)\s*(?:min|minutes?)\b\.?", re.IGNORECASE)


class NotReadings(ValueError):  # noqa: N818 an answer to who typed it
    """The text holds no readings of a cup; `sentences` say which lines, and what is wrong there."""

    def __init__(self, sentences):
        super().__init__(" ".join(sentences))
        self.sentences = sentences


class Fault(ValueError):  # noqa: N818 as above
    """What is wrong with one line."""


def readings_in(text, system="metric"):
    """Pairs of minutes and °C, as many as the text has lines; bare figures are °F where the shop reads so.

    Raises NotReadings with a sentence for each of the first faulty lines.

    >>> readings_in("min; °C\\n0; 24,5\\n5 26\\n10,28.5\\n15, 33\\n20\\t41\\n25 60")
    [(0.0, 24.5), (5.0, 26.0), (10.0, 28.5), (15.0, 33.0), (20.0, 41.0), (25.0, 60.0)]
    """
    found, faults = [], []
    for count, (number, line) in enumerate(lines_of(text)):
        if count == 0 and is_heading(line):
            continue
        try:
            found.append(pair_in(line, system, found[-1][0] if found else 0.0))
        except Fault as fault:
            faults.append(f"Line {number}: {fault}")
    if faults:
        more = len(faults) - MOST_FAULTS
        rest = [f"And {more} more line{'s' if more > 1 else ''} like that."] if more > 0 else []
        raise NotReadings(faults[:MOST_FAULTS] + rest)
    return enough(found)


def lines_of(text):
    """The lines that hold something, each with its number as an editor shows it."""
    plain = text.replace("\ufeff", "").replace('"', "").replace("\u00a0", " ").replace("\u202f", " ")
    for number, line in enumerate(plain.splitlines(), start=1):
        if line.strip() and not line.lstrip().startswith("#"):
            yield number, line.strip()


def is_heading(line):
    """Whether a line names its columns: no cell of it is a figure."""
    return not any(NUMBER.fullmatch(cell.strip()) for cell in re.split(r"[;,\t\s]+", line))


def pair_in(line, system, earlier_min):
    """Minutes and °C of one line; raises Fault."""
    cells = cells_of(MINUTES.sub("", line))
    if len(cells) == 1:
        number_in(cells[0])  # what is no figure at all is said first
    if len(cells) != 2:
        raise Fault(f"“{short(line)}” holds {len(cells)} figure{'s' if len(cells) != 1 else ''}. {WANTED}")
    at_min, temp_c = minutes_in(cells[0]), celsius_in(cells[1], system)
    if at_min < 0:
        raise Fault(f"“{short(cells[0])}” is before the parts met. Count the minutes from then.")
    if at_min > LONGEST_MIN:
        raise Fault(f"{at_min:g} min is more than a week. Write minutes, not seconds.")
    if at_min < earlier_min:
        raise Fault(f"{at_min:g} min comes after {earlier_min:g} min. The times must rise.")
    if not COLDEST_C <= temp_c <= HOTTEST_C:
        raise Fault(f"“{short(cells[1])}” can't be the warmth of a cup.")
    return at_min, temp_c


WANTED = "Two are wanted: minutes, then temperature."


def cells_of(line):
    """The cells of a line, by the first separator that it has."""
    if ";" in line or "\t" in line:
        return [cell.strip() for cell in re.split(r"[;\t]", line.strip().rstrip(";")) if cell.strip()]
    if re.search(r",\s", line):
        return [cell.strip() for cell in re.split(r",\s+", line.strip())]
    blanks = re.sub(r"\s*(°\s*)?([CFcf])\s*$", r"\2", line).split()
    if len(blanks) > 1:
        return blanks
    commas = line.split(",")
    if len(commas) > 2:
        raise Fault(f"“{short(line)}” can be read in two ways. Put a semicolon between time and temperature.")
    return [cell.strip() for cell in commas]


def minutes_in(cell):
    """A time: 12.5, or 0:12:30 as loggers write it."""
    clock = CLOCK.fullmatch(cell)
    if clock:
        hours, minutes, seconds = (int(part) for part in clock.groups())
        return 60 * hours + minutes + seconds / 60
    if HALF_CLOCK.fullmatch(cell):
        raise Fault(f"“{cell}” can be read in two ways. Write minutes, or hours:minutes:seconds.")
    return number_in(cell)


def celsius_in(cell, system):
    """A temperature in °C; the unit may stand behind it."""
    unit = UNIT.search(cell)
    value = number_in(UNIT.sub("", cell))
    named = f"°{unit[1].upper()}" if unit else units.shown_unit("temperature", system)
    return units.TEMPERATURE.to_stored(value, named)


def number_in(cell):
    """A figure with a decimal point or comma; raises Fault."""
    if not NUMBER.fullmatch(cell):
        raise Fault(f"“{short(cell)}” is no number.")
    return float(cell.replace(",", ".").replace("−", "-"))


def short(text):
    """The beginning of what was typed."""
    return text if len(text) <= 24 else text[:24] + "…"


def enough(found):
    """The readings, if there are as many as a curve needs."""
    if len(found) < LEAST:
        said = {0: "There is no reading", 1: "There is one reading"}.get(len(found), f"{len(found)} readings")
        raise NotReadings(
            [f"{said}: {LEAST} or more are needed, better one each minute until the cup cools again."]
        )
    if len(found) > MOST:
        raise NotReadings(
            [f"{len(found)} readings are too many: {MOST} or fewer. Keep every second line, or every tenth."]
        )
    return found
