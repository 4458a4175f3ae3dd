"""The bench: which pour, its checklist, the pour itself and photos."""

from functools import partial

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from materials import advice as shelf_advice
from projects import advice, against, mixing, second_look, standing
from projects.actions import bench as acts
from projects.actions import mould, plan
from projects.check.standing import standing_of
from projects.forms.bench import PhotoForm, PourForm
from projects.liquid import liquid_pour, next_cup
from projects.models import CheckItem, LogEntry, Pour, Step
from projects.views.clocks import running_rows
from workshop import pictures
from workshop.access import get_row, shop_view
from workshop.acting import key_of, perform
from workshop.views.answers import form_again, go_to

MOST = 30


@shop_view
@require_safe
def bench(request):
    """All that the bench can go on with."""
    rows = Step.objects.at_the_bench(request.shop).with_story()
    page = Paginator(rows, MOST).get_page(request.GET.get("page"))
    now = timezone.now()
    lines = [standing.step_row(step, now, request.shop.tz) for step in page]
    context = {"page": page, "steps": page.object_list, "lines": lines, "room": "bench"}
    return render(request, "projects/bench.html", context)


def step_row(request, key):
    """A step of this shop with what its pages show."""
    about = ("shop", "project", "block", "block__resin", "block__project", "machine", "assignee")
    return get_row(Step.objects.kept().select_related(*about), request, key)


def block_row(request, key):
    """A step of this shop that is about a block: there is nothing to pour without one."""
    step = step_row(request, key)
    if step.block is None:
        raise Http404("No such page")
    return step


def pour_step(request, step):
    """One pour at the bench: checklist, cups, pours, clocks, and the one next act."""
    cups = acts.open_cups(step).select_related("resin").order_by("cup")
    pours = Pour.objects.of(request.shop).on(step.block).select_related("entry")
    context = {
        "step": step,
        "checks": step.checks.all(),
        "cups": [(cup, shelf_advice.ratio_of(cup)) for cup in cups],
        "pours": pours,
        "needed": mixing.needed(step.block, pours),
        "check": standing_of(step),
        "mould_said": mould.said_of(step),
        "liquid": liquid_pour(step.block, timezone.now(), pours),
        "following": following(step),
        "clock_rows": running_rows(request.shop, timezone.now(), step=step),
        "room": "bench",
    }
    return render(request, "projects/bench_step.html", context)


def following(step):
    """What to go on to from a pour that is over; None while it is not."""
    if step.state not in (Step.State.DONE, Step.State.WAITING):
        return None
    return standing.following(step, list(Step.objects.filter(project=step.project).kept().in_order()))


def more_to_come(step, cups):
    """Whether the mould still wants another pour once these cups are in it."""
    need = mixing.needed(step.block)
    poured_g = sum(cup.mixed_g for cup in cups)
    return bool(need) and second_look.more_to_come(need.total_g, need.poured_g + poured_g)


@shop_view
@require_POST
def tick(request, key, item):
    """A checklist line ticked or cleared."""
    step = step_row(request, key)
    row = CheckItem.objects.of(request.shop).filter(step=step, key=item).first()
    if row is None:
        raise Http404("No such page")
    row = plan.tick(request.member, row, request.POST.get("ticked") == "yes", at=timezone.now())
    if request.htmx:
        return render(request, "projects/_check_item.html", {"item": row, "step": step})
    return go_to(request, acts.bench_url(step))


@shop_view
@require_http_methods(["GET", "POST"])
def pour(request, key):
    """The mixed cups go into the mould."""
    step = block_row(request, key)
    cups = list(acts.open_cups(step).select_related("resin").order_by("cup"))
    liquid = liquid_pour(step.block, timezone.now())
    stands = partial(against.of_pour, step, cups=cups, liquid=liquid)
    form = PourForm(request.POST or None, initial=first_pour(step, cups), shop=request.shop, liquid=liquid)
    context = {
        "step": step,
        "form": form,
        "cups": [(cup, shelf_advice.ratio_of(cup)) for cup in cups],
        "allowed_mm": advice.sheet_depth_in_stack(step.block),
        "room": "bench",
        "clock_rows": running_rows(request.shop, timezone.now(), step=step, kind="pot_life"),
    }
    if request.method == "GET":
        context["ahead"] = stands({}, timezone.now())
        return render(request, "projects/pour.html", context)

    def act(act_key, moment):
        values, moment = form.stands(stands, moment)
        wanted = {name: values.get(name) for name in ("depth_mm", "text", "more", "same", "all_the_same")}
        acts.pour(request.member, step, key=act_key, moment=moment, **wanted)
        return reverse("projects:bench-photo", args=[request.shop.key, step.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/pour.html", context)


def first_pour(step, cups):
    """What the form of a pour begins with: what is still to be poured, or as much as the cups make of it."""
    return {"depth_mm": against.depth_to_begin_with(step, cups), "more": more_to_come(step, cups)}


@shop_view
@require_http_methods(["GET", "POST"])
def photo(request, key):
    """A photo of the pour, right after it or later."""
    step = step_row(request, key)
    form = PhotoForm(request.POST or None, request.FILES or None, shop=request.shop)
    clock_rows = running_rows(request.shop, timezone.now(), step=step)
    context = {
        "step": step,
        "form": form,
        "clock_rows": clock_rows,
        "next_cup": next_cup(step, timezone.now()),
        "room": "bench",
    }
    if request.method == "GET":
        return render(request, "projects/bench_photo.html", context)
    done = form.is_valid() and keep_photo(
        request, form, project=step.project, step=step, back=acts.bench_url(step)
    )
    return done or form_again(request, "projects/bench_photo.html", context)


def keep_photo(request, form, *, project, step, back):
    """Take the upload in, log it and say so; None when it is no photo (the form says so) or was refused.

    The photo is decoded before the act's transaction, so that the database is not held meanwhile;
    an act that is known already is answered without decoding again.
    """
    if LogEntry.objects.of(request.shop).filter(key=key_of(request.POST)).exists():
        return perform(request, form, lambda key, moment: back)
    try:
        kept = pictures.take_in(form.cleaned_data["photo"], request.member, at=timezone.now())
    except pictures.NotAPicture as problem:
        form.add_error("photo", str(problem))
        return None

    def act(act_key, moment):
        acts.add_photo(
            request.member,
            key=act_key,
            moment=moment,
            project=project,
            step=step,
            picture=kept,
            text=form.cleaned_data["text"],
        )
        return back

    done = perform(request, form, act)
    if done:
        messages.success(request, "The photo is kept. It stands in the log.")
    return done
