"""How projects of the demo differ from the usual route, and what was written on their lists."""

ADDED = {
    "Stair window": ("other", "Measure the opening at Ferry House", 90, "buy"),
    "Front of a lectern": ("other", "Carry it up to the organ loft", 60, "pack"),
    "Counter front, bakery in Tun Street": ("other", "Fit it before the ovens are lit", 120, "pack"),
    "Tide lines, wall panel": ("other", "Ask the harbour master for the numbers", 30, "condition"),
    "Sign for the harbour office": ("other", "Cut the letters from card first", 60, "dry_fit"),
}
"""A step of their own: kind, words, minutes, and the kind of step it comes after."""
CHECKS = {
    "Lamp hood, a pair": ("pour", "Both hoods from one block: arrow to the left one"),
    "Headboard for a narrow bed": ("cut", "Knots of the cherry on the outside"),
}
"""A line of their own on the checklist of a kind of step."""
CHANGED_THEIR_MIND = {"Stair window, second floor": "test_cut"}
"""Where a step was taken out, and the change taken back the same hour."""
KEPT = {"Counter front, bakery in Tun Street": "Front that is fitted on site"}
"""Whose route was kept for later projects, and under which name."""
TOGETHER = {"Stair window, second floor", "Tide lines, wall panel"}
"""Glue-ups for two pairs of hands, by name."""
WANTED = (
    (1, 3, "9:40", "Sign for the harbour office", "oil", 250),
    (1, 3, "9:42", "Sign for the harbour office", "tape", 1),
    (1, 4, "11:20", "Headboard for a narrow bed", "filters", 1),
    (1, 4, "11:22", "Headboard for a narrow bed", "cups", 12),
)
"""What was written on shelf lists by hand: when, whose, what, how much."""
LET_GO = (6, 2, "16:50", "Read the back of the disc: P, not CAMI; wipe between grades")
"""The flea market's sheets are used up, and so is this lesson."""
SHEET_LINES = (
    "Meer 48, deep casting", "Oddlund (an invented maker, in a demo)", "A : B  100 : 42 by mass",
    "Pot life 210 min, 500 g at 22 C", "Depth 40 mm at 22 C", "Next pour 12 to 36 h, out of the mould 60 h",
    "Not below 16 C. Gloves, glasses, fresh air.",
)  # fmt: skip
"""What the data sheet in the drawer says."""
