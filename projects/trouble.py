"""What usually lies behind each kind of failure: likely causes, what to look for, what prevents it.

All of it is common practice, no source. It says where to look first; what the shop finds overrules it.
"""

from dataclasses import dataclass

from projects.models import Cause, Failure, Step

KIND, CODE, STEP = Failure.Kind, Cause.Code, Step.Kind
GROUPS = (
    ("Resin", (KIND.SOFT, KIND.SOFT_SPOTS, KIND.OVERHEATED, KIND.CRACKS, KIND.WOOD_BUBBLES, KIND.FINE_BUBBLES,
               KIND.HAZE, KIND.GREASY, KIND.LAYER_LINE)),
    ("Mould and strips", (KIND.VOIDS, KIND.LEAK, KIND.LOOSE, KIND.BOWED, KIND.PITCH, KIND.WARPED)),
    ("Sawing and glue", (KIND.CHIPPED, KIND.OPEN_RING, KIND.LINES, KIND.GLUE_LINE)),
    ("Surface", (KIND.SMEARED, KIND.SCRATCHES, KIND.STICKY_FINISH)),
    ("In use, and people", (KIND.IN_USE, KIND.PERSON, KIND.OTHER)),
)  # fmt: skip
"""The kinds as a form offers them, so that the right one is found on a phone."""

SMOKE = "Smoke or heat: out of the shop, windows open, nobody over the mould. Write later."
DUST = "Dust of half-cured resin makes allergic: extraction and a mask, and wash before you eat."


@dataclass(frozen=True)
class Trouble:
    """One kind: how a pour is said to have gone, causes with what to look for, prevention, and a caution."""

    went: str
    likely: dict
    """Cause.Code to what to look for, the likeliest in front."""
    prevent: tuple
    stops_at: str
    """The kind of step at whose checklist it is stopped."""
    care: str = ""


