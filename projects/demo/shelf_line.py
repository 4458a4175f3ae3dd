"""What happens on the demo's shelf beside the projects: counting, opening, what goes old, and notes."""

from materials import actions as shelf
from materials.fit import advice as fits
from materials.fit import cup_tests
from projects.actions import bench, free_clock, readings, take_back
from projects.demo.story import cups, words
from projects.demo.world import air, chance, minutes

DISC_LOTS = ("P80", "P120", "P180", "P240", "P400", "P800", "P1500")


def first_boxes(world):
    """What was there in the first week, and an old resin somebody gave them."""
    at = world.diary.at(105, 3, "10:30")
    yield at
    stock, dice = world.stock, chance(world.seed, "first boxes")
    for resin in ("medium", "deep", "coat", "glue"):
        stock.box(resin, at=at)
    old = world.resins["old"]
    for part, grams in (("A", 1800), ("B", 620)):
        values = {
            "kind": "resin", "resin": old, "part": part, "unit": "g", "code": f"BW-01-{part}",
            "maker": old.maker,
            "received_on": world.diary.date(105, 3), "use_by": world.diary.date(99, 3),
            "note": "A present from the boatyard. For tests only.",
        }  # fmt: skip
        bottle = stock.receive(values, grams, at=at)
        world.supplies[f"old {part}"] = bottle
    for word in ("tape", "wax", "sealant", "gloves", "filters"):
        supply = world.supplies[word]
        values = {"kind": "consumable", "supply": supply, "unit": "level", "code": stock.code("C")}
        world.supplies[f"{word} here"] = stock.receive(values, None, at=at)
    for word in ("cups", *DISC_LOTS):
        receive_pieces(world, word, at=at)
    for word in ("oil", "film"):
        stock.tin(word, at=at + minutes(dice.randint(5, 30)))


def receive_pieces(world, word, *, at):
    """A box of something that is counted."""
    supply = world.supplies[word]
    values = {
        "kind": supply.kind, "supply": supply, "unit": "pieces", "maker": supply.maker,
        "code": world.stock.code("D" if supply.kind == "abrasive" else "C"), "cost": 24,
    }  # fmt: skip
    world.supplies[f"{word} here"] = world.stock.receive(values, supply.pack or 20, at=at)


def uses_discs(world):
    """Every third week somebody takes discs and cups from the drawer, and buys when it is empty."""
    dice = chance(world.seed, "discs")
    for weeks in range(100, 0, -3):
        at = world.diary.at(weeks, 2, "16:40")
        yield at
        for word in ("cups", *DISC_LOTS):
            lot, wanted = world.supplies[f"{word} here"], dice.randint(2, 7)
            if lot.on_hand < wanted:
                shelf.take_off(world.people["anselm"], lot, at=at)
                receive_pieces(world, word, at=at)
                lot = world.supplies[f"{word} here"]
            shelf.draw_at_shelf(world.people["anselm"], lot, wanted, at=at, why="to the bench")


def goes_old(world):
    """The old resin is opened, and what it looks like inside."""
    at = world.diary.at(72, 1, "9:40")
    yield at
    opened = {"A": ("crystallised", "Like old honey. Warmed it to 45 °C for an evening, clear again."),
              "B": ("darkened", "Brown as tea. Only for tests.")}  # fmt: skip
    for part, (condition, note) in opened.items():
        values = {"opened_on": world.diary.date(72, 1), "condition": condition, "note": note}
        shelf.open_lot(world.people["tove"], world.supplies[f"old {part}"], values, at=at)
    at = world.diary.at(62, 2, "10:10")
    yield at
    bottle = world.supplies["old B"]
    shelf.draw_at_shelf(
        world.people["tove"], bottle, 60, at=at, why="a cup to see whether it still sets: it does"
    )


def counts(world):
    """Stocktaking: what the ledger says and what stands there differ a little."""
    at = world.diary.at(62, 2, "9:00")
    yield at
    for resin in ("deep", "medium"):
        pair = world.stock.boxes[resin][-1]
        for bottle, off in zip(pair, (-34, 12), strict=True):
            found = max(round(bottle.on_hand) + off, 0)
            shelf.count(world.people["tove"], bottle, found, at=at, why="stocktaking, bottle on the scale")
    at = world.diary.at(20, 4, "15:20")
    yield at
    pair = world.stock.boxes["deep"][-1]
    found = max(round(pair[1].on_hand) - 85, 0)
    shelf.count(
        world.people["anselm"], pair[1], found, at=at, why="the cap was not tight, the tray is sticky"
    )


