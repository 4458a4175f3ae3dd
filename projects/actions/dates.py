"""The first schedule of all that the shop works on: laid out when asked, and put back as it was."""

from datetime import datetime

from django.db import transaction

from projects import advice, fold
from projects.links import links_of
from projects.models import Project, Step, Timer
from projects.schedule.absent import alone_of
from projects.schedule.links import open_windows, past_waits, poured_on, waits_of, windows_of
from workshop import history
from workshop.models import Event, Shop
from workshop.refusals import Refused

LAID_OUT, ACCEPTED, PUT_BACK = "laid out the dates", "accepted a plan", "put back the dates"


@transaction.atomic
def lay_out(member, *, at):
    """First dates for all open steps of what the shop works on; what they were stays in history.

    A step that was begun keeps the start it was planned for.
    """
    shop = Shop.objects.select_for_update().get(pk=member.shop_id)
    states = [Step.State.TO_DO, Step.State.UNDER_WAY, Step.State.WAITING]
    live = Step.objects.of(shop).kept().filter(state__in=states, project__state__in=Project.LIVE)
    steps = list(
        live.select_related("project", "block__resin").order_by(
            "project__created_at", "project", "position", "pk"
        )
    )
    links = links_of(steps)
    placed = advice.first_schedule(
        shop, steps, over_at(shop, steps), at, waits=waits_of(steps, links), past=past_waits(steps, links),
        gone=alone_of(shop, at),
        again=goes_on_at(steps, list(windows_of(shop)), at),
    )  # fmt: skip
    before, changed = {}, []
    for step in steps:
        found = placed[step.pk]
        start = step.planned_start if step.started_at else found and found.start
        end = found and found.end
        if (start, end) != (step.planned_start, step.planned_end):
            before[str(step.key)] = [said(step.planned_start), said(step.planned_end)]
            step.planned_start, step.planned_end = start, end
            changed.append(step)
    Step.objects.bulk_update(changed, ["planned_start", "planned_end"], batch_size=500)
    if changed:
        history.record(
            member, LAID_OUT, shop, at=at, label=shop.name, before={"dates": before},
            after={"steps": len(changed)},
        )  # fmt: skip
    return placed


def goes_on_at(steps, clocks, at):
    """What goes on later, by pk: a begun pour as its window opens, a cure behind its last pour (None)."""
    found = dict.fromkeys(poured_on(steps))
    for window in open_windows(steps, clocks):
        if window.step.state == Step.State.UNDER_WAY:
            found[window.step.pk] = max(window.clock.due_at, at)
    return found


def over_at(shop, steps):
    """When the clocks say that what waits is over, by the step's pk; a cure is timed by what began it."""
    due = {}
    running = Timer.objects.of(shop).running().filter(kind__in=fold.ENDING_CLOCKS, step__isnull=False)
    for timer in running.select_related("step"):
        stands_for = {"demould": ("cure", timer.step.block_id), "clamped": ("clamped", timer.step.project_id)}
        for name in (timer.step_id, stands_for.get(timer.kind)):
            due[name] = timer.due_at
    return {step.pk: due.get(step.pk) or due.get(stood_for(step)) for step in steps}


def stood_for(step):
    """What a step of its own stands for: the cure of its block, or the glue of its project."""
    return (step.kind, step.block_id if step.kind == Step.Kind.CURE else step.project_id)


def said(moment):
    """A moment as history keeps it."""
    return moment and moment.isoformat()


def last_dates(shop):
    """The newest laying out of dates or accepting of a plan, if nobody has put it back; else None."""
    verbs = [LAID_OUT, ACCEPTED, PUT_BACK]
    newest = Event.objects.about(shop.key).filter(verb__in=verbs).select_related("actor").first()
    return newest if newest and newest.verb != PUT_BACK else None


@transaction.atomic
def dates_back(member, event, *, at):
    """The dates as they were before they were laid out.

    Raises Refused once they have been laid out again, or put back.
    """
    shop = Shop.objects.select_for_update().get(pk=member.shop_id)
    newest = last_dates(shop)
    if newest is None or newest.pk != event.pk:
        raise Refused("The dates have been changed again since. Look at them as they are now.")
    former = event.before["dates"]
    steps = list(Step.objects.of(shop).filter(key__in=former))
    for step in steps:
        start, end = former[str(step.key)]
        step.planned_start, step.planned_end = (
            text and datetime.fromisoformat(text) for text in (start, end)
        )
    Step.objects.bulk_update(steps, ["planned_start", "planned_end"], batch_size=500)
    history.record(member, PUT_BACK, shop, at=at, label=shop.name, after={"steps": len(steps)})
