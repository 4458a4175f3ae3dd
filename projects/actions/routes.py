"""The route of a new project, and the routes that a shop keeps for later ones."""

from django.db import transaction

from projects import advice, default_route, own_times
from projects.actions import checks
from projects.models import CheckItem, Project, Route, Step, StepLink
from workshop import history
from workshop.models import Machine
from workshop.refusals import Refused

OF_STEP = ("kind", "title", "mode", "minutes", "people")
OF_LINK = ("open_min", "close_min", "hard", "at_c")
BLOCK = "{block}"
"""Stands for the block's name in the words of a kept route."""


def lay_route(member, block, route=None, *, at):
    """The steps of a new project around its block, with their checklists and what they wait for.

    They are the usual ones for its purpose, or those of a `route` that the shop keeps.
    """
    if route is not None:
        return lay_kept(member, block, route, at=at)
    lines = default_route.ROUTES[Project.Purpose(block.project.purpose)]
    steps = lay_lines(member, block, lines, at=at)
    tie(member, steps, at=at)
    return steps


def tie(member, steps, *, at):
    """The usual windows between new steps."""
    StepLink.objects.bulk_create(
        StepLink(**made(member, at), before=before, after=after, **found.window)
        for before, after, found in default_route.ties_of(steps)
    )


def lay_lines(member, block, lines, *, at, position=0):
    """Steps from lines of the usual route, the first in place `position`, with their checklists.

    They take the shop's own times where its log tells them.
    """
    usual, told = advice.usual_minutes(block), own_times.told(member.shop)
    steps = Step.objects.bulk_create(
        Step(
            **made(member, at),
            project=block.project,
            block=block if line.of_block else None,
            position=place,
            kind=line.kind,
            title=default_route.title_of(line, block),
            mode=Step.Mode.PASSIVE if line.passive else Step.Mode.HANDS_ON,
            minutes=own_times.minutes_for(line, usual, told),
        )
        for place, line in enumerate(lines, start=position)
    )
    checks.fill(member, steps, at=at)
    return steps


def lay_kept(member, block, route, *, at):
    """The steps of a kept route; what follows the figures of the block has its own hours again."""
    usual, name = advice.usual_minutes(block), f"block {block.letter}"
    machines = {str(machine.key): machine for machine in Machine.objects.of(member.shop).in_use()}
    steps = []
    for place, line in enumerate(route.lines):
        follows = default_route.FOLLOWING.get(line["kind"])
        minutes = round(usual[follows]) if follows else line["minutes"]
        steps.append(
            Step(
                **made(member, at),
                project=block.project,
                block=block if line["of_block"] else None,
                position=place,
                machine=machines.get(line["machine"]),
                **{**{one: line[one] for one in OF_STEP}, "minutes": minutes},
            )
        )
        steps[-1].title = steps[-1].title.replace(BLOCK, name)[:120]
    steps = Step.objects.bulk_create(steps)
    checks.fill(member, steps, at=at)
    own = [(step, line["checks"]) for step, line in zip(steps, route.lines, strict=True) if line["checks"]]
    CheckItem.objects.bulk_create(
        item
        for step, texts in own
        for item in checks.lines(member, step, [(text, None) for text in texts], at=at, after=50)
    )
    StepLink.objects.bulk_create(
        StepLink(
            **made(member, at), before=steps[tie["before"]], after=steps[tie["after"]], law=tie["law"],
            **{one: tie[one] for one in OF_LINK},
        )
        for tie in route.steps["links"]
    )  # fmt: skip
    return steps


def made(member, at):
    """Whose a row is, and since when."""
    return {"shop": member.shop, "created_at": at, "created_by": member.user}


@transaction.atomic
def keep_route(member, project, name, *, at):
    """The route of a project as a pattern under a name; one of that name follows what it is now.

    Raises Refused where the project has no steps.
    """
    type(member.shop).objects.select_for_update().get(pk=member.shop_id)
    steps = list(project.steps.kept().select_related("block", "machine").in_order())
    if not steps:
        raise Refused("This project has no steps, so there is no route to keep.")
    values = values_of(project, steps)
    row = Route.objects.of(member.shop).kept().filter(name=name).first()
    if row is not None and row.steps == values:
        return row
    verb = "kept anew" if row else "kept"
    row = row or Route(**made(member, at), name=name)
    row.steps = values
    row.save()
    history.record(member, f"{verb} the route", row, at=at, label=name, after={"steps": len(steps)})
    return row


def values_of(project, steps):
    """A route as plain values: its steps with what somebody wrote on their checklists, and its links."""
    lines = {step.pk: [] for step in steps}
    for item in CheckItem.objects.filter(step__in=steps, lesson=None):
        lines[item.step_id].append(item.text)
    places = {step.pk: place for place, step in enumerate(steps)}
    return {
        "version": 1,
        "steps": [line_of(step, lines[step.pk]) for step in steps],
        "links": [
            {
                "before": places[row.before_id],
                "after": places[row.after_id],
                "law": str(row.law),
                **{name: getattr(row, name) for name in OF_LINK},
            }
            for row in StepLink.objects.of_routes([project])
        ],
    }


def line_of(step, texts):
    """One step as plain values, the block's name left open; of its checklist what is not usual."""
    usual = set(checks.checks_of(step.kind))
    title = step.title.replace(f"block {step.block.letter}", BLOCK) if step.block else step.title
    return {
        **{name: str(value) if isinstance(value, str) else value for name, value in values(step)},
        "title": title[:120],
        "of_block": step.block_id is not None,
        "machine": step.machine and str(step.machine.key),
        "checks": [text for text in texts if text not in usual],
    }


def values(step):
    """What a kept route says of a step."""
    return [(name, getattr(step, name)) for name in OF_STEP]


@transaction.atomic
def remove_route(member, route, *, at, removed):
    """Take a kept route off the list, or bring it back.

    Raises Refused where another one has its name by now.
    """
    held = Route.objects.select_for_update().get(pk=route.pk)
    if bool(held.removed_at) == removed:
        return held
    if not removed and Route.objects.of(member.shop).kept().filter(name=held.name).exists():
        raise Refused(f"There is a route “{held}” again by now. Take that one off first.")
    held.removed_at = at if removed else None
    held.save(update_fields=["removed_at"])
    verb = "removed the route" if removed else "brought back the route"
    history.record(member, verb, held, at=at, label=str(held))
    return held
