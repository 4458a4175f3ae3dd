"""Changes of a project's route. Each keeps what it touched, so that one after the other can be taken back."""

from django.db import transaction

from projects.actions import away, checks, dates, link_rows
from projects.checklists import checks_of
from projects.default_route import PIECE
from projects.models import CheckItem, Lesson, Project, RouteChange, Step
from workshop import history
from workshop.models import Machine, Member
from workshop.refusals import Refused

OF_BLOCK = {line.kind for line in PIECE if line.of_block}
"""Kinds of step that belong to a block."""
lay_out = dates.lay_out


def lock(project):
    """Hold a project's row, so that two changes of its route happen one after the other."""
    return Project.objects.select_for_update().get(pk=project.pk)


def in_place(project):
    """The steps of a project as they stand."""
    return list(project.steps.kept().select_related("machine", "assignee", "block").in_order())


@transaction.atomic
def add_step(member, project, values, *, at):
    """A step behind the one in `values["after"]`, at the end without one."""
    lock(project)
    values = dict(values)
    after = values.pop("after", None)
    steps = in_place(project)
    place = next((number + 1 for number, step in enumerate(steps) if step == after), len(steps))
    step = Step.objects.create(
        shop=member.shop, created_at=at, created_by=member.user, project=project, position=place,
        **{"block": block_for(project, values["kind"]), **values},
    )  # fmt: skip
    checks.fill(member, [step], at=at)
    touched = put_in_order([*steps[:place], step, *steps[place:]])
    touched.pop(step, None)
    keep(member, project, f"added “{step}”", at=at, touched=touched, added=[step])
    history.record(member, "added the step", step, at=at, label=f"{project.code} {step}")
    return step


def block_for(project, kind):
    """The block that a step of some kind is about: the first one; none for work on the panel."""
    return project.blocks.order_by("position").first() if kind in OF_BLOCK else None


@transaction.atomic
def change_step(member, step, values, *, at):
    """Other words, hours or hands for a step.

    Raises Refused where a step that was begun would become one of another kind.
    """
    lock(step.project)
    step = Step.objects.select_related("project", "block").get(pk=step.pk)
    if "kind" in values and values["kind"] != step.kind:
        if step.state != Step.State.TO_DO:
            raise Refused("It was begun already, so it stays the kind of work it is.")
        values = {"block": block_for(step.project, values["kind"]), **values}
    before, after = history.changes(step, values)
    if not after:
        return step
    kept, lines = kept_of(step), lines_of(step)
    usual = list(checks_of(step.kind, passive=step.is_passive))
    for name in after:
        setattr(step, name, values[name])
    step.save(update_fields=list(after))
    swapped = "kind" in after and [item.text for item in lines if not item.lesson_id] == usual
    if swapped and not any(item.ticked_at for item in lines):
        CheckItem.objects.filter(step=step).delete()
        checks.fill(member, [step], at=at)
    keep(member, step.project, f"changed “{step}”", at=at, touched={step: kept}, lines={step: lines})
    label = f"{step.project.code} {step}"
    history.record(member, "changed the step", step, at=at, label=label, before=before, after=after)
    return step


@transaction.atomic
def move_step(member, step, places, *, at):
    """A step so many places later in the route; earlier where `places` is below nothing."""
    lock(step.project)
    steps = in_place(step.project)
    number = steps.index(step)
    wanted = min(max(number + places, 0), len(steps) - 1)
    if wanted == number:
        return step
    moved = steps.pop(number)
    steps.insert(wanted, moved)
    touched = put_in_order(steps)
    link_rows.stays_in_order(step.project)
    keep(member, step.project, f"moved “{step}”", at=at, touched=touched)
    where = "later" if places > 0 else "earlier"
    label = f"{step.project.code} {step}"
    history.record(member, "moved the step", step, at=at, label=label, after={"place": where})
    return moved


@transaction.atomic
def remove_step(member, step, *, at):
    """Take a step out of the route.

    Raises Refused where it was begun: what happened stays, so such a step is skipped.
    """
    lock(step.project)
    held = Step.objects.select_for_update().get(pk=step.pk)
    if held.state != Step.State.TO_DO:
        raise Refused(f"“{held}” is {held.get_state_display()}. What has happened stays: skip it instead.")
    kept = kept_of(held)
    held.removed_at = at
    held.save(update_fields=["removed_at"])
    keep(member, step.project, f"removed “{held}”", at=at, touched={held: kept})
    history.record(member, "removed the step", held, at=at, label=f"{step.project.code} {held}")
    return held


@transaction.atomic
def add_check(member, step, text, *, at):
    """One more line on a step's checklist."""
    lock(step.project)
    lines = lines_of(step)
    place = max((item.position for item in lines), default=-1) + 1
    [item] = CheckItem.objects.bulk_create(checks.lines(member, step, [(text, None)], at=at, after=place))
    keep(member, step.project, f"added “{text}”", at=at, lines={step: lines})
    history.record(member, "added the line", step, at=at, label=text)
    return item


@transaction.atomic
def remove_check(member, item, *, at):
    """Take a line off a step's checklist."""
    lock(item.step.project)
    lines = lines_of(item.step)
    keep(member, item.step.project, f"took off “{item}”", at=at, lines={item.step: lines})
    history.record(member, "took off the line", item.step, at=at, label=item.text)
    CheckItem.objects.filter(pk=item.pk).delete()


