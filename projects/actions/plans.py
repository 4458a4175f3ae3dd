"""Plans of the shop's work: proposed beside the dates that stand, then accepted or dropped."""

from datetime import datetime

from django.db import transaction
from django.urls import reverse

from projects.actions.dates import ACCEPTED, said
from projects.models import Plan, PlanSlot, Step
from projects.schedule import making
from projects.schedule.matter import gather
from workshop import history, jobs
from workshop.models import Member, Shop
from workshop.refusals import Refused

KIND = "plan_search"
ROUNDS, EACH = 4, 50  # of the search: so many rounds, so many changes tried in each
NOTHING = "Nothing is planned or under way. Begin a project, or take one up again."
NO_HOURS = (
    "The shop has no opening hours ahead, so no work finds a place. Set them under Shop, opening hours; "
    "until then the dates stay as they are."
)
CIRCLE = "{why}. Take one of them out of the circle on the Steps page; until then the dates stay as they are."
UNSOUND = "The plan did not pass its own check ({why}), so it is not offered. The dates stay as they are."
CHANGED = (
    "Something was done or changed in the shop since this plan was made. Make it again; the dates stay as "
    "they are."
)
OVER = "This plan was accepted or dropped already."


def propose(member, *, at, keep=True):
    """A plan beside the dates as they stand, or the job that makes it where it takes longer than a page may.

    Raises Refused with a sentence where there can be none; the dates stay as they are.
    """
    matter = ready(member.shop, at)
    if len(matter.steps) > making.IN_A_REQUEST:
        return search_on(member, at=at, keep=keep)
    return store(member, matter, made(matter, keep=keep), at=at, keep=keep)


def ready(shop, at):
    """The matter of a plan, if there is anything to plan and a time to do it."""
    matter = gather(shop, at)
    if not matter.steps:
        raise Refused(NOTHING)
    if not matter.sessions(matter.today, matter.days):
        raise Refused(NO_HOURS)
    return matter


def made(matter, **how):
    """A sound plan of a matter."""
    from projects.planning.network import CycleError

    try:
        found = making.make(matter, **how)
    except CycleError as problem:
        why = str(problem)
        raise Refused(CIRCLE.format(why=why[0].upper() + why[1:])) from problem
    if found.faults:
        raise Refused(UNSOUND.format(why="; ".join(found.faults[:3])))
    return found


@transaction.atomic
def store(member, matter, found, *, at, keep):
    """Keep a proposal; one that still lay there is dropped for it."""
    shop = Shop.objects.select_for_update().get(pk=member.shop_id)
    Plan.objects.of(shop).open().update(dropped_at=at)
    who = {"shop": shop, "created_at": at, "created_by": member.user}
    plan = Plan.objects.create(
        **who, input_hash=making.fingerprint(matter), snapshot=snapshot_of(matter, found, keep)
    )
    PlanSlot.objects.bulk_create(
        [
            PlanSlot(
                **who, plan=plan, step_id=pk, part=part, starts_at=start, ends_at=end, relaxed=stood.relaxed
            )
            for pk, stood in found.stands.items()
            for part, (start, end) in enumerate(stood.parts)
        ],
        batch_size=500,
    )
    return plan


def snapshot_of(matter, found, keep):
    """What a plan could not keep, when projects end by it, and the dates it would replace: plain JSON."""
    steps = {step.pk: step for step in matter.steps}
    keys = {step.project_id: str(step.project.key) for step in matter.steps}
    ends = {}
    for step in matter.steps:
        ends.setdefault(keys[step.project_id], []).append(step.planned_end)
    return {
        "kept": keep,
        "moves_all": not keep,
        "relaxed": [[str(steps[pk].key), why] for pk, why in found.relaxed if pk in steps],
        "unplaced": [[str(steps[pk].key), why] for pk, why in found.unplaced],
        "over": {str(steps[pk].key): said(stood.over_at) for pk, stood in found.stands.items()},
        "was": {str(step.key): [said(step.planned_start), said(step.planned_end)] for step in matter.steps},
        "ends": {keys[pk]: said(end) for pk, end in found.ends.items()},
        "ended": {key: None if None in dates else said(max(dates)) for key, dates in ends.items()},
        "score": list(found.score),
    }


@transaction.atomic
def accept(member, plan, *, at):
    """The plan's dates become those of the steps; what they were stays in history.

    Raises Refused where anything it rests on has changed since.
    """
    shop = Shop.objects.select_for_update().get(pk=member.shop_id)
    locked = Plan.objects.of(shop).get(pk=plan.pk)
    if not locked.is_open:
        raise Refused(OVER)
    matter = gather(shop, at)
    if making.fingerprint(matter) != locked.input_hash:
        raise Refused(CHANGED)
    over = locked.snapshot["over"]
    starts = first_starts(locked)
    before, changed = {}, []
    for step in matter.steps:
        end = over.get(str(step.key)) and datetime.fromisoformat(over[str(step.key)])
        start = starts.get(step.pk) if step.state == Step.State.TO_DO else step.planned_start
        if (start, end) != (step.planned_start, step.planned_end):
            before[str(step.key)] = [said(step.planned_start), said(step.planned_end)]
            step.planned_start, step.planned_end = start, end
            changed.append(step)
    Step.objects.bulk_update(changed, ["planned_start", "planned_end"], batch_size=500)
    locked.accepted_at = at
    locked.save(update_fields=["accepted_at"])
    history.record(
        member, ACCEPTED, shop, at=at, label=shop.name, before={"dates": before},
        after={"steps": len(changed)},
    )  # fmt: skip
    return locked


def first_starts(plan):
    """When a plan begins each step, by its pk."""
    return dict(plan.slots.filter(part=0).values_list("step_id", "starts_at"))


@transaction.atomic
def drop(member, plan, *, at):
    """The proposal is put away; the dates stay as they are."""
    rows = Plan.objects.of(member.shop).open().filter(pk=plan.pk)
    if not rows.update(dropped_at=at):
        raise Refused(OVER)


@transaction.atomic
def search_on(member, *, at, keep=True):
    """Have the worker look for a better plan than the rules give at once."""
    ready(member.shop, at)
    arguments = {"keep": keep}
    return jobs.begin(
        member, KIND, title="Looking for a better plan", total=ROUNDS + 1, arguments=arguments, at=at
    )


def search(running):
    """The worker's part: the search in rounds, the best of them kept and proposed."""
    job, at = running.job, running.now()
    keep = job.arguments["keep"]
    matter = ready(job.shop, at)
    best = None
    for number in range(ROUNDS):
        running.report(number, f"Round {number + 1} of {ROUNDS}: other orders of the same work.")
        found = made(matter, keep=keep, iterations=EACH, seed=number + 1)
        best = found if best is None or found.score < best.score else best
    running.report(ROUNDS, "Writing it down.")
    member = Member.objects.select_related("shop", "user").get(pk=job.member_id)
    plan = store(member, matter, best, at=at, keep=keep)
    return {"plan": str(plan.key)}


def page(job):
    """Where a search is shown: the plan it found, else the job itself."""
    if job.result and job.result.get("plan"):
        return reverse("projects:plan", args=[job.shop.key, job.result["plan"]])
    return reverse("projects:week", args=[job.shop.key])
