"""Changes to what is planned, each one transaction."""

from django.db import transaction

from projects import advice, default_route
from projects.actions import checks, lessons, needs, routes
from projects.models import Block, CheckItem, Project, Step, Timer
from workshop import history
from workshop.refusals import Refused

BECAME = {
    Project.State.IDEA: "made an idea",
    Project.State.PLANNED: "planned",
    Project.State.UNDER_WAY: "took up",
    Project.State.FINISHED: "finished",
    Project.State.SET_ASIDE: "set aside",
}
"""How history says what became of a project."""


def next_code(shop):
    """The next project number of a shop: 001, 002, …"""
    numbers = [
        int(code) for code in Project.objects.of(shop).values_list("code", flat=True) if code.isdigit()
    ]
    return f"{max(numbers, default=0) + 1:03d}"


@transaction.atomic
def begin_project(
    member, *, title, due_on, resin, at, purpose=Project.Purpose.PIECE, state=Project.State.PLANNED,
    customer="", customer_note="", route=None,
):  # fmt: skip
    """A project with its first block, full of good guesses, and the usual steps for its purpose.

    `route` is one that the shop keeps, to be followed instead of the usual one.
    """
    # the shop's row is locked so that two projects begun at once get two numbers
    type(member.shop).objects.select_for_update().get(pk=member.shop_id)
    made = {"shop": member.shop, "created_at": at, "created_by": member.user}
    project = Project.objects.create(
        **made,
        code=next_code(member.shop),
        title=title,
        due_on=due_on,
        purpose=purpose,
        state=state,
        customer=customer,
        customer_note=customer_note,
    )
    block = Block.objects.create(**made, project=project, resin=resin)
    routes.lay_route(member, block, route, at=at)
    needs.follow(block, at=at, by=member)
    history.record(member, "began", project, at=at, label=str(project))
    return project


@transaction.atomic
def keep_block(member, block, values, *, at, why=""):
    """The block's new figures; what they were, and why, stays in history. Its steps and needs follow."""
    before, after = history.changes(block, values)
    if after:
        usual = advice.usual_minutes(block)
        for name in after:
            setattr(block, name, values[name])
        block.save(update_fields=list(after))
        follow_block(member, block, usual, at=at)
        needs.follow(block, at=at, by=member)
        label = f"{block.project.code} {block}"
        history.record(member, "changed", block, at=at, label=label, before=before, after=after, why=why)
    return block


def follow_block(member, block, usual, *, at):
    """Steps to do take as long as the new figures ask for, unless a maker has set their time.

    `usual` is how long they took by the figures before. Lessons about a wood or resin come once it is named.
    """
    steps = list(block.steps.kept().filter(state=Step.State.TO_DO).select_related("block"))
    now = advice.usual_minutes(block)
    for step in steps:
        name = default_route.FOLLOWING.get(step.kind)
        if name and step.minutes == round(usual[name]) != round(now[name]):
            step.minutes = round(now[name])
            step.save(update_fields=["minutes"])
    checks.bring_lessons(member, steps, at=at)


@transaction.atomic
def change_project(member, project, values, *, at):
    """What a project is: title, due_on, purpose, customer, customer_note. The route stays as it is."""
    locked = Project.objects.select_for_update().get(pk=project.pk)
    before, after = history.changes(locked, values)
    if after:
        for name in after:
            setattr(locked, name, values[name])
        locked.save(update_fields=list(after))
        history.record(member, "changed", locked, at=at, label=str(locked), before=before, after=after)
    return locked


@transaction.atomic
def set_state(member, project, state, *, at, why=""):
    """An idea, planned, under way, finished, or set aside with the reason why.

    Raises Refused where a project is set aside without a reason.
    """
    locked = Project.objects.select_for_update().get(pk=project.pk)
    state, why = Project.State(state), why.strip()
    if state == Project.State.SET_ASIDE and not why:
        raise Refused("Say why it is set aside, so that whoever finds it knows.")
    if locked.state == state:
        return locked
    was = Project.State(locked.state)
    locked.state = state
    locked.finished_at = at if state == Project.State.FINISHED else None
    locked.set_aside_why = why if state == Project.State.SET_ASIDE else ""
    locked.save(update_fields=["state", "finished_at", "set_aside_why"])
    if state in Project.LIVE:  # what was learned while it was an idea, or set aside
        lessons.follow(locked.steps.all(), at=at, by=member.user)
    history.record(
        member,
        BECAME[state],
        locked,
        at=at,
        label=str(locked),
        before={"state": was.label},
        after={"state": state.label},
        why=why,
    )
    return locked


def take_up(member, project, *, at):
    """A project that was finished or set aside goes on: under way if anything was done for it."""
    begun = project.steps.kept().exclude(state=Step.State.TO_DO).exists()
    state = Project.State.UNDER_WAY if begun else Project.State.PLANNED
    return set_state(member, project, state, at=at)


@transaction.atomic
def set_cover(member, project, picture, *, at):
    """The photo that stands for a project; None takes it away."""
    locked = Project.objects.select_for_update().get(pk=project.pk)
    if locked.cover_id != (picture and picture.pk):
        verb = "chose the cover of" if picture else "took away the cover of"
        locked.cover = picture
        locked.save(update_fields=["cover"])
        history.record(member, verb, locked, at=at, label=str(locked))
    return locked


@transaction.atomic
def remove_project(member, project, *, at, removed):
    """Take a project off the list, or bring it back.

    Raises Refused while a clock of it runs: nobody would hear it.
    """
    locked = Project.objects.select_for_update().get(pk=project.pk)
    if bool(locked.removed_at) == removed:
        return locked
    if removed and Timer.objects.running().filter(entry__project=locked).exists():
        raise Refused("A clock of this project is running. Answer it first, then take the project off.")
    locked.removed_at = at if removed else None
    locked.save(update_fields=["removed_at"])
    history.record(member, "removed" if removed else "brought back", locked, at=at, label=str(locked))
    return locked


@transaction.atomic
def tick(member, item, ticked, *, at):
    """A checklist line ticked or cleared."""
    locked = CheckItem.objects.select_for_update().get(pk=item.pk)
    if bool(locked.ticked_at) == ticked:
        return locked
    locked.ticked_at = at if ticked else None
    locked.ticked_by = member.user if ticked else None
    locked.save(update_fields=["ticked_at", "ticked_by"])
    history.record(member, "ticked" if ticked else "cleared", locked, at=at, label=locked.text)
    return locked
