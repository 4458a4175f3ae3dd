"""Which panel each project of the demo is for; its pattern stands with the project."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Drawn:
    """A panel as somebody chose it: lengths in mm, `sizes` in the order in which its pattern takes them.

    `tint` is the share of light that 10 mm of its resin let through.
    """

    sizes: tuple
    width: float
    height: float
    lines: str = "alike"
    turn: float = 0.0
    glue: float = 0.0
    overhang: float = 0.0
    tint: float = 0.94


PANELS = {
    "Lamp hood for our own bench": Drawn((24, 48, 45), 300, 220, tint=0.92),
    "Door light, Weir Cottage": Drawn((30,), 400, 280, overhang=4.0),
    "Stair window": Drawn((60,), 420, 300, tint=0.96),
    "Clock face for the chandler": Drawn((30,), 240, 240, tint=0.92),
    "Headboard for a winter bed": Drawn((24, 3), 400, 240),
    "House number 17": Drawn((36,), 200, 140, tint=0.9),
    "Ends for a bookcase": Drawn((28,), 260, 360, overhang=3.0),
    "Front of a lectern": Drawn((30,), 340, 260, tint=0.96),
    "Window for the smoke house": Drawn((48, 42), 300, 240, overhang=3.0, tint=0.92),
    "Counter front, bakery in Tun Street": Drawn((48,), 560, 240, overhang=3.0),
    "Screen between bath and bed": Drawn((20, 3), 380, 300, lines="run_on"),
    "Night light for two": Drawn((20,), 150, 120, tint=0.88),
    "Front of a radio": Drawn((30, 60, 45), 340, 180),
    "Door light, ferry office": Drawn((50,), 320, 220, lines="run_on", tint=0.92),
    "Music stand that glows": Drawn((70,), 340, 240, turn=45.0),
    "Front of a radio, second try": Drawn((30, 60, 45), 340, 180),
    "Stair window, second floor": Drawn((60,), 360, 300, tint=0.96),
    "Tide lines, wall panel": Drawn((20, 4), 420, 220, lines="run_on", glue=0.1),
    "Lamp hood, a pair": Drawn((40, 35), 320, 200, tint=0.9),
    "Headboard for a narrow bed": Drawn((24, 3), 340, 240),
    "Sign for the harbour office": Drawn((80,), 400, 220, tint=0.9),
}
"""By project; test castings, ideas and what was given up before have none."""
FIRST_DRAWN = {"Tide lines, wall panel": Drawn((20, 4), 560, 220, glue=0.1)}
"""What was drawn at first, where they thought again."""
TURNED = {"Headboard for a winter bed": 2, "Ends for a bookcase": 1}
"""How many pieces lay the wrong way round when all lay on the bench, before somebody turned them."""
PARTLY_LAID = {"Tide lines, wall panel": 0.6}
"""The share of its pieces that lies so far."""
