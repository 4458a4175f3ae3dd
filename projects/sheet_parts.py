"""What a job sheet prints beside the block's own figures: what to fetch, what is in the mould, the steps.

All of it is plain values, so that a sheet can be made again when the shelf has long changed.
"""

import math

from django.db.models import Prefetch, Q

from materials import advice as shelf_advice
from materials import ageing
from materials.models import Lot
from projects import cautions, mixing
from projects.checklists import checks_of
from projects.models import CheckItem, LogEntry, Need, Pour, Step

MOST_LOTS = 4  # of one thing; who needs more goes to the shelf anyway
MOST_AT_HAND = 12
CLOSE = 0.15  # a strip that is this much thicker or thinner than planned does not fit its comb
ROW_LETTERS, BOX_LETTERS = 95, 4  # of a checklist that fit in a row, and what a box takes of them
MOST_REASONS = 2  # each takes the place of a line to write on
SAID_ANYWAY = {cautions.RESIN, cautions.CUP}  # on every sheet, in its own words
SAID_ON_THE_SHEET = {Step.Kind.CHECK, Step.Kind.SET_OUT}  # in sections of their own


def iso(value):
    """A date or moment as text, or None."""
    return value.isoformat() if value else None


def in_the_mould(block):
    """The pours that lie in the mould already, and how much mixed resin is still wanted."""
    rows = Pour.objects.on(block)
    need = mixing.needed(block, rows)
    pours = [
        {
            "lift": pour.lift,
            "poured_at": iso(pour.started_at),
            "depth_mm": pour.depth_mm,
            "mixed_g": sum(batch.mixed_g for batch in pour.batches.all()),
            "cups": len(pour.batches.all()),
        }
        for pour in rows
    ]
    left_g = 0.0 if need.is_full else need.left_g
    return {"pours": pours, "poured_g": need.poured_g, "left_g": left_g}


def cups_for(resin, left_g, pours=()):
    """The cups that what is left is mixed in: as many as the whole takes, less those of the pours."""
    if not left_g:
        return []
    need = mixing.Needed(left_g + sum(pour["mixed_g"] for pour in pours), 0)
    cups = mixing.cups_to_come(resin, need, sum(pour["cups"] for pour in pours))
    mix = shelf_advice.mix_of_mass(resin, left_g / cups)
    return [dict(vars(mix)) for _ in range(cups)]


def fetch_list(block, left_g, today):
    """What is carried to the bench: resin for what is left, strips until they are in, what was added."""
    found = [*resin_rows(block, left_g, today), *strip_rows(block, today), *written_rows(block, today)]
    return [row for row in found if row["amount"] > 0]


def resin_rows(block, left_g, today):
    """Both parts of the block's resin with their bottles, the one to use first in front."""
    mix = shelf_advice.mix_of_mass(block.resin, left_g) if left_g else None
    return [
        fetch_row(
            f"{block.resin}, part {part}",
            (mix.a_g if part == "A" else mix.b_g) if mix else 0,
            "g",
            Lot.objects.of(block.shop).bottles(block.resin, part),
            today,
        )
        for part in ("A", "B")
    ]


def strip_rows(block, today):
    """The strips by wood, count and size, with the bundles that fit; none once they are loaded."""
    loaded = Step.objects.kept().filter(block=block, kind=Step.Kind.LOAD, state=Step.State.DONE).exists()
    if loaded or Pour.objects.filter(block=block).exists():
        return []
    bundles = Lot.objects.of(block.shop).here().filter(kind=Lot.Kind.WOOD, species=block.species)
    bundles = bundles if block.species else bundles.none()
    rows = bundles.order_by("received_on", "pk")
    what = f"{block.species or 'Wood not chosen yet'}, strips"
    row = fetch_row(what, block.strips, "strips", rows, today, lambda lot: fits(lot, block))
    return [{**row, "size_mm": [block.strip_mm, block.poured_mm, block.length_mm]}]


def fits(lot, block):
    """Whether the strips of a bundle can be strips of this block, as far as its sizes are known."""
    thick = lot.thickness_mm is None or abs(lot.thickness_mm - block.strip_mm) <= CLOSE * block.strip_mm
    high = lot.width_mm is None or lot.width_mm >= block.poured_mm
    return thick and high and (lot.length_mm is None or lot.length_mm >= block.length_mm)


def written_rows(block, today):
    """What somebody wrote in as wanted for the project."""
    needs = Need.objects.of(block.shop).open().filter(project=block.project, source=Need.Source.HAND)
    rows = needs.select_related("resin", "species", "supply").order_by("pk")
    return [fetch_row(target_of(need), need.amount, need.unit, lots_of(need), today) for need in rows]


def target_of(need):
    """What a need is of."""
    return str(need.supply or need.species or f"{need.resin}, part {need.part}")


def lots_of(need):
    """The lots that a need can be met from."""
    lots = Lot.objects.of(need.shop).here().filter(unit=need.unit)
    if need.resin:
        return lots.bottles(need.resin, need.part)
    target = {"species": need.species} if need.species else {"supply": need.supply}
    return lots.filter(**target).order_by("received_on", "pk")


