"""Changes to what is planned, each one transaction."""

from django.db import transaction

from projects.actions import needs
from projects.models import Block, CheckItem, Project, Step
from workshop import history

# common practice, no source
POUR_CHECKS = (
    "Gloves, glasses, window open",
    "Mould taped, sealed, dry, and it holds",
    "Mould level both ways, tray under it",
    "Strips in their slots, held down",
    "A and B of the same resin set out, scale on",
)


def next_code(shop):
    """The next project number of a shop: 001, 002, …"""
    numbers = [
        int(code) for code in Project.objects.of(shop).values_list("code", flat=True) if code.isdigit()
    ]
    return f"{max(numbers, default=0) + 1:03d}"


@transaction.atomic
def begin_project(member, *, title, due_on, resin, at):
    """A project with its first block, full of good guesses, and the step that pours it."""
    # the shop's row is locked so that two projects begun at once get two numbers
    type(member.shop).objects.select_for_update().get(pk=member.shop_id)
    made = {"shop": member.shop, "created_at": at, "created_by": member.user}
    project = Project.objects.create(**made, code=next_code(member.shop), title=title, due_on=due_on)
    block = Block.objects.create(**made, project=project, resin=resin)
    step = Step.objects.create(
        **made, project=project, block=block, kind=Step.Kind.POUR, title=f"Pour block {block.letter}"
    )
    CheckItem.objects.bulk_create(
        CheckItem(**made, step=step, position=position, text=text)
        for position, text in enumerate(POUR_CHECKS)
    )
    needs.follow(block, at=at, by=member)
    history.record(member, "began", project, at=at, label=str(project))
    return project


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
