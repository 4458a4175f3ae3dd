"""One step of a route, acted out by the app's own actions; each act says when it was over."""

from projects import sheets
from projects.actions import bench, coat, demould, flaws, glue, mould, readings, sanding, seal, strips, work
from projects.demo import panels, pours
from projects.demo.story import words
from projects.demo.story.mishaps import FLAWS
from projects.demo.world import air, minutes
from projects.models import Step, Timer

KIND = Step.Kind
GRADES = {"oil": ("80", "120", "180", "240", "400"), "film": ("80", "120", "180", "240")}
WET = ("800", "1500")
COATS = 2


def whole(story, step, at):
    """Begun and done, with a line if the story has one."""
    if story.dice.random() < 0.35:
        work.tell(story.member, step, "began", **story.world.act(at))
    at += minutes(step.minutes)
    yield at
    said = story.note(step) or story.sometimes(LINES.get(step.kind, ()), 0.5)
    work.tell(story.member, step, "done", text=said, **story.world.act(at))


def wait(story, step, at):
    """It goes by itself: its clock is set, and answered when somebody looks."""
    work.wait(story.member, step, **story.world.act(at))
    at = story.open(at + minutes(step.minutes), 15)
    yield at
    answer(story, at, story.sometimes(words.WAITED, 0.3) or "over", step=step)


def answer(story, at, how, **of):
    """The running clocks of some kind are answered."""
    for timer in Timer.objects.of(story.world.shop).running().select_related("step").filter(**of):
        bench.settle(story.member, timer, how, **story.world.act(at))


def before_pour(story, step, at):
    """The check of the evening before and what is set out: done in passing, without a word."""
    at += minutes(step.minutes)
    yield at
    work.tell(story.member, step, "done", **story.world.act(at))


def condition(story, step, at):
    """Strips come to rest: weighed when they are set out, and weighed again when they have lain."""
    lot = story.world.stock.bundles.get(story.piece.title)
    if not step.is_passive:
        reading(story, step, at, "mass", story.strips_g, lot=lot)
        at += minutes(step.minutes)
        yield at
        work.tell(story.member, step, "done", **story.world.act(at))
        return
    yield from wait(story, step, at)
    at = story.now + minutes(4)
    yield at
    drier = round(story.strips_g * story.dice.uniform(0.982, 0.994), 1)
    reading(story, None, at, "mass", drier, lot=lot, text="Lighter by a little, and now it stays.")


def reading(story, step, at, kind, value, lot=None, text=""):
    """One value written down."""
    values = {"kind": kind, "value": value, "lot": lot, "text": text}
    readings.take_reading(
        story.member, values, project=None if step else story.project, step=step, **story.world.act(at)
    )


def measure(story, step, at):
    """Three strips under the gauge."""
    lot = story.world.stock.bundles.get(story.piece.title)
    for number in range(3):
        thickness = round(story.block.strip_mm + story.dice.gauss(0, 0.04), 2)
        reading(story, step, at + minutes(4 * number), "thickness", thickness, lot=lot)
    at += minutes(step.minutes)
    yield at
    work.tell(story.member, step, "done", **story.world.act(at))


def sealed(story, step, at):
    """A coat in the afternoon, thin; now and then a second."""
    coats = 2 if story.dice.random() < 0.3 else 1
    for number in range(1, coats + 1):
        if number > 1:
            at = story.open(at + minutes(5 * 60), 60)
            yield at
        weather = air(story.dice)
        last = number == coats
        values = {
            "resin": story.world.resins["coat"], "coat": number, **weather, "open_h": 3.0, "close_h": 20.0,
            "steady_or_falling": not story.piece.title.startswith("Door light, Weir"),
            "text": story.pick(words.SEALED), "done": last,
        }  # fmt: skip
        why = f"{story.project} · seal coat"
        story.world.stock.film("coat", round(0.9 * story.block.strips + 12), why, at=at, who=story.who)
        seal.seal_coat(story.member, step, values, **story.world.act(at + minutes(2)))
    at = story.open(at + minutes(6 * 60), 10)
    yield at
    answer(story, at, "dry to handle", step=step)


