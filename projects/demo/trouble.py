"""What goes wrong in the demo: noticed, looked into, and learned from."""

from projects.actions import failures, lessons
from projects.demo.world import minutes
from projects.models import Pour, Step

SHOWN_AS = {"pour": "pour", "light": "panel", "sand": "panel"}
"""How the photo of a failure is taken that was seen after a step of this kind; else the sawn end."""


def after(story, step):
    """The mishaps that are seen once a step of this kind is over."""
    for mishap in story.mishaps():
        if mishap.after == step.kind and mishap not in story.noted:
            story.noted.add(mishap)
            at = story.now + minutes(17)
            yield at
            failure = record(story, step, mishap, at)
            story.world.lines.begin(looked_into(story, failure, mishap, at))


def record(story, step, mishap, at):
    """The failure with its photo and the facts of its pour."""
    pour = Pour.objects.filter(block=story.block, lift=mishap.lift).first() if mishap.lift else None
    flaw = "soft" if mishap.flaw.startswith("soft") else mishap.flaw
    picture = story.picture(at, SHOWN_AS.get(mishap.after, "section"), flaw=flaw)
    values = {
        "kind": mishap.kind, "where": mishap.where, "severity": mishap.severity, "pour": pour, "step": step,
        "done": mishap.done,
    }  # fmt: skip
    return failures.record_failure(
        story.member, story.project, values, picture=picture, **story.world.act(at)
    )


def looked_into(story, failure, mishap, noticed_at):
    """What was thought of, day by day, and the line for later checklists."""
    told = [
        (days, lambda at, cause=cause: suspect(story, failure, cause, at)) for days, *cause in mishap.causes
    ]
    if mishap.lesson:
        days, *lesson = mishap.lesson
        told.append((days, lambda at: learn(story, failure, lesson, at)))
    for days, tell in sorted(told, key=lambda one: one[0]):
        at = story.world.diary.open_from(noticed_at + minutes(days * 24 * 60 + 25), 10)
        yield at
        tell(at)


def suspect(story, failure, cause, at):
    """A cause, thought of or thought of again."""
    code, status, evidence = cause
    lessons.suspect(story.member, failure, code=code, status=status, evidence=evidence, at=at)


def learn(story, failure, lesson, at):
    """The sentence that stands on the checklists from then on."""
    sentence, kind, of_this_resin = lesson
    values = {
        "failure": failure, "sentence": sentence, "step_kind": Step.Kind(kind), "species": None,
        "resin": story.block.resin if of_this_resin else None,
    }  # fmt: skip
    lessons.learn(story.member, values, at=at)
