"""The acts of a step at the bench, each with an address and a form of its own."""

from functools import partial

from django.http import Http404
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from projects import acts_of, advice, against, at_hand, defaults
from projects.actions import coat as coat_acts
from projects.actions import demould as demould_acts
from projects.actions import glue as glue_acts
from projects.actions import mould as mould_acts
from projects.actions import seal as seal_acts
from projects.actions import strips as strip_acts
from projects.actions.bench import bench_url
from projects.forms import acts as forms
from projects.forms.measures import DemouldForm
from projects.models import Step, Timer
from projects.views.clocks import running_rows
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again


def act_step(request, key, act):
    """A step of this shop to which an act belongs, or no such page."""
    rows = Step.objects.kept().select_related("shop", "project", "block__project", "block__resin")
    step = get_row(rows, request, key)
    if act not in acts_of.ACTS.get(step.kind, {}):
        raise Http404("No such page")
    return step


def answer(request, step, form, act, page, *, stands=against.nothing, **more):
    """The page of an act, or the act done and on to its step. `act(member, step, values, …)` does it.

    `stands(step, values, at)` gives what stands against it: said on the page, asked about when it is pressed.
    """
    context = {"step": step, "form": form, "room": "bench", **more}
    template = f"projects/act_{page}.html"
    if request.method == "GET":
        context["ahead"] = stands(step, form.initial, timezone.now())
        return render(request, template, context)

    def do(key, moment):
        values, moment = form.stands(partial(stands, step), moment)
        act(request.member, step, values, key=key, moment=moment)
        return bench_url(step)

    done = form.is_valid() and perform(request, form, do)
    return done or form_again(request, template, context)


def clocks_of(request, step):
    """The clocks that run at a step."""
    return running_rows(request.shop, timezone.now(), step=step)


@shop_view
@require_http_methods(["GET", "POST"])
def strips(request, key):
    """Strips go into the mould."""
    step = act_step(request, key, "strips")
    form = forms.StripsForm(
        request.POST or None, initial=defaults.of_strips(step), shop=request.shop, step=step
    )
    return answer(request, step, form, strip_acts.load_strips, "strips", stands=against.of_strips)


@shop_view
@require_http_methods(["GET", "POST"])
def seal(request, key):
    """A seal coat is on."""
    step, now = act_step(request, key, "seal"), timezone.now()
    form = forms.SealForm(
        request.POST or None, initial=defaults.of_seal(step, now), shop=request.shop, step=step
    )
    return answer(
        request,
        step,
        form,
        seal_acts.seal_coat,
        "seal",
        stands=against.of_seal,
        clock_rows=clocks_of(request, step),
    )


@shop_view
@require_http_methods(["GET", "POST"])
def mould(request, key):
    """A mould is built, sealed or tried."""
    step = act_step(request, key, "mould")
    form = forms.MouldForm(
        request.POST or None, initial=defaults.of_mould(step), shop=request.shop, step=step
    )
    more = {"clock_rows": clocks_of(request, step), "mould": at_hand.mould_of(step)}
    return answer(request, step, form, mould_acts.build_mould, "mould", **more)


@shop_view
@require_http_methods(["GET", "POST"])
def glue(request, key):
    """A part is glued up."""
    step = act_step(request, key, "glue-up")
    initial = defaults.of_glue(step, timezone.now())
    form = forms.GlueForm(request.POST or None, initial=initial, shop=request.shop, step=step)
    return answer(
        request,
        step,
        form,
        glue_acts.glue_up,
        "glue",
        stands=against.of_glue,
        clock_rows=clocks_of(request, step),
    )


@shop_view
@require_http_methods(["GET", "POST"])
def coat(request, key):
    """A coat of finish is on."""
    step, now = act_step(request, key, "coat"), timezone.now()
    form = forms.CoatForm(
        request.POST or None, initial=defaults.of_coat(step, now), shop=request.shop, step=step
    )
    of_panel = {"step__project": step.project, "kind": Timer.Kind.COAT}
    return answer(
        request,
        step,
        form,
        coat_acts.put_coat,
        "coat",
        stands=against.of_coat,
        clock_rows=running_rows(request.shop, now, **of_panel),
    )


@shop_view
@require_http_methods(["GET", "POST"])
def demould(request, key):
    """A block leaves its mould and is measured; as one types, what it is off by."""
    step = act_step(request, key, "demould")
    planned = advice.planned_measures(step.block) if step.block else {}
    typed = request.POST if request.method == "POST" else (request.GET or None)
    form = DemouldForm(typed, initial={"done": True}, shop=request.shop, step=step, planned=planned)
    differences = differences_of(form, step.block, planned)
    if request.htmx and request.method == "GET":
        return render(request, "projects/_measures.html", {"form": form, "differences": differences})
    of_block = {"step__block": step.block, "kind": Timer.Kind.DEMOULD}
    clocks = running_rows(request.shop, timezone.now(), **of_block) if step.block else []
    return answer(
        request,
        step,
        form,
        demould_acts.demould,
        "demould",
        stands=against.of_demould,
        differences=differences,
        clock_rows=clocks,
    )


def differences_of(form, block, planned):
    """Planned, measured and what lies between, as typed or as measured last; only what is known of both."""
    kept = block.measured if block else {}
    if form.is_bound:
        form.is_valid()
        measured = form.cleaned_data
    else:
        measured = {name: kept.get(name, {}).get("measured") for name in planned}
    return [
        (form.fields[name].label, value, measured[name], measured[name] - value)
        for name, value in planned.items()
        if measured.get(name) is not None
    ]