def moulded(story, step, at):
    """Taped and sealed, tried empty the day after."""
    long = story.block.length_mm > 400
    values = {"machine": story.world.machines["long mould" if long else "small mould"], "taped": True}
    sealing = {**values, "sealed": True, "sealant_h": 12.0, "text": "", "done": False}
    mould.build_mould(story.member, step, sealing, **story.world.act(at + minutes(70)))
    at = story.open(at + minutes(70 + 13 * 60), 30)
    yield at
    tried = {**values, "sealed": True, "tested_empty": True, "level": True, "done": True}
    text = {"text": story.pick(words.MOULDED)}
    mould.build_mould(story.member, step, {**tried, **text}, **story.world.act(at))


def loaded(story, step, at):
    """Strips into the combs."""
    at += minutes(step.minutes)
    yield at
    lot = story.world.stock.bundles.get(story.piece.title)
    if story.piece.sheet:
        print_sheet(story, at - minutes(40))
    text = story.note(step) or story.pick(words.LOADED)
    values = {"lot": lot, "count": story.block.strips, "text": text, "done": True}
    strips.load_strips(story.member, step, values, **story.world.act(at))


def print_sheet(story, at):
    """The paper that hangs beside the mould."""
    printed = {"paper_size": "a4", "origin": "http://127.0.0.1:8000"}
    sheets.make_sheet(story.member, story.block, **printed, **story.world.act(at))


def cured(story, step, at):
    """The mould is left alone until its clock is over."""
    timer = Timer.objects.running().filter(step__block=story.block, kind=Timer.Kind.DEMOULD).last()
    yield story.open(max(at, timer.due_at if timer else at), 30)


def out(story, step, at):
    """Out of the mould and measured."""
    block, dice = story.block, story.dice
    at += minutes(step.minutes)
    yield at
    soft = story.is_soft
    values = {
        "length_mm": round(block.length_mm + dice.gauss(0, 0.4), 1),
        "width_mm": round(block.strips * (block.strip_mm + block.gap_mm) + dice.gauss(0.6, 0.5), 1),
        "depth_mm": round(block.poured_mm + dice.gauss(0.6, 0.3), 1),
        "bow_mm": round(abs(dice.gauss(0.3, 0.2)), 1),
        "hardness": float(dice.randint(22, 41) if soft else dice.randint(74, 82)),
        "temp_c": round(dice.uniform(19.5, 24), 1),
        "text": story.note(step) or story.pick(words.DEMOULDED),
        "done": True,
    }
    demould.demould(story.member, step, values, **story.world.act(at))
    mark_flaws(story, at + minutes(2))
    if story.dice.random() < 0.4 and not story.mishaps():
        story.photograph(at + minutes(3), "section", f"{block}, out of the mould", step=step)


def mark_flaws(story, at):
    """What is wrong with the block, marked where it lies."""
    names = ("along_mm", "across_mm", "length_mm", "width_mm")
    for kind, *sizes, note in FLAWS.get(story.piece.title, ()):
        place = dict(zip(names, map(float, sizes), strict=True))
        flaws.mark_flaw(story.member, story.block, {"kind": kind, **place, "note": note}, at=at)


def glued(story, step, at):
    """A part of the panel, in light clamps."""
    at += minutes(step.minutes)
    yield at
    story.part += 1
    values = {
        "part": f"part {story.part}", "pieces": story.dice.randint(14, 40), "open_min": 40.0,
        "clamped_h": 16.0,
        "temp_c": air(story.dice)["temp_c"], "text": story.pick(words.GLUED), "done": True,
    }  # fmt: skip
    story.world.stock.film("glue", 45, f"{story.project} · glue-up", at=at - minutes(30), who=story.who)
    glue.glue_up(story.member, step, values, **story.world.act(at))
    yield at + minutes(38)
    answer(story, at + minutes(38), "all of it in the clamps", step=step, kind=Timer.Kind.GLUE)


