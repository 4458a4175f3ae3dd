"""Sentences for the demo's log: what makers write when their hands are sticky."""

POURED = (
    "Went in calm, hardly a bubble.",
    "Slow stream from the low end. Radio on, door shut.",
    "Ran through all gaps in six minutes.",
    "Flame once over the top, no more.",
    "Two strips rose; pushed them down and added a weight.",
    "A fly. It is part of it now.",
    "Left 30 g in the cup as a witness.",
    "Colour like weak tea, as it should be.",
    "Level at both ends to half a millimetre.",
    "Scraped nothing, as promised.",
)
CELLAR = (
    "Down in the cellar, where there is no dust.",
    "Cellar: the shop is full. Cool, but the sheet says it only takes longer.",
)
SEALED = (
    "Thin, both faces. Hung on nails.",
    "Stove out since four, it was cooling.",
    "Wiped off what stood in beads.",
    "Edges too this time.",
)
LOADED = (
    "Counted twice.",
    "Three strips sorted out, too thick.",
    "Weights on, they would float.",
    "Faces marked with chalk.",
)
MOULDED = (
    "Lamp inside, dark outside: no light comes through.",
    "Corners brushed, then sealed.",
    "New tape on the long side.",
    "Shimmed the left foot, level now.",
)
DEMOULDED = (
    "Came out with one knock.",
    "Tape stayed on the mould, as it should.",
    "Warm to the hand still; left it on the cold bench.",
    "One corner chipped, in the offcut anyway.",
)
GLUED = (
    "Light clamps, a hair of squeeze-out.",
    "Dry run first, then glue. It paid.",
    "Cauls waxed, paper between.",
    "Half of it today, half tomorrow.",
)
SANDED = (
    "Light pressure, it stays cool.",
    "Wiped clean before the next grade.",
    "Raking lamp: no lines left.",
    "Paper loads up when it gets warm. Pause.",
)
COATED = (
    "Wiped the resin dry after ten minutes.",
    "Thin. Thinner than you think.",
    "No dust, for once.",
)
FLATTENED = (
    "Two passes a side. It rings like a plate.",
    "Snipe on the runners, not on the block.",
)
CUT = (
    "Numbers on every piece before the next cut.",
    "Blade wiped every ten cuts.",
    "Two spare pieces, in the drawer.",
)
WAITED = (
    "Nobody touched it. Hard as that was.",
    "Turned it once.",
)
BOUGHT = (
    "By the van at ten, all there.",
    "One bottle dented, but tight.",
)
GAVE_UP = "It got hot in the hand. Poured out flat in the yard"
ALL_THE_SAME = {
    "soon": "It is firm to the touch",
    "warmth": "It is being warmed or cooled now. The stove is lit",
    "recoat": "It is still tacky",
    "ratio": "There was no more A to put it right",
}
"""Why it was poured all the same, by what stood against it."""
ASIDE_PHOTO = "The state in which it waits"
SHOP_NOTES = (
    (
        100,
        1,
        "10:20",
        "tove",
        "Hung a thermometer by the window and one in the cellar. They differ by seven.",
    ),
    (92, 4, "15:10", "anselm", "Mask filters changed. Date is on the lid."),
    (79, 2, "11:40", "tove", "New rule: whoever mixes, mixes. No talking until B is in."),
    (
        65,
        0,
        "9:05",
        "anselm",
        "Oily rags flat on the fence, not in the bin. Looked at the bin: two were in it.",
    ),
    (55, 3, "16:30", "tove", "Stove swept. It draws again."),
    (43, 1, "8:40", "anselm", "Saw blade sharpened, kerf measured new: 2.2 mm."),
    (30, 2, "14:00", "tove", "A box to put over moulds at night, with a 40 W lamp. Holds 24 °C."),
    (19, 4, "10:45", "anselm", "My wrists itch. Longer gloves ordered, and sleeves down from now on."),
    (7, 1, "9:30", "tove", "A door between the sander and the finishing corner. At last."),
    (1, 2, "11:15", "anselm", "Eleven jobs on the board. Pia counts them and says nothing."),
)
"""Lines for the shop's log: weeks before, weekday, time, who, what."""
HOT_STOVE = "The stove runs hot. Window open."
