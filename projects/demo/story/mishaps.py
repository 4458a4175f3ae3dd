"""What went wrong in the demo's shop, what they thought it was, and what they do since."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Mishap:
    """One failure: `after` is the kind of step after which it was seen, `lift` the pour it belongs to.

    `causes` are (days later, code, status, evidence); `lesson` is (days later, sentence, kind of step, of
    this resin only).
    """

    title: str
    after: str
    kind: str
    where: str
    severity: str
    done: str
    lift: int | None = None
    flaw: str = ""
    causes: tuple = ()
    lesson: tuple | None = None


COLD = (
    "Cellar again: the thermometer in the witness cup said 13 °C all night. Every soft block came from there."
)

MISHAPS = (
    Mishap(
        "Door light, Weir Cottage", "demould", "wood_bubbles",
        "along every strip in the left half, up from the pores", "repair",
        "Filled the open ones with a brush and Skim 2, sanded, done again. Two evenings.", 1, "wood_bubbles",
        causes=(
            (1, "unsealed", "confirmed", "Seal coat went on in the morning while the stove was heating up. "
             "The wood warmed, the air came out."),
        ),
        lesson=(2, "Seal in the evening: the shop must be cooling, not warming", "seal", False),
    ),
    Mishap(
        "Stair window", "pour", "leak", "short side by the window; half a cup on the tray", "repair",
        "Tape and a quick second seal from outside, topped up with the next pour.", 1, "leak",
        causes=(
            (0, "mould", "confirmed", "The corner was sealed over dust. It peeled off in one piece."),
        ),
        lesson=(1, "Wipe the corners with a dry brush before the sealant", "mould", False),
    ),
    Mishap(
        "Headboard for a winter bed", "demould", "soft", "the lower third, takes a thumb nail; top is hard",
        "repair", "Two weeks by the stove at 28 °C. It got hard in the end, and a little yellow.", 1, "soft",
        causes=(
            (1, "ratio", "suspected", "I may have read the scale while the fan was on."),
            (9, "ratio", "ruled_out", "The cup says 0.3 % off. That is as good as we ever are."),
            (9, "old", "suspected", "Bottle of B had been open since spring."),
        ),
    ),
    Mishap(
        "Ends for a bookcase", "demould", "soft", "a soft layer in the middle, tacky at the sawn edge",
        "repair",
        "Cut one end off, kept the rest warm for ten days.", 2, "soft",
        causes=(
            (2, "unmixed", "suspected", "No streaks, though. Soft all through."),
            (20, "unmixed", "ruled_out", "The witness cup from the same mix is hard. It stood upstairs."),
            (21, "cold", "suspected", "The witness cup stood upstairs, the mould in the cellar."),
        ),
    ),
    Mishap(
        "Front of a lectern", "demould", "bowed", "strips 30 to 38, in the middle of the length", "repair",
        "Sawn out the worst bar and made one piece narrower. Nobody will find it but us.", 2, "bowed",
        causes=(
            (0, "filled", "confirmed", "I filled one gap to the brim before the next. The strip went "
            "the easy way."),
            (3, "combs", "suspected", "Combs 110 mm apart. For 2 mm strips that may be too far."),
        ),
        lesson=(1, "Fill along all gaps at once, never one to the brim", "pour", False),
    ),
    Mishap(
        "Window for the smoke house", "demould", "soft", "one corner, sticky, smells of B", "repair",
        "Dug the corner out, washed, poured it again by hand.", 2, "soft_corner",
        causes=(
            (0, "ratio", "confirmed", "The log says it: 11 % too much B. The telephone rang between A "
            "and B."),
        ),
        lesson=(0, "No telephone between A and B; read the ratio aloud", "pour", False),
    ),
    Mishap(
        "Counter front, bakery in Tun Street", "light", "scratches",
        "curls all over the right third, only with the lamp on", "repair",
        "Back to P240 and up again, by daylight and by lamp.", None, "scratches",
        causes=(
            (0, "grade", "confirmed", "The sheets from the flea market are CAMI. 400 there is not our P400, "
             "and a P180 had slipped into the drawer."),
        ),
        lesson=(0, "Read the back of the disc: P, not CAMI; wipe between grades", "sand", False),
    ),
    Mishap(
        "Test casting: two pours, one line?", "test_cut", "layer_line",
        "at half height, you can catch a nail in it", "lost",
        "It was made to learn this. Kept on the window sill.", 2, "layer_line",
        causes=(
            (0, "late", "confirmed", "Window of Heron closed at eleven at night. We poured the next "
            "afternoon."),
        ),
        lesson=(1, "Write the closing time of the window on the mould", "pour", True),
    ),
    Mishap(
        "Screen between bath and bed", "demould", "soft", "the whole top pour, like cold toffee", "lost",
        "Nothing helps. Ten days warm, and it still takes a print.", 3, "soft",
        causes=(
            (3, "cold", "suspected", "Third one that stood in the cellar for its first night."),
            (4, "old", "ruled_out", "Both bottles were four weeks old."),
        ),
    ),
    Mishap(
        "Front of a radio", "cure", "soft", "all of pour 2, a finger sinks in", "lost",
        "Thrown away, strips and all. It hurt.", 2, "soft",
        causes=(
            (1, "cold", "confirmed", COLD),
        ),
        lesson=(2, "Not in the cellar: 18 °C or more for the first night", "pour", False),
    ),
    Mishap(
        "Music stand that glows", "rest", "cracks", "from the ends of strips 4 and 19, right through", "lost",
        "Set aside. We saw it up for samples.", 2, "cracks",
        causes=(
            (1, "early", "suspected", "Out of the mould on the first sunny day, straight from 34 °C to "
            "the yard."),
            (6, "deep", "suspected", "18 mm in two pours with wide gaps; the cup was hot to hold."),
        ),
        lesson=(6, "Let the block cool in its mould until it is as cold as the shop", "demould", False),
    ),
)  # fmt: skip


FLAWS = {
    "Test casting: how narrow can a gap be?": (("bubble", 62, 7, 24, 6, "they sit in the narrowest gaps"),),
    "Test casting: two pours, one line?": (
        ("void", 41, 30, 9, 5, "where the second pour began"),
        ("haze", 150, 52, 30, 16, ""),
    ),
}
"""Flaws found as a block left its mould: kind, middle along and across, length and width in mm, a note."""