def put_in_order(steps):
    """Number the steps as they stand in a list; gives those that moved, with what they were."""
    touched = {}
    for position, step in enumerate(steps):
        if step.position != position:
            touched[step] = kept_of(step)
            step.position = position
    Step.objects.bulk_update(touched, ["position"])
    return touched


def put_behind(member, project, rows, behind, *, at):
    """New steps from values, behind one or at the end; gives them, and those that moved as they were."""
    steps = in_place(project)
    place = steps.index(behind) + 1 if behind is not None else len(steps)
    made = {"shop": member.shop, "created_at": at, "created_by": member.user, "project": project}
    added = [Step.objects.create(**made, position=place, **values) for values in rows]
    checks.fill(member, added, at=at)
    touched = put_in_order([*steps[:place], *added, *steps[place:]])
    return added, {step: values for step, values in touched.items() if step not in added}


def insert(step, added):
    """Number a route anew with some steps right behind one; gives those that moved, with what they were."""
    steps = [one for one in in_place(step.project) if one not in added]
    number = steps.index(step) + 1
    touched = put_in_order([*steps[:number], *added, *steps[number:]])
    return {one: values for one, values in touched.items() if one not in added}


def kept_of(step):
    """What a change may have to put back of a step."""
    return {
        **{name: getattr(step, name) for name in ("kind", "title", "mode", "minutes", "people", "position")},
        "machine": step.machine_id and str(step.machine.key),
        "assignee": step.assignee_id and str(step.assignee.key),
        "block": step.block_id and str(step.block.key),
        "removed": step.removed_at is not None,
    }


def lines_of(step):
    """A step's checklist as it stands."""
    return list(CheckItem.objects.filter(step=step).select_related("lesson"))


def kept_line(item):
    """What a change may have to put back of a line."""
    return {
        "text": item.text,
        "position": item.position,
        "lesson": item.lesson_id and str(item.lesson.key),
    }


def keep(member, project, label, *, at, touched=None, added=(), lines=None, links=None, block=None):
    """What was before a change: steps with their values, what came with it, checklists, links.

    `lines` are whole checklists, `links` all of the route's, each as they were.
    """
    return RouteChange.objects.create(
        shop=member.shop,
        created_at=at,
        created_by=member.user,
        project=project,
        label=label[:200],
        before={
            "version": 1,
            "steps": {str(step.key): values for step, values in (touched or {}).items()},
            "added": [str(step.key) for step in added],
            "block": str(block.key) if block else "",
            "checks": {
                str(step.key): {str(item.key): kept_line(item) for item in items}
                for step, items in (lines or {}).items()
            },
            **({} if links is None else {"links": links}),
        },
    )


def last_change(project):
    """The newest change of a route that was not taken back; None without one."""
    return project.route_changes.filter(undone_at=None).order_by("-created_at", "-pk").first()


@transaction.atomic
def undo(member, project, *, at):
    """Take back the newest change of a route; again, the one before it.

    Raises Refused where there is none, or where a step that came with it was begun meanwhile.
    """
    lock(project)
    change = last_change(project)
    if change is None:
        raise Refused("There is no change of this route to take back.")
    steps = {str(step.key): step for step in project.steps.all()}
    take_away([steps[key] for key in change.before["added"]], at=at)
    away.put_away(project, change.before.get("block"))
    for key, values in change.before["steps"].items():
        put_back(steps[key], values, at=at)
    for key, lines in change.before["checks"].items():
        put_lines_back(member, steps[key], lines, at=at)
    if "links" in change.before:
        link_rows.put_links_back(member, project, change.before["links"], at=at)
    change.undone_at = at
    change.save(update_fields=["undone_at"])
    label = f"{project.code} {change.label}"
    history.record(member, "took back a change", project, at=at, label=label)
    return change


def take_away(added, *, at):
    """Steps that came with a change go with it."""
    for step in added:
        if step.state != Step.State.TO_DO:
            raise Refused(f"“{step}” was begun meanwhile, so it can't be taken back any more.")
        step.removed_at = at
        step.save(update_fields=["removed_at"])


def put_back(step, values, *, at):
    """A step as it was before a change; one that was begun meanwhile keeps its kind."""
    values = dict(values)
    begun = step.state != Step.State.TO_DO
    step.machine = row_of(Machine, step, values.pop("machine"))
    step.assignee = row_of(Member, step, values.pop("assignee"))
    block = values.pop("block")
    removed = values.pop("removed")
    if not begun:
        step.block = step.project.blocks.filter(key=block).first() if block else None
        step.removed_at = (step.removed_at or at) if removed else None
    for name, value in values.items():
        if name != "kind" or not begun:
            setattr(step, name, value)
    step.save(update_fields=[*values, "machine", "assignee", "block", "removed_at"])


def row_of(model, step, key):
    """A row of the step's shop by its key, or None."""
    return model.objects.of(step.shop).filter(key=key).first() if key else None


def put_lines_back(member, step, kept, *, at):
    """A checklist as it was before a change; what stands on it stays ticked, what comes back is not."""
    there = {str(item.key): item for item in lines_of(step)}
    CheckItem.objects.filter(step=step).exclude(key__in=kept).delete()
    for key, line in kept.items():
        if key not in there:
            CheckItem.objects.create(
                shop=step.shop, key=key, created_at=at, created_by=member.user, step=step,
                position=line["position"], text=line["text"], lesson=row_of(Lesson, step, line["lesson"]),
            )  # fmt: skip
