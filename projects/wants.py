"""Tells the shelf what projects want of it."""

from materials.wanted import Want
from projects.models import Need


def wants(shop):
    """What the live projects of a shop still want."""
    needs = Need.objects.of(shop).open().with_names().with_plan()
    return [want_of(need, shop) for need in needs]


def want_of(need, shop):
    """A need as the shelf looks at it: its date is that of the planned step, else when the project is due."""
    planned = need.planned_at and need.planned_at.astimezone(shop.tz).date()
    return Want(
        key=need.key,
        project=str(need.project),
        project_key=need.project.key,
        unit=need.unit,
        amount=need.amount,
        resin=need.resin,
        part=need.part,
        species=need.species,
        supply=need.supply,
        thickness_mm=need.thickness_mm,
        width_mm=need.width_mm,
        length_mm=need.length_mm,
        block=str(need.block or ""),
        step=need.planned_step or "" if planned else "",
        on=planned or need.project.due_on,
    )