TROUBLES = {
    KIND.SOFT: Trouble(
        "went soft",
        {
            CODE.RATIO: "Both masses of the cup against the sheet; what is left in the cup is soft too.",
            CODE.COLD: "The air by day and by night after the pour: below 15 °C many resins stand still.",
            CODE.OLD: "The date of B, and whether it is darker or thicker than fresh B.",
            CODE.OTHER: "A and B of two different resins: read both labels.",
        },
        ("Both parts weighed, ratio read out by a second person", "Room warm enough for a night and a day"),
        STEP.POUR,
    ),
    KIND.SOFT_SPOTS: Trouble(
        "had soft spots",
        {
            CODE.UNMIXED: "The rest in the cup is hard, and the soft streaks follow the order of pouring.",
            CODE.DIRT: "Soft only where wax, oil or wet wood touched it.",
        },
        ("Poured into a second clean cup and mixed again", "The cup not scraped out into the mould"),
        STEP.POUR,
    ),
    KIND.OVERHEATED: Trouble(
        "ran hot",
        {
            CODE.DEEP: "Depth of the pour against what the sheet allows in this stack.",
            CODE.BIG_CUP: "Mass of the cup against the one that the sheet's pot life is for.",
            CODE.LATE: "Minutes from the meeting of the parts to the mould: an old cup is already hot.",
            CODE.WARM: "Warmth of room, resin and mould.",
        },
        ("Depth below the sheet's limit, else two pours", "Cups small enough, poured at once, room cool"),
        STEP.POUR,
        SMOKE,
    ),
    KIND.CRACKS: Trouble(
        "cracked",
        {
            CODE.EARLY: "Out of the mould while warm inside, or cooled in a draught.",
            CODE.DEEP: "How hot it became: a hot block shrinks the more as it cools.",
            CODE.OTHER: "Cracks that start at a sharp strip end or corner.",
        },
        ("Left in the mould until it is as cool as the room", "Strip ends rounded"),
        STEP.DEMOULD,
    ),
    KIND.WOOD_BUBBLES: Trouble(
        "had bubble trails",
        {
            CODE.UNSEALED: "Trails begin at pores; the wood was bare, or sealed while it grew warmer.",
            CODE.EARLY: "The age of the seal coat at the pour against its window: was it still wet?",
            CODE.DAMP_WOOD: "Moisture or mass of the strips before they were loaded.",
            CODE.WARM: "Whether the shop warmed up after the pour: air in the wood then pushes out.",
        },
        (
            "Two seal coats, put on while the shop cools",
            "Strips at rest weight before sealing",
            "Seal coat dry by its clock before strips are loaded",
        ),
        STEP.SEAL,
    ),
    KIND.FINE_BUBBLES: Trouble(
        "came out full of fine bubbles",
        {
            CODE.COLD: "Resin poured cold and thick; the same bubbles stand in the rest of the cup.",
            CODE.UNMIXED: "Whipped instead of stirred: a fast mixer, or a drill near the surface.",
        },
        ("Bottles stand at 25 °C before mixing", "Stirred slowly, left to rest, poured in a thin stream"),
        STEP.POUR,
    ),
    KIND.VOIDS: Trouble(
        "had voids",
        {
            CODE.FILLED: "Voids under a strip or comb: the gap was closed by resin from both ends.",
            CODE.COMBS: "Flat undersides of combs that hold air.",
        },
        ("Filled slowly from one low end", "Undersides of combs bevelled"),
        STEP.POUR,
    ),
    KIND.HAZE: Trouble(
        "went milky",
        {
            CODE.DAMP_WOOD: "Milky near the wood only: moisture of the strips.",
            CODE.DAMP_AIR: "Milky on top: humidity of the air while it cured.",
            CODE.OLD: "Milky all through, the cup too: B has drawn water, or a colour does not belong in it.",
        },
        ("Strips at rest weight before sealing", "Air below 65 %, lids closed at once"),
        STEP.CONDITION,
    ),
    KIND.GREASY: Trouble(
        "got a greasy film",
        {
            CODE.DAMP_AIR: "Humidity and dew point of the day; the film comes off with warm water.",
            CODE.COLD: "A cool night after the pour, or an open flame that heats the shop.",
        },
        ("Shop well above its dew point, no open flame", "Washed with water and sanded before the next coat"),
        STEP.POUR,
    ),
    KIND.LAYER_LINE: Trouble(
        "got a line between pours",
        {
            CODE.LATE: "The clock of the pour below: had its window closed?",
            CODE.DIRT: "Dust or a film on the lower pour; the line lies at its height.",
        },
        ("Next pour inside its window, somebody is there", "Covered while it waits"),
        STEP.POUR,
    ),
    KIND.LOOSE: Trouble(
        "came off the wood",
        {
            CODE.DAMP_WOOD: "Moisture of the wood then and now: it has shrunk or swelled since.",
            CODE.UNSEALED: "A clean wood face at the break: the resin never wetted it.",
            CODE.LATE: "The age of the seal coat at the pour against its window: was it closed?",
            CODE.DIRT: "An oily wood, or faces burnished by dull knives.",
        },
        ("Strips at the moisture of their later place", "Fresh faces, oily woods wiped and sealed"),
        STEP.SEAL,
    ),
    KIND.LEAK: Trouble(
        "leaked",
        {
            CODE.MOULD: "Where the tape lifted, or a seam that was not sealed; weigh the puddle.",
            CODE.EARLY: "Sealant that was not yet hard when the resin came.",
        },
        ("Mould tested empty with light or air", "A first thin pour locks the seams, tray under the mould"),
        STEP.MOULD,
        "Wipe up with paper, never with sawdust: it can catch fire.",
    ),
    KIND.BOWED: Trouble(
        "got bowed strips",
        {
            CODE.FILLED: "One gap full while its neighbour was empty: the head of resin bends a strip.",
            CODE.COMBS: "Bows lie between the combs: they stand too far apart.",
            CODE.DAMP_WOOD: "Strips that swelled, or floated because nothing held them down.",
        },
        ("Combs closer, every strip held down", "Neighbouring gaps filled in turn"),
        STEP.LOAD,
    ),
    KIND.PITCH: Trouble(
        "came out of pitch",
        {
            CODE.COMBS: "A comb measured over ten teeth.",
            CODE.TURNED: "Thickness of the strips, lot by lot: the stack has grown by it.",
            CODE.UNSEALED: "Seal coats make strips thicker: count them in.",
        },
        ("A short comb tried first with sealed strips", "Strips sorted by thickness"),
        STEP.COMBS,
    ),
    KIND.WARPED: Trouble(
        "bowed",
        {
            CODE.EARLY: "Out of the mould before it was hard all through.",
            CODE.DAMP_WOOD: "One face drier than the other: does the bow change with days?",
            CODE.WARM: "One side warmer while it cured.",
        },
        ("In the mould until it is hard, then flat with air on both sides", "A rest before it is flattened"),
        STEP.DEMOULD,
    ),
    KIND.OPEN_RING: Trouble(
        "did not close",
        {
            CODE.ANGLE: "Gaps all on the inside or all on the outside: the angle; it counts at every face.",
            CODE.DIRT: "Dust on the fence, pieces of unequal length.",
        },
        ("A test ring of scrap first", "Half rings trimmed before they are joined"),
        STEP.TEST_CUT,
    ),
    KIND.LINES: Trouble(
        "had lines that didn't meet",
        {
            CODE.TURNED: "The step changes sides from seam to seam: a piece was flipped.",
            CODE.ANGLE: "The same step at each seam: what the saw takes was left out.",
        },
        ("Pieces numbered and their faces marked before sawing", "Cut from one marked end"),
        STEP.CUT,
    ),
    KIND.GLUE_LINE: Trouble(
        "had a dry glue line",
        {
            CODE.CLAMPED: "Much squeezed out, little left; thin glue that ran into the wood.",
            CODE.LATE: "Open time of the glue against the minutes until the clamps held.",
            CODE.DIRT: "A greasy or polished face at the break.",
        },
        ("End grain primed, light clamps", "Glued in parts that fit into the open time"),
        STEP.GLUE_UP,
    ),
    KIND.CHIPPED: Trouble(
        "tore out",
        {
            CODE.TOOL: "Chips at the edge where the blade leaves: too deep, too fast, or dull.",
            CODE.EARLY: "Resin still soft, or brittle from a cold shop.",
        },
        ("Scrap behind the cut, shallow passes", "Short pieces sanded, not planed"),
        STEP.CUT,
        "Short pieces and a saw: sled, stops and hands well away.",
    ),
    KIND.SMEARED: Trouble(
        "smeared",
        {
            CODE.TOOL: "Shiny patches and a loaded paper: it got hot.",
            CODE.EARLY: "Days since the pour: not cured yet, it smears at once.",
        },
        ("Full cure waited for", "Light pressure, fresh paper, pauses, wet from the finer grades"),
        STEP.SAND,
        DUST,
    ),
    KIND.SCRATCHES: Trouble(
        "came out scratched",
        {
            CODE.GRADE: "Width of a scratch in low light against the grades; P and CAMI numbers mixed.",
            CODE.DIRT: "A few deep ones across: grit from a coarser grade.",
        },
        ("No grade skipped, its system written on it", "Panel and hands wiped between grades"),
        STEP.SAND,
        DUST,
    ),
    KIND.STICKY_FINISH: Trouble(
        "got a sticky finish",
        {
            CODE.DIRT: "Only on resin, or in round spots: film, release wax or silicone below it.",
            CODE.LATE: "Oil left standing instead of wiped dry.",
            CODE.DAMP_AIR: "Cold or damp air while it dried.",
        },
        ("Washed and sanded before the first coat", "Thin coats, wiped dry within minutes"),
        STEP.COAT,
        "Oily rags catch fire by themselves: lay them flat outside, or wet in a lidded can.",
    ),
    KIND.IN_USE: Trouble(
        "changed in use",
        {
            CODE.LAMP: "The change lies behind the lamp or on the sunny side; how warm does it get there?",
            CODE.EARLY: "Lit or packed before full cure.",
        },
        ("Air between lamp and panel, lamp run dimmer", "Kept out of direct sun, finish with UV cover"),
        STEP.LIGHT,
    ),
    KIND.PERSON: Trouble(
        "hurt somebody",
        {
            CODE.SKIN: "Who, at which work, how soon after: bare skin, a short sleeve, dust without a mask.",
            CODE.EARLY: "Sanding resin that was not cured through.",
        },
        ("Gloves, long sleeves, air", "Extraction and a mask for all dust; no solvent on skin"),
        STEP.POUR,
        "Stop working with it, wash with soap and water, see a doctor and take the data sheet along.",
    ),
    KIND.OTHER: Trouble("went wrong", {}, (), STEP.POUR),
}  # fmt: skip

