"""Plans: made, read beside the dates that stand, accepted or dropped; the former dates put back."""

from datetime import timedelta

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from projects.actions import dates, plans
from projects.models import Plan
from projects.schedule import absent, pictures, span, stretches
from projects.schedule.matter import gather
from projects.schedule.proposal import proposal_of
from projects.views.week import week_page
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.drawn import drawn
from workshop.forms.quantities import ShopForm
from workshop.models import Event, Job
from workshop.views.answers import form_again
from workshop.views.jobs import job_context

PAGE, FIRST_MOVES = "projects/plan.html", 12


def week_url(shop):
    """The page of this week."""
    return reverse("projects:week", args=[shop.key])


def plan_url(shop, found):
    """Where a plan is read, or where the job that makes it is watched."""
    name = "plan" if isinstance(found, Plan) else "plan-search"
    return reverse(f"projects:{name}", args=[shop.key, found.key])


def acted(request, act, again):
    """An act that asks nothing; refused, the page it came from says why."""
    form = ShopForm(request.POST, shop=request.shop)
    return perform(request, form, lambda key, moment: act(moment.received_at)) or again(form)


@shop_view
@require_POST
def plan_make(request):
    """A plan from now, beside the dates as they stand."""
    return asked_for(request, plans.propose)


@shop_view
@require_POST
def plan_search_on(request):
    """The worker looks for a better plan."""
    return asked_for(request, plans.search_on)


def asked_for(request, make):
    """What makes a plan, or looks for one; what begins within a day stays put unless all may move."""
    keep = request.POST.get("all") != "yes"

    def act(at):
        return plan_url(request.shop, make(request.member, at=at, keep=keep))

    return acted(request, act, lambda form: week_page(request, form=form))


@shop_view
@require_safe
def plan_search(request, key):
    """How far the search for a plan is; the plan once it is there."""
    job, at = get_row(Job.objects.filter(kind=plans.KIND), request, key), timezone.now()
    if job.state == Job.State.DONE:
        return redirect(plans.page(job))
    return render(request, "projects/plan_search.html", {"room": "week", **job_context(job, at)})


@shop_view
@require_safe
def plan(request, key):
    """What a plan would change."""
    row = get_row(Plan.objects.select_related("shop", "created_by"), request, key)
    return render(request, PAGE, plan_context(request, row))


def plan_context(request, row, form=None):
    """A plan as it is read, its first week drawn."""
    found, now = proposal_of(row), timezone.now()
    matter = gather(request.shop, now)
    shown = span.span_of(span.WEEK, "day", "", row.created_at, request.shop.tz)
    return {
        "room": "week",
        "plan": row,
        "found": found,
        "moves": found.moves[:FIRST_MOVES],
        "more_moves": found.moves[FIRST_MOVES:],
        "picture": drawn(proposed_picture(matter, shown, found)),
        "away": absent.told(matter) if row.is_open else [],
        "span": shown,
        "form": form,
    }


def proposed_picture(matter, shown, found):
    """The week as the plan has it, and in dotted outline where what moves stands now."""
    sessions = matter.sessions(shown.first - timedelta(days=45), shown.days + 45 + matter.days)
    pieces = stretches.stretches(matter, [], sessions, stands=found.stands)
    moved = {move.step.pk for move in found.moves}
    were = stretches.stretches(matter, [], sessions)
    pieces += [piece.as_it_was() for piece in were if piece.step.pk in moved and piece.is_hands]
    return pictures.picture(
        shown, pieces, stretches.openings(matter), [], sessions, matter.at, "plan",
        sentence=pictures.sentence(shown, pieces, []), alone=matter.alone,
    )  # fmt: skip


@shop_view
@require_POST
def plan_accept(request, key):
    """The plan's dates become the dates."""
    row = get_row(Plan.objects.select_related("shop", "created_by"), request, key)

    def act(at):
        plans.accept(request.member, row, at=at)
        messages.success(request, "These are the dates now. The former ones can be put back.")
        return week_url(request.shop)

    return acted(request, act, lambda form: form_again(request, PAGE, plan_context(request, row, form)))


@shop_view
@require_POST
def plan_drop(request, key):
    """The plan is put away."""
    row = get_row(Plan.objects.select_related("shop", "created_by"), request, key)

    def act(at):
        plans.drop(request.member, row, at=at)
        return week_url(request.shop)

    return acted(request, act, lambda form: form_again(request, PAGE, plan_context(request, row, form)))


@shop_view
@require_POST
def plan_back(request, key):
    """The dates as they were before a plan was accepted."""
    event = get_row(Event.objects.all(), request, key)

    def act(at):
        dates.dates_back(request.member, event, at=at)
        return week_url(request.shop)

    return acted(request, act, lambda form: week_page(request, form=form))
