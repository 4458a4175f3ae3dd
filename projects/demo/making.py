"""A project of the demo from the first word to the last step, as far as its story goes."""

from projects.actions import bench, plan
from projects.demo import acts, now, panels, photos, planning_line, trouble
from projects.demo.story import mishaps
from projects.demo.world import chance, minutes
from projects.models import Project
from workshop import pictures

PANELS = {"panel", "day"}
IN_PASSING = {"check", "set_out"}
"""Kinds of step before a pour that are done in passing: no dice are thrown for them."""


class Story:
    """One project while it is told: who works on it, with which dice, and what it has come to."""

    def __init__(self, world, piece):
        self.world, self.piece, self.who = world, piece, piece.who
        self.dice = chance(world.seed, piece.title)
        self.project = self.block = None
        self.part, self.coats, self.photos, self.noted = 0, 0, 0, set()
        self.strips_g = round(self.dice.uniform(380, 900), 1)
        self.now = world.diary.at(piece.weeks, self.dice.choice((0, 0, 1, 2)), "8:30")

    @property
    def member(self):
        """Who works on it."""
        return self.world.people[self.who]

    def open(self, at, length):
        """From `at` on, when so many minutes of work fit in."""
        return self.world.diary.open_from(at, length)

    def pick(self, lines):
        """One of several sentences."""
        return self.dice.choice(lines)

    def sometimes(self, lines, share):
        """One of several sentences, or nothing."""
        return self.dice.choice(lines) if lines and self.dice.random() < share else ""

    def note(self, step):
        """What the story itself has to say about this kind of step, once."""
        if step.kind in self.noted:
            return ""
        self.noted.add(step.kind)
        return self.piece.notes.get(step.kind, "")

    def mishaps(self):
        """What goes wrong in this project."""
        return [one for one in mishaps.MISHAPS if one.title == self.piece.title]

    @property
    def is_soft(self):
        """Whether its block comes out soft."""
        return any(one.kind == "soft" and one.severity == "lost" for one in self.mishaps())

    def flaw_at(self, kind):
        """What a photo taken at a step of this kind shows of it."""
        return next((one.flaw for one in self.mishaps() if one.after == kind), "")

    def picture(self, at, kind, flaw="", pattern=""):
        """A drawn photo, taken in as any other."""
        self.photos += 1
        wood, seed = (
            self.world.woods[self.piece.wood].name,
            f"{self.world.seed} {self.piece.title} {self.photos}",
        )
        taken = photos.taken(kind, seed, wood, flaw, pattern or self.piece.pattern)
        return pictures.take_in(taken, self.member, at=at)

    def photograph(self, at, kind, text, step=None, flaw=""):
        """A photo for the log."""
        picture = self.picture(at, kind, flaw)
        bench.add_photo(
            self.member, project=self.project, step=step, picture=picture, text=text, **self.world.act(at)
        )
        return picture

    def show_off(self):
        """The panel with its lamp on, and by day; the first is the project's cover."""
        at = self.now + minutes(8)
        picture = self.photograph(at, "panel", "Lamp on, room dark", flaw="")
        plan.set_cover(self.member, self.project, picture, at=at + minutes(1))

    def tick(self, step, at):
        """The checklist, line by line."""
        for item in step.checks.filter(ticked_at=None):
            plan.tick(self.member, item, True, at=at)


def told(world, piece):
    """A project as a story line."""
    story = Story(world, piece)
    yield story.now
    begin(story)
    if piece.how == "live" and not piece.until:
        return
    for step in story.project.steps.kept().in_order():
        if piece.how == "live" and now.stands_at(piece, step):
            yield from now.live(story, step)
            return
        yield from one_step(story, step)
        if step.kind == piece.until and piece.how != "live":
            yield from set_aside(story)
            return
    yield from finish(story)


def begin(story):
    """The project, its block with its sizes, and the strips for it if it is more than an idea."""
    world, piece, at = story.world, story.piece, story.now
    due = None if piece.due is None else world.diary.date(piece.due, 4)
    story.project = plan.begin_project(
        story.member, title=piece.title, due_on=due, resin=world.resins[piece.resin], at=at,
        purpose=piece.purpose, state=piece.state, customer=piece.customer, customer_note=piece.customer_note,
    )  # fmt: skip
    world.projects[piece.title] = story.project
    strips, strip, gap, finished, length = piece.sizes
    values = {
        "strips": strips, "strip_mm": strip, "gap_mm": gap, "finished_mm": finished, "length_mm": length,
        "species": world.woods[piece.wood],
    }  # fmt: skip
    story.block = plan.keep_block(story.member, story.project.blocks.get(), values, at=at + minutes(20))
    panels.designed(story, at + minutes(21))
    planning_line.change_route(story, at + minutes(26))


def one_step(story, step):
    """One step acted out when the shop is open, after a pause that is the project's own pace."""
    length = 20 if step.is_passive else min(step.minutes, 95)
    if step.kind in IN_PASSING:
        at = story.open(story.now + minutes(2), length)
    else:
        gap = 8 if story.dice.random() < 0.45 else story.dice.uniform(0.2, 1.6) * story.piece.days * 24 * 60
        at = story.open(story.now + minutes(gap), length + 25) + minutes(story.dice.randint(0, 24))
    story.now = at
    yield at
    if not step.is_passive and step.kind != "pour":
        story.tick(step, at)
    if step.kind == "measure" and story.piece.title not in story.world.stock.bundles:
        story.world.stock.bundle(story.piece, story.block, at=at)
    for when in acts.act_of(step)(story, step, at):
        story.now = max(story.now, when)
        yield when
    yield from trouble.after(story, step)
    if step.kind == "cut" and story.dice.random() < 0.6:
        keep_leftover(story)


def keep_leftover(story):
    """What is left of the block goes on the window sill; now and then with a photo."""
    lot = story.world.stock.leftover(story.piece, story.block, at=story.now, who=story.who)
    if story.dice.random() < 0.15:
        picture = story.picture(story.now + minutes(2), "section")
        story.world.stock.pictured(lot, picture, at=story.now + minutes(3), who=story.who)


def finish(story):
    """The piece leaves the shop, or the casting has taught what it could."""
    at = story.open(story.now + minutes(20), 10)
    yield at
    plan.set_state(story.member, story.project, Project.State.FINISHED, at=at)
    bundle = story.world.stock.bundles.get(story.piece.title)
    if bundle is not None and story.dice.random() < 0.6:
        rest = max(bundle.on_hand, 0)
        story.world.stock.throw_away(bundle, rest, "short ends, into the stove", at=at, who=story.who)


def set_aside(story):
    """It goes no further, and why."""
    at = story.open(story.now + minutes(60 * 50), 10)
    yield at
    acts.answer(story, at, "given up", step__project=story.project)
    plan.set_state(story.member, story.project, Project.State.SET_ASIDE, at=at, why=story.piece.how)