def levels(world):
    """Tape and the like: enough, low, and gone before anybody noticed."""
    told = (
        (80, "filters", "low"), (78, "filters", "enough"), (58, "gloves", "low"), (57, "gloves", "enough"),
        (40, "wax", "low"), (38, "wax", "enough"), (6, "tape", "low"), (3, "filters", "gone"),
    )  # fmt: skip
    for weeks, word, level in told:
        at = world.diary.at(weeks, 3, "17:05")
        yield at
        shelf.set_level(world.people["anselm"], world.supplies[f"{word} here"], level, at=at)


def writes_notes(world):
    """What is said at the stove, and what the thermometer shows."""
    for weeks, weekday, clock, who, text in words.SHOP_NOTES:
        at = world.diary.at(weeks, weekday, clock)
        yield at
        bench.add_note(world.people[who], project=None, text=text, **world.act(at))


SLIP_WEEK = 41


def reads_the_air(world):
    """Once a week somebody reads the thermometer and the hygrometer by the window."""
    dice = chance(world.seed, "air")
    for weeks in range(103, 0, -2):
        at = world.diary.at(weeks, dice.randint(0, 4), "8:20")
        yield at
        weather = air(dice)
        who = world.people[dice.choice(("tove", "anselm"))]
        for kind, value in (("temperature", weather["temp_c"]), ("humidity", weather["humidity_percent"])):
            values = {"kind": kind, "value": value, "lot": None, "text": ""}
            readings.take_reading(who, values, **world.act(at))
        if weeks == SLIP_WEEK:
            yield from slips_and_takes_it_back(world, who, at + minutes(2))


def slips_and_takes_it_back(world, who, at):
    """The hygrometer read from the wrong side, seen a minute later."""
    yield at
    values = {"kind": "humidity", "value": 93.0, "lot": None, "text": ""}
    entry = readings.take_reading(who, values, **world.act(at))
    at += minutes(3)
    yield at
    take_back.take_back(who, entry, "Wrong figure: read upside down", **world.act(at))


def reads_cups(world):
    """What the deep resin does in a cup: a reading that went wrong, and one that forecasts rest on since."""
    at = world.diary.at(37, 1, "8:40")
    yield at
    spoilt = read(world, cups.SPOILT, cups.SPOILT_READINGS, at)
    at += minutes(cups.SPOILT_READINGS[-1][0] + 25)
    yield at
    cup_tests.remove(world.people["anselm"], spoilt, at=at, removed=True)
    at = world.diary.at(36, 1, "8:20")
    yield at
    test = read(world, cups.CUP, cups.READINGS, at)
    cup_tests.fitted(test, fits.fit_test(test), at=at + minutes(cups.READINGS[-1][0] + 6))


def read(world, cup, readings, at):
    """A cup that stands by itself from `at` on, and what its thermometer showed, written down at the end."""
    resin = world.resins["deep"]
    world.stock.film("deep", cup["mass_g"], "a cup to be read", at=at - minutes(10), who="anselm")
    points = [[float(at_min), temp_c] for at_min, temp_c in readings]
    values = {**cup, "batch": None, "taken_at": at, "points": points}
    over = at + minutes(readings[-1][0] + 5)
    return cup_tests.keep(world.people["anselm"], resin, values, at=over)


def reads_the_stove(world):
    """Shortly before the anchor the stove runs hot, and the clocks that run follow."""
    at = world.diary.anchor - minutes(41)
    yield at
    values = {"kind": "temperature", "value": 26.5, "lot": None, "text": words.HOT_STOVE}
    readings.take_reading(world.people["tove"], values, **world.act(at))


def sets_a_clock(world):
    """A free clock runs at the anchor."""
    at = world.diary.anchor - minutes(25)
    yield at
    free_clock.set_clock(
        world.people["anselm"], name="Turn the strips in the warm box", minutes=90, **world.act(at)
    )


LINES = (
    first_boxes, uses_discs, goes_old, counts, levels, writes_notes, reads_the_air, reads_cups,
    reads_the_stove, sets_a_clock,
)  # fmt: skip
