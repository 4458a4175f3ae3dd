"""What the demo's shop has made, is making and may make: people, sizes and places are invented."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Piece:
    """One project of the story; lengths in mm, `weeks` before the anchor's week.

    `pours` is how many lifts; `cellar` which of them were poured down there; `days` how far apart its acts
    lie; `until` the kind of step at which the story leaves it and `how` ("finished", "live", or why it was
    set aside); `cups` how many go into one pour; `sheet` whether a job sheet was printed.
    """

    title: str
    weeks: int
    wood: str = "walnut"
    resin: str = "deep"
    sizes: tuple = (50, 2.0, 2.0, 12.0, 420.0)
    pours: int = 0
    cups: int = 1
    cellar: tuple = ()
    who: str = "tove"
    purpose: str = "piece"
    state: str = "planned"
    customer: str = ""
    customer_note: str = ""
    due: int | None = None
    days: float = 1.0
    until: str = ""
    how: str = "finished"
    pattern: str = "squares"
    finish: str = "oil"
    sheet: bool = False
    notes: dict = field(default_factory=dict)


CASTING = {"purpose": "casting", "sizes": (20, 2.0, 2.0, 12.0, 200.0)}

PIECES = (
    Piece(
        "First slab, to see whether it works", 104, "walnut", "medium", (20, 2.0, 2.0, 12.0, 200.0), 1,
        purpose="casting",
        notes={"pour": "Amber all over the bench, and over me.",
        "test_cut": "Light comes through. We do this."},
    ),
    Piece(
        "Lamp hood for our own bench", 101, "alder", "medium", (52, 2.0, 2.0, 10.0, 687.0), 2, who="anselm",
        pattern="zigzag",
        notes={"load": "Alder is soft: the combs leave marks. Wax them.", "light": "Now we see what we do."},
    ),
    Piece(
        "Door light, Weir Cottage", 96, "maple", "deep", (72, 2.0, 2.0, 14.0, 710.0), 3, cups=2,
        customer="Mr and Mrs Oakshaw", customer_note="Paint inside is grey-green. No squares, please.",
        due=84,
        pattern="hexagons", notes={"pack": "Fetched by Mr Oakshaw, with a blanket and a cake."},
    ),
    Piece(
        "Stair window", 90, "walnut", "deep", (66, 2.0, 2.0, 16.0, 706.0), 4, cups=2, who="anselm",
        customer="Hedda Lindqvist, Ferry House",
        customer_note="Looks north. She comes down these stairs at six every morning and wants it to be "
        "worth it.",
        due=76, pattern="squares",
        notes={"light": "Carried it up the stairs at dusk. Hedda said nothing for a while, then laughed."},
    ),
    Piece(
        "Clock face for the chandler", 85, "ash", "medium", (58, 2.0, 1.5, 8.0, 700.0), 2,
        customer="Ropes & Lamps, on the quay", due=76, pattern="star8",
        notes={"cut": "Ash chips on the far side. Tape over the line helps."},
    ),
    Piece(
        "Headboard for a winter bed", 81, "cherry", "deep", (64, 2.2, 2.0, 14.0, 639.0), 3, cups=2,
        cellar=(1,), who="anselm", customer="Ruth and Ole", due=66, pattern="herringbone",
        notes={"dry_fit": "Two pieces were the wrong way round. Chalk the faces before you turn the block."},
    ),
    Piece(
        "Test casting: how narrow can a gap be?", 74, "birch", "coat", (24, 1.5, 1.0, 6.0, 180.0), 2,
        cellar=(2,), purpose="casting",
        notes={"test_cut": "1.0 mm fills, if you wait. Below that it bridges."},
    ),
    Piece(
        "House number 17", 71, "sycamore", "medium", (21, 2.0, 2.0, 8.0, 695.0), 2, who="anselm",
        customer="The twins at no. 17", due=64, pattern="basket",
    ),
    Piece(
        "Ends for a bookcase", 67, "maple", "deep", (61, 2.0, 2.0, 12.0, 701.0), 3, cups=2, cellar=(2,),
        customer="Library of the sailing school", due=52, pattern="cubes",
        notes={"level": "Drum sander, two passes a side, feed slow. It smears when it gets warm."},
    ),
    Piece(
        "Front of a lectern", 62, "walnut", "deep", (67, 2.0, 2.2, 16.0, 712.0), 3, cups=2, who="anselm",
        customer="Chapel at Tarn Head",
        customer_note="They asked twice whether it will be too bright. It will.",
        due=46, pattern="star6", notes={"pack": "The organ was practising. We had to shout."},
    ),
    Piece(
        "Mirror frame, ash", 57, "ash", "medium", (40, 2.0, 2.0, 10.0, 400.0), 0, until="seal",
        customer="Ms Ferreira", how="Ms Ferreira moved abroad before we had poured. The strips are kept.",
    ),
    Piece(
        "Window for the smoke house", 54, "cherry", "medium", (58, 2.0, 2.0, 10.0, 708.0), 3,
        customer="Smoke house on the mole", due=40, pattern="peaks", finish="film",
        customer_note="Everything in there smells of alder. Film, not oil.",
    ),
    Piece(
        "Counter front, bakery in Tun Street", 49, "alder", "deep", (77, 2.0, 2.0, 14.0, 698.0), 3, cups=2,
        who="anselm", customer="Bakery Holm", due=34, pattern="basket",
        customer_note="The lamp is on from four in the morning. Warm light, not white.",
        notes={"light": "Holm gave us bread for a week. It was the first morning people stopped outside."},
    ),
    Piece(
        "Test casting: two pours, one line?", 45, "birch", "medium", (20, 2.0, 2.0, 18.0, 200.0), 2,
        purpose="casting", who="anselm",
    ),
    Piece(
        "Screen between bath and bed", 41, "maple", "deep", (70, 2.0, 2.0, 16.0, 708.0), 3, cups=2,
        cellar=(3,),
        customer="Hotel at the lock", due=24, pattern="hexrings", until="demould",
        how="The block is soft for good. The hotel takes a curtain; we take a stove for the cellar.",
    ),
    Piece(
        "Night light for two", 36, "sycamore", "medium", (17, 2.0, 2.0, 10.0, 708.0), 1, who="anselm",
        customer="Marit, for her grandchildren", due=29, pattern="hexagons",
        notes={"light": "A small lamp is enough: three watts, and they sleep."},
    ),
    Piece(
        "Front of a radio", 32, "walnut", "deep", (64, 2.0, 2.0, 12.0, 699.0), 3, cellar=(2,), who="anselm",
        customer="Pilot's house", due=20, pattern="zigzag", until="cure",
        how="Soft again, and again from the cellar. Begun anew as Front of a radio, second try.",
    ),
    Piece(
        "Door light, ferry office", 27, "ash", "medium", (50, 2.0, 2.0, 10.0, 690.0), 2,
        customer="Ferry office", due=17, pattern="squares", finish="film",
    ),
    Piece(
        "Music stand that glows", 16, "cherry", "deep", (61, 2.0, 2.4, 18.0, 691.0), 2, who="anselm",
        customer="String quartet of the music school", due=8, until="rest",
        how="Cracked from end to end a week after it came out. They wait until autumn.",
    ),
    Piece(
        "Front of a radio, second try", 9, "walnut", "deep", (64, 2.0, 2.0, 12.0, 699.0), 2, who="anselm",
        customer="Pilot's house", due=-2, pattern="zigzag", until="sand", how="live", days=2.3,
        notes={"pour": "Upstairs, stove on, thermometer in the witness cup."},
    ),
    Piece(
        "Stair window, second floor", 7, "walnut", "deep", (66, 2.0, 2.0, 16.0, 706.0), 2, cups=2,
        customer="Hedda Lindqvist, Ferry House",
        customer_note="One floor up from the first. Same pattern, smaller.",
        due=-1, pattern="squares", until="coat", how="live", days=1.5,
    ),
    Piece(
        "Tide lines, wall panel", 5, "sycamore", "deep", (63, 2.0, 2.0, 12.0, 702.0), 1, cups=2,
        who="anselm",
        customer="Harbour master", due=-3, pattern="herringbone", until="glue_up", how="live", days=1.0,
        sheet=True,
        customer_note="Where the water stood each New Year. He brings the numbers.",
    ),
    Piece(
        "Lamp hood, a pair", 3, "birch", "medium", (40, 2.0, 2.0, 16.0, 705.0), 1, who="anselm",
        customer="Café at the lock", due=-5, pattern="peaks", until="pour", how="live", days=0.4,
    ),
    Piece(
        "Headboard for a narrow bed", 2, "cherry", "deep", (58, 2.2, 2.0, 14.0, 639.0),
        customer="Ruth and Ole's son", due=-8, pattern="herringbone", until="condition", how="live", days=0.5,
    ),
    Piece(
        "Sign for the harbour office", 2, "ash", "medium", (55, 2.0, 2.0, 10.0, 690.0), who="anselm",
        customer="Harbour office", due=-11, until="buy", how="live",
        customer_note="Must be read from the water. Big letters or none.",
    ),
    Piece("A kitchen window, maybe", 2, "maple", "deep", state="idea", until="buy", how="live",
          customer="Pia", customer_note="For when the year is over and there is time."),
)  # fmt: skip
