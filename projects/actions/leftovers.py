"""Leftovers of the shelf taken for a panel, and given back."""

from django.db import transaction

from materials import actions as shelf
from materials.models import Lot
from projects.models import PanelDesign, Project
from projects.panel.stock import taken_of
from workshop import history
from workshop.refusals import Refused

KEPT = ("length_mm", "width_mm", "thickness_mm", "strip_mm", "gap_mm", "phase_mm")


@transaction.atomic
def use(member, project, lot, *, at):
    """One leftover comes off the shelf and is cut first for this panel.

    Raises Short where the shelf holds none, Refused without a panel.
    """
    row = held_design(project)
    line = shelf.draw_at_shelf(member, lot, 1, at=at, why=f"cut for {project.code}")
    figures = {name: getattr(lot, name) for name in KEPT}
    one = {"lot": str(lot.key), "code": lot.code, "line": str(line.key), **figures}
    keep(row, [*taken_of(row), one])
    history.record(member, "took the leftover", project, at=at, label=f"{lot.code} for {project.code}")


@transaction.atomic
def give_back(member, project, line, *, at):
    """A leftover that was not cut after all goes back on the shelf; nothing where it is there already."""
    row = held_design(project)
    found = next((one for one in taken_of(row) if one["line"] == str(line.key)), None)
    if found is None:
        return
    shelf.reverse(member, line, at=at, why=f"not cut for {project.code}")
    keep(row, [one for one in taken_of(row) if one is not found])
    history.record(member, "gave back the leftover", project, at=at, label=f"{found['code']}, {project.code}")


def held_design(project):
    """The kept design of a project, its project locked, so that two presses take two leftovers."""
    Project.objects.select_for_update().get(pk=project.pk)
    row = PanelDesign.objects.of_project(project)
    if row is None:
        raise Refused("Design the panel first; then it is known which leftovers fit.")
    return row


def keep(row, taken):
    """What is cut first, as the design keeps it; its version follows when it is next asked for."""
    row.overrides = {**row.overrides, "leftovers": taken}
    row.save(update_fields=["overrides"])


def came_from(project, left):
    """What a leftover's ticket says of where it came from."""
    return said_of(project, left.name)


def said_of(project, name):
    """A place in the plan of a project, as tickets say it."""
    return f"{project.code} {project.title}"[:100] + f", {name}"


def on_shelf(project, lefts):
    """The leftovers of the shelf by the place in the plan that their tickets name; one question."""
    places = {said_of(project, name): left.place for left in lefts for name in (left.by_number, left.name)}
    rows = Lot.objects.of(project.shop).filter(kind=Lot.Kind.LEFTOVER, came_from__in=places)
    return {places[lot.came_from]: lot for lot in rows}