AGAINST = {
    CODE.RATIO: ("Both parts weighed, ratio read out by a second person", STEP.POUR),
    CODE.UNMIXED: ("Poured into a second clean cup and mixed again", STEP.POUR),
    CODE.OLD: ("Dates of both bottles read, B as pale as fresh B", STEP.POUR),
    CODE.COLD: ("Room warm enough for a night and a day", None),
    CODE.WARM: ("Room cool, and not warming up", None),
    CODE.DAMP_AIR: ("Air below 65 %, shop well above its dew point", None),
    CODE.DEEP: ("Depth below the sheet's limit, else two pours", STEP.POUR),
    CODE.BIG_CUP: ("Cup no heavier than the one the sheet's pot life is for", STEP.POUR),
    CODE.LATE: ("Somebody is there before the window closes", None),
    CODE.EARLY: ("Hard all through, and as cool as the room", None),
    CODE.DAMP_WOOD: ("Strips at rest weight before sealing", STEP.CONDITION),
    CODE.UNSEALED: ("Two seal coats, put on while the shop cools", STEP.SEAL),
    CODE.MOULD: ("Mould tested empty with light or air", STEP.MOULD),
    CODE.COMBS: ("A short comb tried first, combs closer", STEP.COMBS),
    CODE.FILLED: ("Filled slowly from one low end, neighbouring gaps in turn", STEP.POUR),
    CODE.ANGLE: ("A test ring of scrap first", STEP.TEST_CUT),
    CODE.TURNED: ("Pieces and strips numbered, their faces marked", None),
    CODE.CLAMPED: ("End grain primed, light clamps", STEP.GLUE_UP),
    CODE.TOOL: ("Sharp tool, shallow passes, nothing gets hot", None),
    CODE.GRADE: ("No grade skipped, its system written on it", STEP.SAND),
    CODE.DIRT: ("No dust, wax or silicone on the faces", None),
    CODE.LAMP: ("Air between lamp and panel, lamp run dimmer", STEP.LIGHT),
    CODE.SKIN: ("Gloves, long sleeves, mask, air", None),
}
"""What stops each cause, and at whose checklist; None: at the one where its kind of failure is stopped."""

