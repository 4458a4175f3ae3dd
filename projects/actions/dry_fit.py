"""Pieces ticked as they are laid, and what is still missing before the glue."""

from django.db import transaction

from projects.models import PieceMark, Project
from projects.panel.named import in_runs
from projects.panel.rows import kept_of
from workshop import history
from workshop.refusals import Refused

CHANGED = "The design was changed since this map was shown: numbers may lie elsewhere. Load the map again."
NONE_SUCH = "There is no piece of that number on this map."


@transaction.atomic
def mark(member, project, numbers, state, *, version, at):
    """Pieces of one version of the map laid, laid turned, swapped, or taken off again."""
    # the project's row is locked so that two phones that tick one piece leave one mark
    Project.objects.select_for_update().get(pk=project.pk)
    kept = kept_of(project)
    if kept is None or kept.version != version:
        raise Refused(CHANGED)
    if not numbers or not 1 <= min(numbers) <= max(numbers) <= len(kept.panel.number):
        raise Refused(NONE_SUCH)
    known = {
        row.number: row for row in PieceMark.objects.of_version(project, version).filter(number__in=numbers)
    }
    fresh = []
    for number in sorted(set(numbers)):
        row = known.get(number)
        if row is None:
            made = {"shop": project.shop, "created_at": at, "created_by": member.user}
            row = PieceMark(**made, project=project, number=number, hash=version)
            fresh.append(row)
        row.state, row.at = state, at
    PieceMark.objects.bulk_create(fresh)
    PieceMark.objects.bulk_update(known.values(), ["state", "at"])
    label = f"{project.code} pieces {in_runs(set(numbers))}"
    history.record(member, "laid", project, at=at, label=label, after={"how": PieceMark.State(state).label})


def marks_of(project, version):
    """How each piece lies on one version of the map: number to state; pieces taken off are left out."""
    marks = PieceMark.objects.of_version(project, version).exclude(state=PieceMark.State.OFF)
    return dict(marks.values_list("number", "state"))


def unticked(project):
    """The numbers of the pieces that are not ticked on the map in force; none without a panel."""
    kept = kept_of(project)
    if kept is None:
        return []
    laid = marks_of(project, kept.version)
    return [number for number in range(1, len(kept.panel.number) + 1) if number not in laid]
