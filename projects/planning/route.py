"""The steps that a design implies, from buying to packing: a proposal, to be changed by whoever makes it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from materials.science.errors import checked
from projects.planning.lifts import Lift
from projects.planning.steps import Cure, Link, Span, Task

# the check comes in the evening before, while something can still be bought or dried
EVENING_BEFORE_MINUTES = 8 * 60
# minutes of work and of waiting; common practice, no source, until the shop's own log replaces them
MINUTES: Mapping[str, float] = {
    "buy": 30,
    "condition": 10,
    "conditioning": 2 * 24 * 60,
    "seal_per_strip": 1.5,
    "tack": 8 * 60,
    "measure": 20,
    "mould": 90,
    "sealant": 4 * 60,
    "leak_test": 20,
    "load": 60,
    "check": 15,
    "set_out": 20,
    "evening": EVENING_BEFORE_MINUTES,
    "demould": 20,
    "rest": 24 * 60,
    "flatten": 120,
    "saw": 90,
    "dry_fit": 60,
    "glue_setup": 15,
    "clamped": 14 * 60,
    "frame_and_sand": 240,
    "wet_sand": 120,
    "drying": 18 * 60,
    "coat": 20,
    "between_coats": 18 * 60,
    "light": 90,
    "full_cure": 7 * 24 * 60,
    "pack": 30,
}
# an open face can be coated on again without sanding for two days (common practice, no source)
RECOAT_CLOSES_MINUTES = 48 * 60
# what of the glue's open time is planned for: the rest is for the clamps (judgement, no source)
OPEN_TIME_SHARE = 0.7


@dataclass(frozen=True)
class BlockFacts:
    """What the route must know of a block.

    Parameters: letter; strips, how many; lifts, one or more; demould_h, the sheet's hours at sheet_c until
    it may leave the mould; sheet_c in °C.
    Raises: OutOfRange.

    >>> BlockFacts("A", 50, (Lift(45, 4, 14),)).demould_h
    72
    """

    letter: str
    strips: int
    lifts: Sequence[Lift]
    demould_h: float = 72
    sheet_c: float = 20

    def __post_init__(self) -> None:
        checked("strips", self.strips, 1, 10_000, "strips")
        checked("lifts", len(self.lifts), 1, 20, "lifts")
        checked("demould_h", self.demould_h, 0, 1000, "h")


@dataclass(frozen=True)
class Making:
    """What the route must know of a project.

    Parameters: project, its code; blocks; pieces, to be glued, 0 for none; pieces_per_minute, as the maker
    places them; glue_open_minutes, of the glue's cup; glue_parts, in how many parts to glue, none = as many
    as the open time asks for; part_name, "row", "ring" or "quarter"; coats, of finish; buy_days, until what
    is bought is there; minutes, to be used instead of the usual ones.
    Raises: OutOfRange.

    >>> Making("007", [BlockFacts("A", 50, (Lift(45, 4, 14),))]).coats
    2
    """

    project: str
    blocks: Sequence[BlockFacts]
    pieces: int = 0
    pieces_per_minute: float = 3.5
    glue_open_minutes: float = 40
    glue_parts: int | None = None
    part_name: str = "row"
    coats: int = 2
    buy_days: float = 4
    minutes: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        checked("pieces", self.pieces, 0, 100_000, "pieces")
        checked("pieces_per_minute", self.pieces_per_minute, 0.01, 100, "pieces/min")
        checked("glue_open_minutes", self.glue_open_minutes, 1, 24 * 60, "min")
        checked("coats", self.coats, 0, 20, "coats")
        checked("buy_days", self.buy_days, 0, 365, "days")


@dataclass(frozen=True)
class Route:
    """Steps, the links between them, and what is held.

    >>> Route([], [], []).tasks
    []
    """

    tasks: list[Task]
    links: list[Link]
    spans: list[Span]


def placing_minutes(pieces: int, pieces_per_minute: float) -> float:
    """How long it takes to place so many pieces, in min.

    >>> placing_minutes(280, 4), round(placing_minutes(280, 3))
    (70.0, 93)
    """
    return pieces / pieces_per_minute


def glue_up_parts(
    pieces: int, pieces_per_minute: float, open_minutes: float, parts: int | None = None
) -> list[int]:
    """How many pieces to glue in each part, so that each part is placed well within the glue's open time.

    Parameters: pieces; pieces_per_minute, the maker's own; open_minutes, of the glue; parts, how many if the
    maker says so.
    Returns: pieces of each part, as even as can be, the larger ones first.
    Raises: OutOfRange where not even one piece can be placed in time.
    Source: 0.7 of the open time is planned for (judgement, no source).

    >>> glue_up_parts(280, 3.5, 40)
    [94, 93, 93]
    >>> glue_up_parts(280, 3.5, 40, parts=4)
    [70, 70, 70, 70]
    """
    most = math.floor(OPEN_TIME_SHARE * open_minutes * pieces_per_minute + 1e-9)
    checked("pieces in the open time", most, 1, math.inf, "pieces")
    count = parts or math.ceil(pieces / most)
    whole, rest = divmod(pieces, max(count, 1))
    return [whole + (number < rest) for number in range(count)]


def grouped_parts(
    sizes: Sequence[int], pieces_per_minute: float, open_minutes: float
) -> list[tuple[int, int, int]]:
    """Groups that lie beside each other (rows, rings, quarters) as parts of a glue-up, each in the open time.

    Parameters: sizes, how many pieces each group has; pieces_per_minute; open_minutes, of the glue.
    Returns: for each part its first and last group, counted from 1, and its pieces. As many groups as fit go
    into a part; a group that is too large is glued in several.
    Raises: OutOfRange where not even one piece can be placed in time.
    Source: as glue_up_parts.

    >>> grouped_parts([30, 30, 30, 120], 3.5, 40)
    [(1, 3, 90), (4, 4, 60), (4, 4, 60)]
    """
    most = math.floor(OPEN_TIME_SHARE * open_minutes * pieces_per_minute + 1e-9)
    checked("pieces in the open time", most, 1, math.inf, "pieces")
    found: list[tuple[int, int, int]] = []
    room = 0
    for number, size in enumerate(sizes, start=1):
        if size <= room:
            first, _, pieces = found.pop()
            found.append((first, number, pieces + size))
            room -= size
        elif size:
            found += [
                (number, number, pieces) for pieces in glue_up_parts(size, pieces_per_minute, open_minutes)
            ]
            room = most - size
    return found


class _Draft:
    """A route as it is written down, each step behind the last."""

    def __init__(self, making: Making) -> None:
        self.making = making
        self.route = Route([], [], [])

    def add(
        self,
        name: str,
        minutes: str | float,
        after: str | Sequence[str] | None = None,
        *,
        passive: bool = False,
        splittable: bool = False,
        open_minutes: float = 0,
        close_minutes: float | None = None,
    ) -> str:
        """A step and its link from the one before it, or from those named."""
        if isinstance(minutes, str):
            minutes = self.making.minutes.get(minutes, MINUTES[minutes])
        tasks, links = self.route.tasks, self.route.links
        before = [tasks[-1].id] if after is None and tasks else after or []
        project = self.making.project
        kind = "passive" if passive else "hands_on"
        number = f"{project}-{len(tasks) + 1:03d}"
        tasks.append(Task(number, project, name, kind, minutes, splittable=splittable))  # type: ignore[arg-type]
        for cause in [before] if isinstance(before, str) else before:
            links.append(Link(cause, number, open_minutes, close_minutes))
        return number


def propose_route(making: Making) -> Route:
    """The steps of a project in the order of the bench, with what each waits for and what is held.

    Parameters: making.
    Returns: a Route; ids are the project's code and a number. Lifts inside a stack are linked by hard
    windows; a mould is held from its building to demoulding.
    Valid for: a proposal; every figure is the shop's to change.
    Source: common practice, no source, but for the resin's hours, which are its sheet's.

    >>> route = propose_route(Making("007", [BlockFacts("A", 50, (Lift(45, 4, 14), Lift(45, 4, 14)))]))
    >>> len(route.tasks), [link.label for link in route.links if link.hard]
    (30, ['lift 1 to 2 of block A'])
    """
    draft = _Draft(making)
    draft.add("Buy what is missing", "buy")
    bought = draft.add("Delivery", making.buy_days * 24 * 60, passive=True)
    sawn = [_block(draft, block, bought) for block in making.blocks]
    draft.add("Dry fit", "dry_fit", sawn)
    if making.pieces:
        _glue_up(draft)
    draft.add("Frame and sand through the grades", "frame_and_sand", splittable=True)
    draft.add("Wet sand", "wet_sand", splittable=True)
    draft.add("Dry after wet sanding", "drying", passive=True)
    _finish(draft)
    draft.add("Light and test", "light")
    draft.add("Full cure before heat or packing", "full_cure", passive=True)
    draft.add("Pack", "pack")
    return draft.route


def _block(draft: _Draft, block: BlockFacts, bought: str) -> str:
    """The steps of one block; the last of them."""
    name = f"block {block.letter}"
    draft.add(f"Set strips of {name} to condition", "condition", bought)
    draft.add(f"Strips of {name} come to rest", "conditioning", passive=True)
    sealing = draft.making.minutes.get("seal_per_strip", MINUTES["seal_per_strip"]) * block.strips
    draft.add(f"Measure and seal strips of {name}", sealing, splittable=True)
    draft.add(f"Seal coat of {name} dries to handle", "tack", passive=True)
    strips = draft.add(f"Measure sealed strips of {name}, print combs", "measure")
    mould = draft.add(f"Build and seal the mould of {name}", "mould", bought)
    draft.add(f"Sealant of {name} dries", "sealant", passive=True)
    tested = draft.add(f"Leak-test the empty mould of {name}", "leak_test")
    draft.add(f"Load strips of {name}, hold down, level", "load", [strips, tested])
    draft.add(f"Check for pouring {name}, the evening before", "check")
    draft.add(f"Set out for {name}", "set_out")
    poured = _pour(draft, block, name)
    draft.add(f"{name.capitalize()} cures in the mould", block.demould_h * 60, poured, passive=True)
    demould = draft.add(f"Demould {name}", "demould")
    cure = Cure(block.demould_h, at_c=block.sheet_c)
    draft.route.links.append(Link(poured, demould, cure=cure, label=f"{name} is hard"))
    draft.route.spans.append(Span("mould", 1, mould, demould))
    draft.add(f"{name.capitalize()} rests", "rest", passive=True)
    draft.add(f"Flatten {name}", "flatten", splittable=True)
    return draft.add(f"Saw {name}", "saw", splittable=True)


def _pour(draft: _Draft, block: BlockFacts, name: str) -> str:
    """The lifts of a block: nobody can sand between strips, so that their windows are hard."""
    check = draft.route.tasks[-2].id
    poured = ""
    for number, lift in enumerate(block.lifts, start=1):
        title = f"Pour {name}" if len(block.lifts) == 1 else f"Pour lift {number} of {name}"
        before = poured
        poured = draft.add(title, lift.minutes, None if number == 1 else [])
        if number == 1:
            draft.route.links.append(Link(check, poured, EVENING_BEFORE_MINUTES, label="the evening before"))
        else:
            last = block.lifts[number - 2]
            cure = Cure(last.open_h, last.close_h, last.sheet_c)
            label = f"lift {number - 1} to {number} of {name}"
            draft.route.links.append(Link(before, poured, hard=True, cure=cure, label=label))
    return poured


def _glue_up(draft: _Draft) -> None:
    """A glue-up in parts, each with its own cup, open time and rest."""
    making = draft.making
    parts = glue_up_parts(
        making.pieces, making.pieces_per_minute, making.glue_open_minutes, making.glue_parts
    )
    setup = making.minutes.get("glue_setup", MINUTES["glue_setup"])
    for number, pieces in enumerate(parts, start=1):
        which = f" {making.part_name} {number}" if len(parts) > 1 else ""
        minutes = math.ceil(setup + placing_minutes(pieces, making.pieces_per_minute))
        draft.add(f"Glue up{which}, {pieces} pieces", minutes)
        draft.add(f"Clamped{which}", "clamped", passive=True)


def _finish(draft: _Draft) -> None:
    """Coats of finish; the face is open, so that a missed window can be sanded."""
    for number in range(1, draft.making.coats + 1):
        if number == 1:
            draft.add("Coat 1", "coat")
            continue
        waits = draft.making.minutes.get("between_coats", MINUTES["between_coats"])
        draft.add(f"Coat {number}", "coat", open_minutes=waits, close_minutes=RECOAT_CLOSES_MINUTES)
    draft.add("Finish dries", "drying", passive=True)
