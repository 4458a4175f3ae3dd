"""A glue-up of many pieces in parts, each within the open time, by how quickly the maker places them."""

from dataclasses import dataclass

from projects.models import LogEntry, Timer
from projects.panel.design import laid_out
from projects.panel.laying import numbers_by, ways_of

MOST = 60
"""So many of the newest glue-ups are looked at."""
OTHER_PART = "the next part was glued"
QUARTERS = ("upper left", "upper right", "lower left", "lower right")


@dataclass(frozen=True)
class Pace:
    """How many pieces a minute, and how often that was told; `own` where the shop's log says it."""

    per_minute: float
    records: int
    own: bool


@dataclass(frozen=True)
class Part:
    """One part: its words, its pieces, and the minutes of hands that it takes."""

    name: str
    pieces: int
    minutes: int

    @property
    def title(self):
        """How its step is called."""
        return f"Glue up, {self.name}: {self.pieces} piece{'' if self.pieces == 1 else 's'}"


@dataclass(frozen=True)
class Proposal:
    """One way to glue a panel in parts; `why` says why there is none."""

    way: str
    word: str
    parts: tuple
    why: str = ""


def pace_of(shop):
    """How quickly pieces are placed: the shop's own from five glue-ups on, drawn towards the usual.

    A glue-up counts from its cup to the answer that all is in the clamps, where the log knows the pieces.
    """
    from projects.planning.estimate import learned
    from projects.planning.route import Making

    glued = Timer.objects.of(shop).filter(
        kind=Timer.Kind.GLUE, settled_at__isnull=False, entry__removed_at=None,
        entry__kind=LogEntry.Kind.GLUE_UP,
    )  # fmt: skip
    rows = glued.exclude(settled_how=OTHER_PART).select_related("entry").order_by("-started_at", "-pk")
    told = [found for found in map(minutes_a_piece, rows[:MOST]) if found]
    found = learned(1 / Making.pieces_per_minute, (0.8, 1, 1.5), told)
    return Pace(1 / found.minutes, len(told), found.own)


def minutes_a_piece(timer):
    """How long one piece took; None where nobody counted, or the clock was answered at once or days later."""
    pieces = timer.entry.detail.get("pieces")
    minutes = (timer.settled_at - timer.started_at).total_seconds() / 60
    return minutes / pieces if pieces and 1 <= minutes <= 12 * 60 else None


def open_minutes(shop):
    """The glue's open time: that of the last glue-up which says one, else the planner's usual."""
    from projects.planning.route import Making

    last = LogEntry.objects.newest(LogEntry.Kind.GLUE_UP, shop=shop)
    clocks = last.detail.get("clocks", []) if last else []
    told = [clock["due_min"] for clock in clocks if clock["kind"] == "glue"]
    return told[0] if told else Making.glue_open_minutes


def groups_of(design):
    """The pieces of a design that are glued together, by way: the word for one, and how many each has."""
    words = dict(ways_of(design))
    found = {way: [len(group) for group in numbers_by(design, way)] for way in ("rows", "rings")}
    return {
        "rows": (words["rows"], found["rows"]),
        "rings": (words["rings"], found["rings"]),
        "quarters": ("Quarters", quarters(laid_out(design))),
    }


def quarters(panel):
    """How many pieces have their middle in each quarter of the panel."""
    middles = panel.middle_mm.tolist()
    xs, ys = ([point[axis] for point in middles] for axis in (0, 1))
    across, up = ((min(values) + max(values)) / 2 for values in (xs, ys))
    places = [2 * (y < up) + (x > across) for x, y in middles]  # y counts from the foot of the panel
    return [places.count(place) for place in range(len(QUARTERS))]


def proposals(design, pace, open_min):
    """The ways to glue a design in parts: by rows, by rings or repeats, by quarters."""
    return [proposal(way, word, sizes, pace, open_min) for way, (word, sizes) in groups_of(design).items()]


def proposal(way, word, sizes, pace, open_min):
    """One way, with its parts or the reason why there are none."""
    from materials.science.errors import OutOfRange
    from projects.planning.route import MINUTES, grouped_parts, placing_minutes

    try:
        found = grouped_parts(sizes, pace.per_minute, open_min)
    except OutOfRange:
        return Proposal(way, word, (), "The glue is stiff before one piece lies. Take a slower one.")
    times = {}
    for first, last, _ in found:
        times[first, last] = times.get((first, last), 0) + 1
    parts, seen = [], {}
    for first, last, pieces in found:
        name = name_of(way, word, first, last)
        if times[first, last] > 1:
            seen[first] = seen.get(first, 0) + 1
            name = f"{name} ({seen[first]} of {times[first, last]})"
        minutes = MINUTES["glue_setup"] + placing_minutes(pieces, pace.per_minute)
        parts.append(Part(name, pieces, round(minutes)))
    return Proposal(way, word, tuple(parts))


def name_of(way, word, first, last):
    """How the groups from the first to the last are called: row 3, rows 1–4, the upper left quarter."""
    if way == "quarters":
        names = QUARTERS[first - 1 : last]
        return f"{' and '.join(names)} quarter{'' if len(names) == 1 else 's'}"
    one = word.lower().removesuffix("s")
    return f"{one} {first}" if first == last else f"{one}s {first}–{last}"