CONDITIONS = {
    "wet_coat": ("over a seal coat that was still wet", CODE.EARLY),
    "old_coat": ("over a seal coat past its window", CODE.LATE),
    "cold": ("below {cold}", CODE.COLD),
    "below_sheet": ("colder than the sheet allows", CODE.COLD),
    "damp": ("in air above {damp}", CODE.DAMP_AIR),
    "old_b": ("with B past its date", CODE.OLD),
    "ratio": ("with a ratio further off than allowed", CODE.RATIO),
    "deep": ("deeper than the sheet allows", CODE.DEEP),
    "late": ("poured after the pot life", CODE.LATE),
    "heavy": ("from a cup heavier than the sheet's pot life is for", CODE.BIG_CUP),
}
"""The conditions that pours are compared by: how pours are said to be in it, and the cause it points to."""

OVERRULED = {
    "heat": CODE.DEEP,
    "cup_heat": CODE.BIG_CUP,
    "lift_window": CODE.LATE,
    "pot_life": CODE.BIG_CUP,
    "fill": CODE.FILLED,
    "bow": CODE.COMBS,
    "combs": CODE.COMBS,
    "lots": CODE.OLD,
    "dew_point": CODE.DAMP_AIR,
    "strip_moisture": CODE.DAMP_WOOD,
    "seal_coat": CODE.EARLY,
    "mould": CODE.MOULD,
}
"""Stops of the check that point to a cause where somebody poured all the same. Common practice, no source."""


def pointed_to(facts):
    """The causes that facts of a pour speak for: conditions that held, stops that were overruled."""
    held = {CONDITIONS[name][1] for name, yes in facts.get("held", {}).items() if yes}
    codes = {row["code"] for row in facts.get("overruled", ())}
    return held | {OVERRULED[code] for code in codes if code in OVERRULED}
