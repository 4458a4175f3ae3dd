"""The route that a new project begins with: the order of the bench, to be changed by whoever makes it.

Order and hours are common practice, no source. Hours that have a name are the planner's own
(`projects/planning/route.py`), so that there is one place for them.
"""

from dataclasses import dataclass

from projects.models import Project, Step

KIND = Step.Kind
# what the planner has no name for, in minutes
# the planner's own: the check while something can still be bought or dried, coats on an open face
EVENING_BEFORE_MIN, RECOAT_OPENS_MIN, RECOAT_CLOSES_MIN = 8 * 60, 18 * 60, 48 * 60
COMBS, MARK, TEST_CUTS, PART, LEVEL, LOOK = 30, 15, 45, 45, 60, 30
POUR = 60


@dataclass(frozen=True)
class Line:
    """One step of the route: its kind, its words, and how long it takes.

    `minutes` is a number or the names of the planner's usual minutes, added up; `{block}` in the words is
    the block's name. Passive steps go by themselves once begun.
    """

    kind: str
    title: str
    minutes: int | tuple[str, ...]
    passive: bool = False
    of_block: bool = False


def of_block(kind, title, minutes, passive=False):
    """A line that belongs to the block."""
    return Line(kind, title, minutes, passive, of_block=True)


STRIPS = (
    of_block(KIND.CONDITION, "Set the strips out", ("condition",)),
    of_block(KIND.CONDITION, "Let the strips come to rest", ("conditioning",), passive=True),
    of_block(KIND.MEASURE, "Measure the strips", ("measure",)),
    of_block(KIND.SEAL, "Seal coat on the strips", ("seal",)),
    of_block(KIND.MEASURE, "Measure the sealed strips", ("measure",)),
    of_block(KIND.COMBS, "Make the combs", COMBS),
    of_block(KIND.MOULD, "Build the mould and test it empty", ("mould", "leak_test")),
    of_block(KIND.LOAD, "Load the strips, hold down, level", ("load",)),
    of_block(KIND.CHECK, "Check for the pour, the evening before", ("check",)),
    of_block(KIND.SET_OUT, "Set out for the pour", ("set_out",)),
    of_block(KIND.POUR, "Pour {block}", POUR),
    of_block(KIND.CURE, "Cure {block} in the mould", ("cure",), passive=True),
    of_block(KIND.DEMOULD, "Demould {block} and measure it", ("demould",)),
    of_block(KIND.MARK, "Mark the flaws", MARK),
)
PIECE = (
    Line(KIND.BUY, "Buy what is missing", ("buy",)),
    Line(KIND.BUY, "Wait for what was bought", ("delivery",), passive=True),
    *STRIPS,
    of_block(KIND.REST, "Let {block} rest", ("rest",), passive=True),
    of_block(KIND.FLATTEN, "Flatten {block}", ("flatten",)),
    of_block(KIND.TEST_CUT, "Test cuts", TEST_CUTS),
    of_block(KIND.CUT, "Cut the pieces", ("saw",)),
    Line(KIND.DRY_FIT, "Dry fit", ("dry_fit",)),
    Line(KIND.GLUE_UP, "Glue up, part 1", PART),
    Line(KIND.CLAMPED, "Part 1 in the clamps", ("clamped",), passive=True),
    Line(KIND.GLUE_UP, "Glue up, part 2", PART),
    Line(KIND.CLAMPED, "Part 2 in the clamps", ("clamped",), passive=True),
    Line(KIND.LEVEL, "Flatten the panel", LEVEL),
    Line(KIND.SAND, "Sand through the grades", ("frame_and_sand",)),
    Line(KIND.SAND, "Wet sand", ("wet_sand",)),
    Line(KIND.DRY, "Dry after wet sanding", ("drying",), passive=True),
    Line(KIND.COAT, "Finish, coat 1", ("coat",)),
    Line(KIND.DRY, "Coat 1 dries", ("between_coats",), passive=True),
    Line(KIND.COAT, "Finish, coat 2", ("coat",)),
    Line(KIND.DRY, "Coat 2 dries", ("drying",), passive=True),
    Line(KIND.LIGHT, "Light it and look", ("light",)),
    Line(KIND.DRY, "Full cure before warmth or packing", ("full_cure",), passive=True),
    Line(KIND.PACK, "Pack", ("pack",)),
)
# a small block made to learn: no panel comes of it
CASTING = (*STRIPS, of_block(KIND.TEST_CUT, "Saw it through and look", LOOK))


@dataclass(frozen=True)
class Tie:
    """One step of the route waits for another, each named by its kind and how many of it come before it."""

    before: tuple
    after: tuple
    open_min: int = 0
    close_min: int | None = None

    @property
    def window(self):
        """As a link stores it."""
        return {"open_min": self.open_min, "close_min": self.close_min}


TIES = (
    Tie((KIND.CHECK, 0), (KIND.POUR, 0), open_min=EVENING_BEFORE_MIN),
    # the face is open: a window that was missed is sanded
    Tie((KIND.COAT, 0), (KIND.COAT, 1), open_min=RECOAT_OPENS_MIN, close_min=RECOAT_CLOSES_MIN),
)
"""Windows on top of the order of the route; common practice, no source."""
# what follows the figures of the block: how long these kinds take, by the name of their usual minutes
FOLLOWING = {KIND.SEAL: "seal", KIND.CURE: "cure"}
ROUTES = {Project.Purpose.PIECE: PIECE, Project.Purpose.CASTING: CASTING}


def ties_of(steps):
    """The ties between steps of a new route, as triples of two steps and a Tie; only where both are there."""
    by_kind = {}
    for step in steps:
        by_kind.setdefault(step.kind, []).append(step)

    def found(end):
        kind, number = end
        rows = by_kind.get(kind, [])
        return rows[number] if number < len(rows) else None

    pairs = [(found(tie.before), found(tie.after), tie) for tie in TIES]
    return [(before, after, tie) for before, after, tie in pairs if before and after]


def title_of(line, block):
    """The words of a line for a block; those of the second and later blocks always name it."""
    named = line.title.format(block=f"block {block.letter}")
    return named if named != line.title or not block.position else f"{named}, block {block.letter}"


def minutes_of(line, usual):
    """How long a line takes, by the `usual` minutes of each name."""
    if isinstance(line.minutes, int):
        return line.minutes
    return round(sum(usual[name] for name in line.minutes))
