"""Sanding at the bench: a session is started, rests, goes on, and ends."""

from functools import partial

from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from materials import advice as shelf_advice
from projects import against, defaults
from projects.actions import sanding as acts
from projects.actions.bench import bench_url
from projects.forms.measures import SandForm, StopForm
from projects.models import SandingSession
from projects.views.acts import act_step
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.forms.quantities import ShopForm
from workshop.views.answers import form_again

LAST_FEW = 12


@shop_view
@require_http_methods(["GET", "POST"])
def start(request, key):
    """What is sanded with; as one types, what there is to say about the grade."""
    step = act_step(request, key, "sand")
    typed = request.POST if request.method == "POST" else (request.GET or None)
    form = SandForm(typed, initial=defaults.of_sanding(step), shop=request.shop)
    cautions = cautions_of(form, step)
    if request.htmx and request.method == "GET":
        return render(request, "projects/_grade_says.html", {"cautions": cautions})
    sessions = SandingSession.objects.of(request.shop).filter(step__project=step.project).with_story()
    now = timezone.now()
    context = {
        "step": step,
        "form": form,
        "cautions": cautions,
        "sessions": [(session, minutes(session, now)) for session in sessions[:LAST_FEW]],
        "room": "bench",
    }
    if request.method == "GET":
        context["ahead"] = against.of_work(step, {}, now)
        return render(request, "projects/act_sand.html", context)

    def act(act_key, moment):
        values, moment = form.stands(partial(against.of_work, step), moment)
        session = acts.start(request.member, step, values, key=act_key, moment=moment)
        return session_url(session)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/act_sand.html", context)


def cautions_of(form, step):
    """What is pointed out about the grade that was typed; nothing while it is not understood."""
    if not form.is_bound:
        return []
    form.is_valid()
    text, system, side = (form.cleaned_data.get(name) for name in ("grade", "system", "side"))
    if not (text and system and side):
        return []
    grade = shelf_advice.grade(text, system)
    return [grade.problem] if grade.problem else acts.says(grade, acts.jump_to(step, side, grade))


def minutes(session, now):
    """How many minutes hands were at it."""
    return session.worked(now).total_seconds() / 60


def session_url(session):
    """Where a session is paused, gone on with and stopped."""
    return reverse("projects:sanding", args=[session.shop.key, session.step.key, session.key])


def session_row(request, key, session):
    """A session of a step of this shop."""
    step = act_step(request, key, "sand")
    rows = SandingSession.objects.filter(step=step).select_related("shop", "step", "entry", "machine")
    row = get_row(rows, request, session)
    row.step = step
    return row


def session_page(request, session, form, *, rest=None, again=False):
    """The page of a session: how long it goes on, and what may be done with it."""
    now = timezone.now()
    worked = session.worked(now)
    context = {
        "session": session,
        "step": session.step,
        "form": form,
        "rest_form": rest or ShopForm(shop=request.shop),
        "since": now - worked,
        "worked_min": worked.total_seconds() / 60,
        "cautions": session.entry.detail.get("says", []),
        "room": "bench",
    }
    answer = form_again if again else render
    return answer(request, "projects/sanding.html", context)


def stop_form(request, session, data=None):
    """The form that ends a session."""
    return StopForm(data, shop=request.shop, step=session.step)


@shop_view
@require_http_methods(["GET"])
def sanding(request, key, session):
    """A session, counting while it goes on."""
    row = session_row(request, key, session)
    return session_page(request, row, stop_form(request, row))


def rest(request, key, session, act):
    """A session rests or goes on, and its page again."""
    row = session_row(request, key, session)
    form = ShopForm(request.POST, shop=request.shop)

    def do(act_key, moment):
        act(request.member, row, key=act_key, moment=moment)
        return session_url(row)

    done = perform(request, form, do)
    return done or session_page(request, row, stop_form(request, row), rest=form, again=True)


@shop_view
@require_POST
def pause(request, key, session):
    """A session rests."""
    return rest(request, key, session, acts.pause)


@shop_view
@require_POST
def resume(request, key, session):
    """A session goes on."""
    return rest(request, key, session, acts.resume)


@shop_view
@require_POST
def stop(request, key, session):
    """A session ends, with what it took."""
    row = session_row(request, key, session)
    form = stop_form(request, row, request.POST)

    def do(act_key, moment):
        acts.stop(request.member, row, form.cleaned_data, key=act_key, moment=moment)
        return bench_url(row.step)

    done = form.is_valid() and perform(request, form, do)
    return done or session_page(request, row, form, again=True)
