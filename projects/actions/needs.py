"""What projects still want from the shelf, kept in step with their blocks and pours."""

from django.db import transaction

from materials.models import Lot
from projects import advice
from projects.models import Block, LogEntry, Need
from workshop import history

FOLLOWING = ("thousandths", "thickness_mm", "width_mm", "length_mm")


@transaction.atomic
def follow(block, *, at, by):
    """Bring the needs that come from a block up to its figures and to what has gone into it.

    `by` is the member whose act it follows from. What is left to buy is computed, not decided:
    it leaves no line of history.
    """
    held = Block.objects.select_for_update(of=("self",)).select_related("resin", "species", "project")
    block = held.get(pk=block.pk)
    known = {target_of(need): need for need in block.needs.filter(source=Need.Source.BLOCK)}
    wanted = {target_of(need): need for need in needs_of(block)}
    for target, need in wanted.items():
        if target in known:
            bring_up(known[target], need)
        else:
            need.created_at, need.created_by = at, by.user
            need.save()
    gone = [need.pk for target, need in known.items() if target not in wanted]
    Need.objects.filter(pk__in=gone).update(thousandths=0)


def bring_up(need, now):
    """A stored need as it is now."""
    changed = [name for name in FOLLOWING if getattr(need, name) != getattr(now, name)]
    for name in changed:
        setattr(need, name, getattr(now, name))
    if changed:
        need.save(update_fields=changed)


def target_of(need):
    """What a need is for, so that the same one is found again."""
    return need.resin_id, need.part, need.species_id


def needs_of(block):
    """The needs that a block has now, not yet stored."""
    figures = advice.figures_or_reason(advice.values_of(block), block.resin)[0]
    if figures is None:
        return []
    made = {"shop": block.shop, "project": block.project, "block": block, "source": Need.Source.BLOCK}
    found = []
    if figures.mix is not None:
        for part, planned_g, poured_g in zip(
            "AB", (figures.mix.a_g, figures.mix.b_g), poured(block), strict=True
        ):
            left = thousandths_of(planned_g - poured_g)
            found.append(Need(**made, resin=block.resin, part=part, thousandths=left, unit=Lot.Unit.GRAM))
    if block.species is not None:
        left = thousandths_of(block.strips - loaded(block))
        sizes = {
            "thickness_mm": block.strip_mm,
            "width_mm": figures.poured_mm,
            "length_mm": block.length_mm,
        }
        found.append(Need(**made, **sizes, species=block.species, thousandths=left, unit=Lot.Unit.STRIP))
    return found


def poured(block):
    """How much of A and of B lies in the mould already, in g; B as it was wanted where nobody weighed it."""
    cups = [batch for pour in block.pours.prefetch_related("batches") for batch in pour.batches.all()]
    return sum(cup.actual_a_g for cup in cups), sum(cup.mixed_g - cup.actual_a_g for cup in cups)


def loaded(block):
    """How many strips were put into the mould already."""
    entries = LogEntry.objects.kept().filter(step__block=block, kind=LogEntry.Kind.STRIPS)
    return sum(detail.get("count", 0) for detail in entries.values_list("detail", flat=True))


def thousandths_of(amount):
    """What is still wanted as the ledger counts it; never less than nothing."""
    return max(0, round(amount * 1000))


@transaction.atomic
def write_in(member, project, values, *, at):
    """Something that no block knows of: `values` hold supply and amount, and may hold a step.

    Of what is not counted the amount is 1.
    """
    supply = values["supply"]
    need = Need.objects.create(
        shop=member.shop,
        created_at=at,
        created_by=member.user,
        project=project,
        step=values.get("step"),
        source=Need.Source.HAND,
        supply=supply,
        unit=supply.unit,
        thousandths=thousandths_of(values.get("amount") or 1),
    )
    after = {"amount": need.amount} if supply.unit != Lot.Unit.LEVEL else {}
    history.record(member, "wrote on the shelf list", need, at=at, label=label_of(need), after=after)
    return need


@transaction.atomic
def strike(member, need, *, removed, at):
    """A line that was written in, struck off the list or back on it; said twice, done once."""
    locked = Need.objects.select_for_update(of=("self",)).select_related("project", "supply").get(pk=need.pk)
    if bool(locked.removed_at) != removed:
        locked.removed_at = at if removed else None
        locked.save(update_fields=["removed_at"])
        verb = "struck off the shelf list" if removed else "put back on the shelf list"
        history.record(member, verb, locked, at=at, label=label_of(locked))
    return locked


def label_of(need):
    """A line of the shelf list as history names it."""
    return f"{need.project.code}: {need.supply}"
