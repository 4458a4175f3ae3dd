"""A whole step at the bench: begun, set to wait, done, skipped, taken up again."""

from functools import partial

from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects import against, at_hand, standing
from projects.actions import bench as acts
from projects.actions import log, work
from projects.acts_of import ACTS, leads_of
from projects.cautions import cares_of
from projects.check.ahead import ahead_of
from projects.check.standing import standing_of
from projects.forms.steps import RememberForm, SkipForm, WaitForm
from projects.links import begun_behind
from projects.models import LogEntry, Step, Timer
from projects.views.bench import pour_step, step_row
from projects.views.clocks import running_rows
from workshop.access import shop_view
from workshop.acting import perform
from workshop.templatetags.figures import hours
from workshop.views.answers import form_again

PAGE, MOST_ENTRIES = "projects/bench_work.html", 8


@shop_view
@require_safe
def bench_step(request, key):
    """A step at the bench: a pour with its cups, any other as a whole."""
    step = step_row(request, key)
    if step.kind == Step.Kind.POUR and step.block:
        return pour_step(request, step)
    return render(request, PAGE, work_context(request, step))


def work_context(request, step, form=None):
    """All that the page of a whole step shows: what to check, what to mind, its clocks, its log."""
    now = timezone.now()
    own = running_rows(request.shop, now, step=step)
    clocks = own or running_rows(request.shop, now, **stood_for(step))
    route = list(Step.objects.filter(project=step.project).kept().in_order())
    return {
        "step": step,
        "line": standing.step_row(step, now, request.shop.tz),
        "checks": at_hand.lines_of(step),
        "cares": cares_of(step.kind),
        "check": standing_of(step),
        "ahead": ahead_of(step, route, now),
        "has_acts": step.kind in ACTS,
        "leads": leads_of(step),
        "mould": at_hand.mould_of(step),
        **at_hand.short_lines(step, timezone.localdate(now, step.shop.tz)),
        "form": form or first_form(request, step),
        "clock_rows": clocks,
        "own_clock": any(clock.kind == Timer.Kind.WAIT for clock in own),
        "entries": LogEntry.objects.of(request.shop).filter(step=step).river()[:MOST_ENTRIES],
        "following": standing.following(step, route),
        "ran_ahead": begun_behind(step, route) if step.state == Step.State.TO_DO else (),
        "server_now": now,
        "room": "bench",
    }


def stood_for(step):
    """Which clocks, started by a pour or a glue-up, a step stands for; none for other steps."""
    if step.kind == Step.Kind.CURE and step.block_id:
        return {"step__block": step.block, "kind": Timer.Kind.DEMOULD}
    if step.kind == Step.Kind.CLAMPED and step.state == Step.State.WAITING:
        return {"step__project": step.project, "kind": Timer.Kind.CLAMPED}
    if step.kind == Step.Kind.DRY and step.state == Step.State.WAITING:
        return {"figures__cure_step": str(step.key), "kind": Timer.Kind.COAT}
    return {"pk": None}


def first_form(request, step):
    """What is asked beside the act that comes next."""
    if step.is_passive and step.state == Step.State.TO_DO:
        return WaitForm(initial={"minutes": hours(step.minutes).replace("\u00a0", " ")}, shop=request.shop)
    return RememberForm(shop=request.shop)


def told(request, key, form_class, do, stands):
    """An act on a whole step: `do(step, values, act_key, moment)`, then its page again.

    `stands(step, values, at)` gives what stands against it.
    """
    step = step_row(request, key)
    form = form_class(request.POST, shop=request.shop)

    def act(act_key, moment):
        values, moment = form.stands(partial(stands, step), moment)
        do(step, values, act_key, moment)
        return acts.bench_url(step)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, work_context(request, step, form))


def telling(request, key, word):
    """Says a word of `work.SAID` about a step, with what there is to remember."""

    def do(step, values, act_key, moment):
        say = partial(work.tell, word=word, more=log.reason_in(values))
        say = work.reopen if word == "reopened" else say
        say(request.member, step, key=act_key, moment=moment, text=values["text"])

    stands = {"began": against.of_begin, "done": against.of_done}.get(word, against.nothing)
    return told(request, key, RememberForm, do, stands)


@shop_view
@require_POST
def begin(request, key):
    """Hands are on it."""
    return telling(request, key, "began")


@shop_view
@require_POST
def done(request, key):
    """It is done, or over."""
    return telling(request, key, "done")


@shop_view
@require_POST
def reopen(request, key):
    """Taken up again, as if it had not been begun."""
    return telling(request, key, "reopened")


@shop_view
@require_POST
def wait(request, key):
    """It goes by itself from now on; its clock says for how long."""

    def do(step, values, act_key, moment):
        kept = {"minutes": values["minutes"], "more": log.reason_in(values)}
        work.wait(request.member, step, key=act_key, moment=moment, **kept)

    return told(request, key, WaitForm, do, against.of_begin)


@shop_view
@require_http_methods(["GET", "POST"])
def skip(request, key):
    """It is left out, with the reason why."""
    step = step_row(request, key)
    form = SkipForm(request.POST or None, shop=request.shop)
    context = {"step": step, "form": form, "room": "bench"}
    if request.method == "GET":
        return render(request, "projects/step_skip.html", context)

    def act(act_key, moment):
        work.skip(request.member, step, form.cleaned_data["why"], key=act_key, moment=moment)
        return acts.bench_url(step)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/step_skip.html", context)
