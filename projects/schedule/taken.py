"""The plan that was taken last, as the dates still stand by it: work in parts is where the plan has each."""

from datetime import timedelta

from projects.models import Plan, PlanSlot, Step
from projects.schedule.resting import rest_of

ROUNDED = timedelta(minutes=5)  # the planner counts in so many minutes


def parts_of(shop, steps):
    """From when to when the plan has each part of the open steps, by pk; only what is dated by it.

    A step keeps its first start and its last end as dates; what lies between is in the plan.
    """
    newest = Plan.objects.of(shop).in_force().values("pk")[:1]
    found, sanded = {}, set()
    slots = PlanSlot.objects.filter(plan__in=newest, step__in=[step.pk for step in steps])
    for pk, start, end, relaxed in slots.in_parts():
        found.setdefault(pk, []).append((start, end))
        sanded |= {pk} if relaxed else set()
    return {
        step.pk: tuple(found[step.pk])
        for step in steps
        if step.pk in found and by_it(step, found[step.pk], step.pk in sanded)
    }


def by_it(step, parts, sanded):
    """Whether the dates of a step are those of the plan's parts, and it takes as long as it did then."""
    if step.planned_end != parts[-1][1] + rest_of(step):
        return False
    if step.state != Step.State.TO_DO:
        return True
    over = sum((end - start for start, end in parts), timedelta()) - timedelta(minutes=step.minutes)
    return step.planned_start == parts[0][0] and timedelta(0) <= over and (sanded or over < ROUNDED)