def clamped(story, step, at):
    """The clamps stay on until the glue is hard."""
    timer = Timer.objects.running().filter(step__project=story.project, kind=Timer.Kind.CLAMPED).last()
    at = story.open(max(at, timer.due_at if timer else at), 15)
    yield at
    answer(story, at, "clamps off", step__project=story.project, kind=Timer.Kind.CLAMPED)


def levelled(story, step, at):
    """Both faces through the drum sander."""
    machine = story.world.machines["sander"]
    for side in ("front", "back"):
        yield at
        at = yield from session(
            story, step, at, "80", side, machine=machine, done=side == "back", removed=0.4
        )


def sanded(story, step, at):
    """Through the grades, one session each; wet at the end."""
    wet = step.title.lower().startswith("wet")
    grades = WET if wet else GRADES[story.piece.finish]
    for grade in grades:
        at = yield from session(story, step, at, grade, "front", wet=wet, done=grade == grades[-1])
        at = story.open(at + minutes(6), 40)


def session(story, step, at, grade, side, *, done, wet=False, machine=None, removed=None):
    """One grade on one side, with a pause now and then; returns when it was over."""
    yield at
    act, member = story.world.act, story.member
    begun = {
        "grade": grade, "system": "P", "wet": wet, "machine": machine, "side": side,
        "area_mm2": panels.area_mm2(story),
    }  # fmt: skip
    row = sanding.start(member, step, begun, **act(at))
    lasts = story.dice.randint(9, 26)
    if story.dice.random() < 0.3:
        sanding.pause(member, row, **act(at + minutes(lasts // 2)))
        sanding.resume(member, row, **act(at + minutes(lasts // 2 + 7)))
        lasts += 7
    at += minutes(lasts)
    yield at
    text = story.sometimes(words.SANDED, 0.3)
    ended = {"discs": story.dice.randint(1, 4), "removed_mm": removed, "text": text, "done": done}
    sanding.stop(member, row, ended, **act(at))
    return at


def coated(story, step, at):
    """A coat of oil or film from the tin in use."""
    at += minutes(step.minutes)
    yield at
    story.coats += 1
    supply = story.world.supplies[story.piece.finish]
    values = {
        "supply": supply, "lot": story.world.stock.tin(story.piece.finish, at=at), "number": story.coats,
        **panels.coat_for(story, supply), **air(story.dice), "text": story.pick(words.COATED), "done": True,
    }  # fmt: skip
    coat.put_coat(story.member, step, values, **story.world.act(at))


def dried(story, step, at):
    """A coat dries since it went on; after the last one nothing is to go on it any more."""
    step.refresh_from_db(fields=["state", "started_at", "ended_at"])
    if step.state == Step.State.WAITING:
        at = story.open(max(at, step.started_at + minutes(step.minutes)), 15)
        yield at
        said = story.sometimes(words.WAITED, 0.3)
        work.tell(story.member, step, "done", text=said, **story.world.act(at))
    else:
        yield from wait(story, step, at)
    if story.coats == COATS:
        answer(story, story.now, "dry, no more coats", step__project=story.project, kind=Timer.Kind.COAT)


def lit(story, step, at):
    """The lamp goes on."""
    yield from whole(story, step, at)
    story.show_off()


ACTS = {
    KIND.CHECK: before_pour, KIND.SET_OUT: before_pour,
    KIND.CONDITION: condition, KIND.MEASURE: measure, KIND.SEAL: sealed, KIND.MOULD: moulded,
    KIND.LOAD: loaded, KIND.DRY_FIT: panels.laid,
    KIND.POUR: pours.poured, KIND.CURE: cured, KIND.DEMOULD: out, KIND.GLUE_UP: glued, KIND.CLAMPED: clamped,
    KIND.LEVEL: levelled, KIND.SAND: sanded, KIND.COAT: coated, KIND.DRY: dried, KIND.LIGHT: lit,
}  # fmt: skip
LINES = {KIND.FLATTEN: words.FLATTENED, KIND.CUT: words.CUT, KIND.BUY: words.BOUGHT}


def act_of(step):
    """What acts a step out."""
    if step.kind in ACTS:
        return ACTS[step.kind]
    return wait if step.is_passive else whole
