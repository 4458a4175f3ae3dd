"""Changes to what is planned, each one transaction."""

from django.db import transaction

from projects import advice, default_route
from projects.actions import checks, needs
from projects.models import Block, CheckItem, Project, Step
from workshop import history


def next_code(shop):
    """The next project number of a shop: 001, 002, …"""
    numbers = [
        int(code) for code in Project.objects.of(shop).values_list("code", flat=True) if code.isdigit()
    ]
    return f"{max(numbers, default=0) + 1:03d}"


@transaction.atomic
def begin_project(
    member, *, title, due_on, resin, at, purpose=Project.Purpose.PIECE, state=Project.State.PLANNED,
    customer="", customer_note="",
):  # fmt: skip
    """A project with its first block, full of good guesses, and the usual steps for its purpose."""
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
    lay_route(member, block, at=at)
    needs.follow(block, at=at, by=member)
    history.record(member, "began", project, at=at, label=str(project))
    return project


def lay_route(member, block, *, at):
    """The usual steps of a project around its block, with their checklists."""
    usual = advice.usual_minutes(block)
    steps = Step.objects.bulk_create(
        Step(
            shop=member.shop,
            created_at=at,
            created_by=member.user,
            project=block.project,
            block=block if line.of_block else None,
            position=position,
            kind=line.kind,
            title=line.title.format(block=f"block {block.letter}"),
            mode=Step.Mode.PASSIVE if line.passive else Step.Mode.HANDS_ON,
            minutes=default_route.minutes_of(line, usual),
        )
        for position, line in enumerate(default_route.ROUTES[Project.Purpose(block.project.purpose)])
    )
    checks.fill(member, steps, at=at)
    return steps


@transaction.atomic
def keep_block(member, block, values, *, at):
    """The block's new figures; what they were stays in history."""
    before, after = history.changes(block, values)
    if after:
        for name in after:
            setattr(block, name, values[name])
        block.save(update_fields=list(after))
        label = f"{block.project.code} {block}"
        history.record(member, "changed", block, at=at, label=label, before=before, after=after)
    needs.follow(block, at=at, by=member)
    return block


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
