"""What is checked before a step of each kind, in the order of the bench. Common practice, no source.

A shop's own lessons come after these lines.
"""

from projects.models import Step

KIND = Step.Kind
CHECKS = {
    KIND.BUY: (
        "Count what is on the shelf, bottles by weight",
        "Enough of A and B from one delivery",
        "Nothing past its date",
    ),
    KIND.CONDITION: (
        "Strips on stickers, air all round",
        "Air like the place where the panel will hang lit",
        "Weighed twice a day apart: less than 0.2 % between",
    ),
    KIND.MEASURE: (
        "Thickness of ten strips, both ends and middle",
        "Sorted by thickness",
        "Weighed: a meter can't read thin strips",
    ),
    KIND.SEAL: (
        "Warmth of the shop steady or falling",
        "Both faces and the edges, thin",
        "Stickers ready, waxed",
        "Gloves, glasses, window open",
    ),
    KIND.COMBS: (
        "Slots for the sealed strip, a gauge comb tried first",
        "How each comb leaves the block is clear",
        "Combs close enough that no strip bows",
    ),
    KIND.MOULD: (
        "Tape and sealant tried with this resin",
        "All seams sealed, walls taped",
        "Tested empty: no light and no air comes through",
        "Dry inside",
        "Tray under it holds all the resin",
    ),
    KIND.LOAD: (
        "Strips dry to handle",
        "In order, faces the right way round",
        "Held down: strips float",
        "Level both ways, strips plumb",
    ),
    KIND.CHECK: (
        "The check for this pour gone through",
        "Enough A and B, nothing past its date",
        "Strips dry to handle, held down, mould level and tested",
        "Shop warm enough tomorrow, and dry",
    ),
    KIND.SET_OUT: (
        "Resin, cups, sticks, scale and gloves within reach",
        "Bottles as warm as the shop",
        "Tray, rags and a flat pan for a hot cup by the door",
        "Nobody and nothing in the way until it is poured",
    ),
    KIND.POUR: (
        "Gloves, glasses, window open",
        "Mould taped, sealed, dry, and it holds",
        "Mould level both ways, tray under it",
        "Strips in their slots, held down",
        "A and B of the same resin set out, scale on",
    ),
    KIND.CURE: ("Warmth stays above the sheet's lowest", "Dust kept off"),
    KIND.DEMOULD: (
        "The later of sheet and clock is past",
        "Witness cup hard, a corner takes no nail",
        "Block as cool as the shop",
    ),
    KIND.MARK: ("Both faces under a raking light", "Bubbles, voids and bows ringed on the block"),
    KIND.REST: ("Lies flat, air on both faces",),
    KIND.FLATTEN: (
        "Extraction on, mask on",
        "Thin passes, both faces in turn",
        "Resin stays cool: no shine, no smell",
    ),
    KIND.TEST_CUT: (
        "Kerf measured on this blade",
        "Angle tried on scrap: the error shows twice when flipped",
        "Stop block free of dust",
        "Guard and push block in place",
    ),
    KIND.CUT: (
        "Faces marked, all cuts from one face",
        "Long enough to hold safely",
        "Each piece numbered as it leaves the saw",
        "Guard and push block in place",
    ),
    KIND.DRY_FIT: ("All pieces there, none turned", "Lines meet at every seam", "The last joint closes"),
    KIND.GLUE_UP: (
        "Dry run done inside the open time",
        "Clamps set and within reach",
        "Paper or foil under every joint",
        "Gloves on",
    ),
    KIND.CLAMPED: ("Light pressure only", "Flat on the table"),
    KIND.LEVEL: ("Short panel on runners", "Thin cuts, along the strips", "Extraction on, mask on"),
    KIND.SAND: (
        "No grade skipped, one system of grades",
        "Dust off between the grades",
        "A pencil line gone before the next grade",
        "Extraction on, mask on",
    ),
    KIND.COAT: (
        "Dry, no dust, no wax or grease",
        "Thin, the excess wiped off the resin",
        "Oily rags laid flat outside or drowned in a lidded can",
    ),
    KIND.DRY: ("Dust kept off, air moves",),
    KIND.LIGHT: ("Lamps on metal, air behind them", "Resin stays below 40 °C after an hour"),
    KIND.PACK: ("Fully cured", "Nothing sticks to the faces", "Corners guarded"),
}


AT_THE_MOULD = {
    "All seams sealed, walls taped": ("taped", "sealed"),
    "Tested empty: no light and no air comes through": ("tested_empty",),
}
"""Lines of a mould's checklist that the act of building it says as well, and what of it each line takes."""

LOOKED_OVER = {
    "All seams sealed, walls taped": ("taped", "sealed"),
    "Tested empty: no light and no air comes through": ("leak-tested",),
    "Dry inside": ("sealant dry",),
    "Tray under it holds all the resin": ("tray under it",),
    "Level both ways, strips plumb": ("levelled",),
    "Strips dry to handle, held down, mould level and tested": ("levelled", "leak-tested"),
    "Mould taped, sealed, dry, and it holds": ("taped", "sealed", "sealant dry", "leak-tested"),
    "Mould level both ways, tray under it": ("levelled", "tray under it"),
}
"""Lines that say of a mould what the check before a mix asks as well, and which of its looks each takes."""
HELD_DOWN = (
    "Held down: strips float",
    "Strips dry to handle, held down, mould level and tested",
    "Strips in their slots, held down",
)
"""Lines that say that the strips are held down."""


def checks_of(kind, *, passive=False):
    """The lines for a kind of step; none for other work, and where one waits for a delivery."""
    return () if passive and kind == KIND.BUY else CHECKS.get(Step.Kind(kind), ())