def fetch_row(what, amount, unit, lots, today, fit=lambda lot: True):
    """One thing to fetch: how much of it, from which lots, and by how much the shelf is short.

    What is past its last day is not fetched: it counts as missing. Tape and the like are not counted:
    there is some of it or none.
    """
    if unit == Lot.Unit.LEVEL:
        there = [lot for lot in lots.with_names() if lot.level in (Lot.Level.ENOUGH, Lot.Level.LOW)][:1]
        taken = [{**ticket(lot), "take": 1} for lot in there]
        row = {"what": what, "amount": 1, "unit": unit, "kind": "some"}
        return {**row, "lots": taken, "short": 0 if there else 1}
    held = lots.some_left().with_names() if amount else []
    held = [lot for lot in held if fit(lot) and not ageing.is_too_old(lot, today)]
    left, taken = amount, []
    for lot in held[:MOST_LOTS]:
        take = min(left, lot.on_hand)
        if take > 0:
            taken.append({**ticket(lot), "take": take})
            left -= take
    kind = {"g": "mass", "ml": "volume"}.get(unit, "count")
    return {
        "what": what,
        "amount": amount,
        "unit": unit,
        "kind": kind,
        "lots": taken,
        "short": max(0.0, left),
    }


def ticket(lot):
    """What the sheet prints of a lot."""
    sizes = ("thickness_mm", "width_mm", "length_mm")
    return {
        "code": lot.code,
        "place": lot.place,
        "use_by": iso(lot.use_by),
        **{size: getattr(lot, size) for size in sizes},
    }


def at_hand(shop):
    """Tape and the like: what is kept as enough or low, with its place; one lot of each is enough."""
    lots = Lot.objects.of(shop).here().filter(kind=Lot.Kind.CONSUMABLE).exclude(level=Lot.Level.GONE)
    rows = {}
    for lot in lots.select_related("supply").order_by("supply__name", "-received_on", "pk"):
        rows.setdefault(
            lot.supply_id, {**ticket(lot), "what": str(lot.supply), "low": lot.level == Lot.Level.LOW}
        )
    return list(rows.values())[:MOST_AT_HAND]


def step_rows(block):
    """The steps of the project in order, with their checklists; those of another block are left out."""
    steps = Step.objects.kept().filter(project=block.project).in_order()
    rows = steps.select_related("machine", "assignee", "block").prefetch_related(
        Prefetch("checks", CheckItem.objects.order_by("position", "pk"))
    )
    names = done_by(block.project)
    return [step_row(step, names.get(step.pk, "")) for step in rows if step.block_id in (None, block.pk)]


def done_by(project):
    """Who said of each step that it is done, by the step; the last one where several did."""
    told = LogEntry.objects.kept().filter(project=project, detail__step="done")
    return dict(told.order_by("happened_at", "pk").values_list("step_id", "member__user__name"))


def step_row(step, who):
    """What the sheet prints of a step, and who did it."""
    return {
        "title": step.title,
        "kind": step.kind,
        "passive": step.is_passive,
        "minutes": step.minutes,
        "people": step.people,
        "machine": str(step.machine or ""),
        "whose": step.assignee.name if step.assignee else "",
        "planned": iso(step.planned_start),
        "state": step.state,
        "ended_at": iso(step.ended_at),
        "by": shortened(who, 12) if step.state == Step.State.DONE else "",
        "skip_why": step.skip_why,
        "checks": [
            {"text": item.text, "lesson": item.lesson_id is not None, "ticked": item.ticked_at is not None}
            for item in step.checks.all()
            if not stands_elsewhere(step, item)
        ],
    }


def printed_rows(step):
    """About how many rows a step takes on the sheet, its checklist included."""
    if step["state"] in (Step.State.DONE, Step.State.SKIPPED):
        return 1
    letters = sum(len(check["text"]) + BOX_LETTERS for check in step["checks"])
    return 1 + (1 if step["kind"] == Step.Kind.POUR else math.ceil(letters / ROW_LETTERS))


def stands_elsewhere(step, item):
    """Whether the sheet says a line in its own sections: the check, what to fetch, the cautions."""
    usual = step.kind in SAID_ON_THE_SHEET and item.lesson_id is None
    return usual and item.text in checks_of(step.kind)


def all_the_same(block):
    """What was done for a block though something stood against it: the newest, and how much more there is."""
    of_it = Q(step__block=block) | Q(step__block=None)  # a panel's own steps name no block
    entries = list(LogEntry.objects.filter(of_it, project=block.project_id).done_all_the_same())
    rows = [
        {
            "at": iso(entry.happened_at),
            "who": shortened(entry.member.name, 24),
            "step": shortened(entry.step.title if entry.step else "", 36),
            "against": shortened("; ".join(entry.detail["all_the_same"]["against"]), 60),
            "why": shortened(entry.detail["all_the_same"]["why"], 70),
        }
        for entry in entries[:MOST_REASONS]
    ]
    return {"rows": rows, "more": len(entries) - len(rows)}


def shortened(text, most):
    """A text that is not longer than the sheet has room for; the log has all of it."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def cares_of(steps):
    """The usual cautions of the work that is still to come, each once."""
    ahead = [step["kind"] for step in steps if step["state"] not in (Step.State.DONE, Step.State.SKIPPED)]
    said = dict.fromkeys(care for kind in ahead for care in cautions.cares_of(kind))
    return [care for care in said if care not in SAID_ANYWAY]
