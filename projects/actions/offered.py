"""Steps that a design asks for, put into the route once a maker accepts. Each can be taken back."""

from django.db import transaction

from projects import default_route, offers
from projects.actions import link_rows, route, routes
from projects.models import Step, StepLink
from workshop import history
from workshop.refusals import Refused

KIND = Step.Kind
PUT_IN = "put in what the design asks for"


@transaction.atomic
def accept(member, project, code, *, at):
    """One offer, by its code.

    Raises Refused where the design asks for it no more.
    """
    route.lock(project)
    steps = route.in_place(project)
    offer = next((one for one in offers.offers_of(project, steps) if one.code == code), None)
    if offer is None:
        raise Refused("The design asks for that no more. Look at the route as it is now.")
    put = {"lifts": more_pours, "coats": more_coats, "block": steps_of_block}[code.partition("-")[0]]
    former = link_rows.kept_links(project)
    added, touched = put(member, project, offer, steps, at=at)
    link_rows.stays_in_order(project)
    names = f"“{added[0]}”" if len(added) == 1 else f"{len(added)} steps"
    label = f"put in {names}"
    route.keep(member, project, label, at=at, touched=touched, added=added, links=former)
    history.record(member, PUT_IN, project, at=at, label=str(project), after={"steps": names})
    return added


def block_of(project, offer):
    """The block that an offer is about."""
    rows = project.blocks.select_related("resin", "project", "shop")
    return rows.get(key=offer.code.partition("-")[2])


def more_pours(member, project, offer, steps, *, at):
    """Pours behind the last one of the block, each within the hard window that its sheet gives."""
    block = block_of(project, offer)
    pours = [step for step in steps if step.kind == KIND.POUR and step.block_id == block.pk]
    last, resin = pours[-1], block.resin
    kept = ("kind", "mode", "people", "machine", "assignee", "block", "minutes")
    same = {name: getattr(last, name) for name in kept}
    rows = [
        {**same, "title": f"Pour block {block.letter}, pour {number}"}
        for number in range(len(pours) + 1, len(pours) + offer.count + 1)
    ]
    added, touched = route.put_behind(member, project, rows, last, at=at)
    window = window_of(resin)
    StepLink.objects.filter(before=last).update(before=added[-1])
    for before, after in zip([last, *added], added, strict=False):
        StepLink.objects.create(**routes.made(member, at), before=before, after=after, **window)
    return added, touched


def window_of(resin):
    """The window between two pours: between strips nobody can sand, so that it is hard."""
    if resin is None or not resin.recoat_open_h:
        return {}
    closes_h = resin.recoat_close_h
    return {
        "open_min": round(resin.recoat_open_h * 60),
        "close_min": round(closes_h * 60) if closes_h else None,
        "hard": bool(closes_h),
        "law": StepLink.Law.TEN_DEGREE,
        "at_c": resin.recoat_c,
    }


def more_coats(member, project, offer, steps, *, at):
    """Coats behind the last one and its drying, within the usual window."""
    coats = [step for step in steps if step.kind == KIND.COAT]
    last = coats[-1]
    number = steps.index(last) + 1
    behind = steps[number] if number < len(steps) and steps[number].kind == KIND.DRY else last
    hands = {"kind": KIND.COAT, "mode": Step.Mode.HANDS_ON, "minutes": last.minutes, "people": last.people}
    waits = {"kind": KIND.DRY, "mode": Step.Mode.PASSIVE, "minutes": default_route.RECOAT_OPENS_MIN}
    rows = [
        row
        for coat in range(len(coats) + 1, len(coats) + offer.count + 1)
        for row in ({**hands, "title": f"Finish, coat {coat}"}, {**waits, "title": f"Coat {coat} dries"})
    ]
    added, touched = route.put_behind(member, project, rows, behind, at=at)
    window = {"open_min": default_route.RECOAT_OPENS_MIN, "close_min": default_route.RECOAT_CLOSES_MIN}
    for before, after in zip([last, *added[::2]], added[::2], strict=False):
        StepLink.objects.create(**routes.made(member, at), before=before, after=after, **window)
    return added, touched


def steps_of_block(member, project, offer, steps, *, at):
    """The usual steps of one block, behind the last step that is about another."""
    block = block_of(project, offer)
    lines = [line for line in default_route.PIECE if line.of_block]
    behind = next((step for step in reversed(steps) if step.block_id), None)
    place = steps.index(behind) + 1 if behind else 0
    added = routes.lay_lines(member, block, lines, at=at, position=place)
    touched = route.put_in_order([*steps[:place], *added, *steps[place:]])
    routes.tie(member, added, at=at)
    return added, {step: values for step, values in touched.items() if step not in added}


@transaction.atomic
def glue_in_parts(member, project, parts, *, at):
    """The glue-up in these parts (`gluing.Part`), each with its own rest, instead of the parts so far.

    Raises Refused once a part was begun, or without parts.
    """
    route.lock(project)
    steps = route.in_place(project)
    old = [step for step in steps if step.kind in (KIND.GLUE_UP, KIND.CLAMPED)]
    begun = next((step for step in old if step.state != Step.State.TO_DO), None)
    if begun is not None:
        raise Refused(f"“{begun}” was begun already. Parts can be chosen until the first one is.")
    if not parts:
        raise Refused("There are no pieces to glue in this design.")
    former, touched = link_rows.kept_links(project), {step: route.kept_of(step) for step in old}
    clamped = next((step.minutes for step in old if step.kind == KIND.CLAMPED), default_clamped())
    rows = [row for part in parts for row in rows_of(part, clamped)]
    added, moved = route.put_behind(member, project, rows, old[-1] if old else last_dry(steps), at=at)
    if old:
        StepLink.objects.filter(after=old[0]).update(after=added[0])
        StepLink.objects.filter(before=old[-1]).update(before=added[-1])
        Step.objects.filter(pk__in=[step.pk for step in old]).update(removed_at=at)
    link_rows.stays_in_order(project)
    label = f"chose {len(parts)} part{'' if len(parts) == 1 else 's'} of the glue-up"
    route.keep(member, project, label, at=at, touched={**moved, **touched}, added=added, links=former)
    history.record(
        member, "chose parts of the glue-up", project, at=at, label=str(project), after={"parts": len(parts)}
    )
    return added


def rows_of(part, clamped_min):
    """The two steps of a part: hands, then clamps."""
    name = f"{part.name[:1].upper()}{part.name[1:]}"
    return (
        {"kind": KIND.GLUE_UP, "title": part.title[:120], "minutes": part.minutes},
        {"kind": KIND.CLAMPED, "title": f"{name} in the clamps"[:120], "minutes": clamped_min,
         "mode": Step.Mode.PASSIVE},
    )  # fmt: skip


def default_clamped():
    """How long a part stays in the clamps where the route says nothing; common practice, no source."""
    from projects.planning.route import MINUTES

    return round(MINUTES["clamped"])


def last_dry(steps):
    """The dry fit, behind which glue comes; None puts it at the end."""
    return next((step for step in reversed(steps) if step.kind == KIND.DRY_FIT), None)
