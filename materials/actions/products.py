"""Changes of what lots are lots of: resins, supplies and woods, each one transaction."""

from django.db import transaction

from materials.models import Lot, Resin, Species, Supply
from materials.science.reference import load
from workshop import history

CALLED = {"name", "grade", "grade_system"}  # a change of these gives lots another name


def furnish(shop, member, at):
    """Copy the handbook's woods into a new shop."""
    Species.objects.bulk_create(
        Species(
            shop=shop,
            created_at=at,
            created_by=member.user,
            name=row.name,
            reference=row.handbook_name,
            specific_gravity=row.specific_gravity,
            modulus_gpa=row.modulus_gpa,
            radial=row.radial_per_percent,
            tangential=row.tangential_per_percent,
            source=row.source,
        )
        for row in load.species()
    )


@transaction.atomic
def add_resin(member, values, *, at):
    """A new resin from its sheet."""
    resin = Resin.objects.create(shop=member.shop, created_at=at, created_by=member.user, **values)
    history.record(
        member,
        "added",
        resin,
        at=at,
        label=resin.name,
        after={k: history.plain(v) for k, v in values.items()},
    )
    return resin


@transaction.atomic
def change_resin(member, resin, values, *, at):
    """New sheet values. Cups mixed before keep the ones they were mixed by."""
    change_row(member, resin, values, "changed", at=at)
    return resin


@transaction.atomic
def add_supply(member, values, *, at):
    """A product that the shop buys again."""
    supply = Supply.objects.create(shop=member.shop, created_at=at, created_by=member.user, **values)
    after = {name: history.plain(value) for name, value in values.items() if value not in (None, "")}
    history.record(member, "added the supply", supply, at=at, label=str(supply), after=after)
    return supply


@transaction.atomic
def change_supply(member, supply, values, *, at):
    """A supply's label as it should read. What stands on the shelf of it keeps its unit."""
    row = Supply.objects.select_for_update().get(pk=supply.pk)
    change_row(member, row, values, "changed the supply", at=at)
    return row


@transaction.atomic
def remove_supply(member, supply, *, removed, at):
    """Off the list of what the shop buys, or back on it; lots of it stay where they are."""
    row = Supply.objects.select_for_update().get(pk=supply.pk)
    if bool(row.removed_at) != removed:
        row.removed_at = at if removed else None
        row.save(update_fields=["removed_at"])
        verb = "took off the list" if removed else "put back on the list"
        history.record(member, verb, row, at=at, label=str(row))
    return row


@transaction.atomic
def add_species(member, values, *, at):
    """A wood of the shop's own, with the source of its figures."""
    species = Species.objects.create(shop=member.shop, created_at=at, created_by=member.user, **values)
    after = {name: value for name, value in values.items() if value not in (None, "")}
    history.record(member, "added the wood", species, at=at, label=species.name, after=after)
    return species


@transaction.atomic
def change_species(member, species, values, *, at):
    """New figures for a wood of the shop's own."""
    row = Species.objects.select_for_update().get(pk=species.pk)
    change_row(member, row, values, "changed the wood", at=at)
    return row


def change_row(member, row, values, verb, *, at):
    """New values of a row, its line of history, and its lots under their new name."""
    before, after = history.changes(row, values)
    if after:
        for name in after:
            setattr(row, name, values[name])
        row.save(update_fields=list(after))
        if CALLED.intersection(after):
            call_lots(row.lots.all())
        history.record(member, verb, row, at=at, label=str(row), before=before, after=after)


def call_lots(lots):
    """Lots found under the new name of what they are."""
    rows = list(lots.with_names())
    for lot in rows:
        lot.search = lot.searched()
    Lot.objects.bulk_update(rows, ["search"], batch_size=500)
