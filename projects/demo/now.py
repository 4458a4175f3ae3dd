"""What goes on in the demo at its anchor: clocks that run, a session that was begun."""

from projects.actions import coat, glue, sanding, work
from projects.demo import panels, pours
from projects.demo.story import words
from projects.demo.world import air, minutes


def stands_at(piece, step):
    """Whether a live project has come to the step at which its story leaves it."""
    return step.kind == piece.until and (step.is_passive or step.kind != "condition")


def live(story, step):
    """The last act of a project that is under way: lately, and in opening hours if there were any lately."""
    if step.kind not in LIVE:
        return
    least_h, most_h, act = LIVE[step.kind]
    anchor = story.world.diary.anchor
    earliest, latest = (anchor - minutes(hours * 60) for hours in (most_h, least_h))
    at = story.world.diary.open_before(earliest, latest) or latest
    if story.now >= at:
        raise ValueError(f"the story of {story.piece.title} runs past its last act: {story.now}")
    story.now = at
    yield at
    story.tick(step, at)
    yield from act(story, step, at)


def sanding_goes_on(story, step, at):
    """Two grades are done, the third was begun a while ago."""
    begun = {"system": "P", "wet": False, "machine": None, "side": "front", "area_mm2": None}
    for grade in ("80", "120"):
        row = sanding.start(story.member, step, {**begun, "grade": grade}, **story.world.act(at))
        at += minutes(19)
        yield at
        ended = {"discs": 2, "removed_mm": None, "text": story.pick(words.SANDED), "done": False}
        sanding.stop(story.member, row, ended, **story.world.act(at))
        at += minutes(9)
        yield at
    sanding.start(story.member, step, {**begun, "grade": "180"}, **story.world.act(at))


def coat_dries(story, step, at):
    """The first coat went on a few hours ago."""
    supply = story.world.supplies[story.piece.finish]
    values = {
        "supply": supply, "lot": story.world.stock.tin(story.piece.finish, at=at), "number": 1,
        **panels.coat_for(story, supply), **air(story.dice), "text": "Walnut drinks it. Resin wiped dry.",
        "done": True,
    }  # fmt: skip
    coat.put_coat(story.member, step, values, **story.world.act(at))
    yield at


def in_the_clamps(story, step, at):
    """The first part was glued and clamped."""
    values = {
        "part": "part 1", "pieces": 26, "open_min": None, "clamped_h": 16.0, "temp_c": 20.6,
        "text": "Tide marks run through all seams. Light clamps.", "done": True,
    }  # fmt: skip
    story.world.stock.film("glue", 45, f"{story.project} · glue-up", at=at - minutes(30), who=story.who)
    glue.glue_up(story.member, step, values, **story.world.act(at))
    yield at


def first_lift(story, step, at):
    """The first of two pours: the window of the second opens while one looks around."""
    from projects import advice

    story.cup_mix = advice.block_figures(advice.values_of(story.block), story.block.resin).mix
    yield from pours.one_lift(story, step, at, 1, more=True)


def comes_to_rest(story, step, at):
    """Strips lie on stickers since yesterday."""
    work.wait(story.member, step, **story.world.act(at))
    yield at


LIVE = {
    "sand": (1.4, 1.4, sanding_goes_on), "coat": (4, 17, coat_dries), "glue_up": (2, 13, in_the_clamps),
    "pour": (3, 4.4, first_lift), "condition": (6, 40, comes_to_rest),
}  # fmt: skip
"""At least and at most how many hours before the anchor, and the act, by the kind of step it belongs to."""
