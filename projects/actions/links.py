"""Links between the steps of a route: set, changed, taken off. Each can be taken back as any change of it."""

from django.db import transaction

from projects.actions import route
from projects.actions.link_rows import kept_links, stays_in_order
from projects.models import StepLink
from workshop import history
from workshop.refusals import Refused


@transaction.atomic
def link(member, before, after, values, *, at):
    """`after` waits for `before`, with the window in `values`: open_min, close_min, hard, at_c, law.

    Raises Refused for steps of two projects, for a window that closes before it opens, and where steps
    would wait for each other.
    """
    route.lock(after.project)
    if before.project_id != after.project_id:
        raise Refused("The two steps belong to different projects.")
    if before == after:
        raise Refused("A step can't wait for itself.")
    values = {
        "open_min": 0,
        "close_min": None,
        "hard": False,
        "at_c": None,
        "law": StepLink.Law.WALL,
        **values,
    }
    can_be_met(values)
    former = kept_links(after.project)
    row = StepLink.objects.filter(before=before, after=after).first()
    if row is None:
        row = StepLink(
            shop=member.shop, created_at=at, created_by=member.user, before=before, after=after,
        )  # fmt: skip
    told, became = ({}, values) if row.pk is None else history.changes(row, values)
    if not became:
        return row
    for name, value in values.items():
        setattr(row, name, value)
    row.save()
    stays_in_order(after.project)
    route.keep(member, after.project, f"let “{after}” wait for “{before}”", at=at, links=former)
    label = f"{after.project.code} {row}"
    history.record(member, "linked", after, at=at, label=label, before=told, after=said(became))
    return row


@transaction.atomic
def change_link(member, row, before, values, *, at):
    """Another window for a link, or another step that it waits for; `values` are all that `link` takes.

    Raises Refused for a window that nobody can meet, for two steps that are linked already, and where steps
    would wait for each other.
    """
    project = row.after.project
    route.lock(project)
    row = StepLink.objects.select_related("before", "after").get(pk=row.pk)
    if before.project_id != project.pk:
        raise Refused("The two steps belong to different projects.")
    if before.pk == row.after_id:
        raise Refused("A step can't wait for itself.")
    if StepLink.objects.filter(before=before, after=row.after).exclude(pk=row.pk).exists():
        raise Refused(f"“{row.after}” waits for “{before}” already. Change that wait instead.")
    can_be_met(values)
    values = {"before": before, **values}
    told, became = history.changes(row, values)
    if not became:
        return row
    former, was = kept_links(project), str(row.law)
    for name, value in values.items():
        setattr(row, name, value)
    row.save()
    stays_in_order(project)
    label = f"changed how “{row.after}” waits for “{row.before}”"
    route.keep(member, project, label, at=at, links=former)
    if "law" in became:
        told["law"], became["law"] = (str(StepLink.Law(law).label) for law in (was, row.law))
    history.record(
        member, "changed the wait", row.after, at=at, label=f"{project.code} {row}", before=told, after=became
    )
    return row


def can_be_met(values):
    """Refuse a window that nobody can meet, and one that says nothing of what it is."""
    opens, closes = values["open_min"], values["close_min"]
    if closes is not None and closes < opens:
        raise Refused("The window would close before it opens. Give it a later end, or none.")
    if values["hard"] and closes is None:
        raise Refused("A window that never closes can't be hard. Say when it closes.")
    if values["law"] == StepLink.Law.TEN_DEGREE and values["at_c"] is None:
        raise Refused("Hours that follow the warmth need the warmth that the sheet gives them at.")


@transaction.atomic
def unlink(member, row, *, at):
    """A link taken off; the step waits for the one before it again, if nothing else is named."""
    project = row.after.project
    route.lock(project)
    route.keep(
        member,
        project,
        f"let “{row.after}” wait no more for “{row.before}”",
        at=at,
        links=kept_links(project),
    )
    history.record(member, "unlinked", row.after, at=at, label=f"{project.code} {row}")
    StepLink.objects.filter(pk=row.pk).delete()
    stays_in_order(project)


def said(values):
    """A window as history keeps it: only what says something."""
    return {name: value for name, value in values.items() if value not in (None, 0, False) and name != "law"}
