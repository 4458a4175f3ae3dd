"""The demo's pours: cups weighed and mixed, lifts on one another, and the slips that happen."""

from projects import advice, against, second_look
from projects.actions import bench
from projects.demo import checks
from projects.demo.story import words
from projects.demo.world import air, minutes
from projects.models import Project, Timer

TOO_MUCH_B = {("Window for the smoke house", 2): 11.0}
"""Percent of B too much, by project and lift."""
WRONG_KEY = {("Clock face for the chandler", 1), ("House number 17", 2)}
"""Where a slip of the finger was put right by weighing again."""
GIVEN_UP = {("Counter front, bakery in Tun Street", 2)}
"""Where a cup got hot and was thrown away."""
TOO_LATE = {"Test casting: two pours, one line?"}
"""Where the next pour came after its window had closed."""


def poured(story, step, at):
    """All lifts of a block, each with its cups; the next one when the window of the last is open."""
    story.cup_mix = advice.block_figures(advice.values_of(story.block), story.block.resin).mix
    at = in_one_week(story, at)
    yield at
    story.tick(step, at)
    for lift in range(1, story.piece.pours + 1):
        if lift > 1:
            at = story.open(at + next_pour(story), 60)
            yield at
        at = yield from one_lift(story, step, at, lift)


def in_one_week(story, at):
    """A morning from which all lifts fall on days when somebody is there."""
    last = 5 - story.piece.pours
    while story.world.diary.local(at).weekday() > last:
        at = story.open(at + minutes(16 * 60), 90)
    return story.open(at, 100)


def next_pour(story):
    """From one pour to the next: as the sheet's window opens, or a day too late."""
    if story.piece.title in TOO_LATE:
        return minutes(31 * 60)
    return minutes(max(story.block.resin.recoat_open_h * 1.3, 14) * 60)


def one_lift(story, step, at, lift, more=None):
    """The cups of one lift and their pour; returns when it was in the mould."""
    cellar, here = lift in story.piece.cellar, (story.piece.title, lift)
    weather = air(story.dice, cellar)
    yield at - minutes(18)
    checks.checked(story, step, lift, at - minutes(18), weather)
    if here in GIVEN_UP:
        at = yield from thrown_away(story, step, at, weather)
    for _ in range(story.piece.cups):
        yield at
        batch = cup(story, step, at, weather)
        grams = weighed_b(story, batch, TOO_MUCH_B.get(here, 0.0))
        if here in WRONG_KEY:
            weigh(story, step, batch, grams * 10, at + minutes(2))
        weigh(story, step, batch, grams, at + minutes(3))
        at += minutes(story.dice.randint(8, 12))
    if story.dice.random() < 0.12:
        story.photograph(at - minutes(3), "cup", "The cup before it goes in", step=step)
    yield at
    said = story.note(step) or story.pick(words.CELLAR if cellar else words.POURED)
    depth = (story.block.finished_mm + 2 * story.block.flatten_mm + story.block.over_mm) / story.piece.pours
    more = lift < story.piece.pours if more is None else more
    typed = {"depth_mm": round(depth, 1), "text": said, "more": more}
    reason = all_the_same(story, step, typed, at)
    bench.pour(story.member, step, **typed, all_the_same=reason, **story.world.act(at))
    if story.flaw_at("pour") or story.dice.random() < 0.22:
        flaw = story.flaw_at("pour")
        story.photograph(at + minutes(6), "pour", "In the mould", step=step, flaw=flaw)
    if not more:
        yield at + minutes(55)
        no_more_pours(story, step, at + minutes(55))
    story.world.stock.used_up(story.piece.resin, at=at + minutes(56))
    return at


def all_the_same(story, step, typed, at):
    """Why it is poured though something stands against it, as the bench asks; None where nothing does."""
    cups = list(bench.open_cups(step).select_related("resin").order_by("cup"))
    stands = against.of_pour(step, typed, at, cups)
    if not stands:
        return None
    test = story.project.purpose == Project.Purpose.CASTING
    kind, _, when = stands[0].code.partition("_")
    why = second_look.CASTING if test else words.ALL_THE_SAME["soon" if when == "soon" else kind]
    return {"why": why, "against": [each.name for each in stands]}


def no_more_pours(story, step, at):
    """The window of the last pour needs no answer by a pour."""
    for timer in Timer.objects.of(story.world.shop).running().filter(step=step, kind=Timer.Kind.RECOAT):
        bench.settle(story.member, timer, "that was the last pour", **story.world.act(at))


def cup(story, step, at, weather):
    """A is weighed and B goes in."""
    wanted = story.cup_mix.a_g / (story.piece.pours * story.piece.cups)
    a_g = round(wanted * story.dice.uniform(1.0, 1.012) + 0.5, 0 if wanted > 300 else 1)
    b_g = story.cup_mix.b_g / story.cup_mix.a_g * a_g
    lot_a, lot_b = story.world.stock.pair(story.piece.resin, a_g, b_g, at=at)
    values = {
        "a_g": a_g, "wanted_a_g": round(wanted, 1), "room_c": weather["temp_c"],
        "humidity_percent": weather["humidity_percent"], "lot_a": lot_a, "lot_b": lot_b,
    }  # fmt: skip
    return bench.parts_meet(story.member, step, resin=story.block.resin, cup=values, **story.world.act(at))


def weighed_b(story, batch, too_much_percent):
    """What the scale shows for B: near what was wanted, as near as a hand pours."""
    off = too_much_percent or max(-1.4, min(1.4, story.dice.gauss(0.1, 0.55)))
    return round(batch.target_b_g * (1 + off / 100), 1)


def weigh(story, step, batch, grams, at):
    """B on the scale."""
    bench.weigh(story.member, step, batch, "B", grams, **story.world.act(at))


def thrown_away(story, step, at, weather):
    """A cup that was mixed and then given up; returns when the next one could be begun."""
    batch = cup(story, step, at, weather)
    weigh(story, step, batch, round(batch.target_b_g, 1), at + minutes(3))
    later = at + minutes(min(70, batch.pot_life_min * 0.6))
    yield later
    for timer in Timer.objects.running().filter(batch=batch):
        bench.settle(story.member, timer, words.GAVE_UP, **story.world.act(later))
    return later + minutes(12)
