"""Running clocks: the fragment that pages poll, and saying what was done."""

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from projects.actions import bench as acts
from projects.actions import free_clock
from projects.actions.moving import warmths_of
from projects.clock_figures import figures_of
from projects.clocks import clock_row, moves_said, source
from projects.forms.bench import SettleForm
from projects.forms.measures import ClockForm, ShopClockForm
from projects.models import Project, Step, Timer
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

MOST = 50  # on one page; more running clocks than a shop can have


def running_rows(shop, now, **narrower):
    """The running clocks of a shop as rows."""
    timers = Timer.objects.of(shop).shown(now).with_story().filter(**narrower)
    return [clock_row(timer, now, shop.tz) for timer in timers.select_related("shop")[:MOST]]


@shop_view
@require_safe
def clocks(request):
    """The list of running clocks; pages ask for it every quarter of a minute."""
    now = timezone.now()
    context = {"clock_rows": running_rows(request.shop, now), "server_now": now, "room": "now"}
    template = "projects/_clocks.html" if request.htmx else "projects/clocks.html"
    response = render(request, template, context)
    response["Cache-Control"] = "no-store"
    return response


HOWS = {
    Timer.Kind.POT_LIFE: [
        "Thrown away: the ratio is wrong",
        "It went off in the cup: carried out, poured out flat",
    ],
    Timer.Kind.GEL: ["Teeth are out", "Nothing is to be done"],
    Timer.Kind.RECOAT: ["No further pour is wanted", "Window missed: bond to be tested"],
    Timer.Kind.DEMOULD: ["Out of the mould, hard", "Left in longer, still soft"],
    Timer.Kind.FULL_CURE: ["Hard through", "Worked on sooner"],
    Timer.Kind.TACK: ["Dry to handle", "Window missed: to be scuffed first"],
    Timer.Kind.SAND: ["Sanded", "Not sanded"],
    Timer.Kind.SEALANT: ["Dry"],
    Timer.Kind.GLUE: ["All joined in time", "Too stiff: taken apart, to be done again"],
    Timer.Kind.CLAMPED: ["Clamps are off"],
    Timer.Kind.COAT: ["No further coat is wanted", "Window missed: to be sanded first"],
    Timer.Kind.WAIT: ["It is over", "It was over sooner"],
    Timer.Kind.FREE: ["Done", "No longer needed"],
}


@shop_view
@require_http_methods(["GET", "POST"])
def settle(request, key):
    """One clock, and what was done when it rang."""
    timer = Timer.objects.of(request.shop).with_story().select_related("shop").filter(key=key).first()
    if timer is None:
        raise Http404("No such page")
    form = SettleForm(request.POST or None, shop=request.shop)
    now = timezone.now()
    context = {
        "timer": timer,
        "clock": clock_row(timer, now, request.shop.tz),
        "figures": figures_of(timer, warmths_of(timer), now, request.shop.tz),
        "moves": moves_said(timer, now, request.shop.tz),
        "source": source(timer),
        "form": form,
        "hows": HOWS[Timer.Kind(timer.kind)],
        "room": "now",
    }
    if request.method == "GET":
        return render(request, "projects/clock.html", context)

    def act(act_key, moment):
        acts.settle(request.member, timer, form.cleaned_data["how"], key=act_key, moment=moment)
        return reverse("projects:now", args=[request.shop.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/clock.html", context)


@shop_view
@require_http_methods(["GET", "POST"])
def clock_new(request):
    """A clock of one's own, for a project (`?project=` names it) or for none."""
    chosen = Project.objects.of(request.shop).live().filter(code=request.GET.get("project", "")).first()
    form = ShopClockForm(request.POST or None, initial={"project": chosen}, shop=request.shop)
    back = reverse("projects:clocks", args=[request.shop.key])
    return set_clock(request, form, back, title="A clock")


@shop_view
@require_http_methods(["GET", "POST"])
def clock_at_step(request, key):
    """A clock of one's own at a step."""
    step = get_row(Step.objects.kept().select_related("shop", "project"), request, key)
    form = ClockForm(request.POST or None, shop=request.shop)
    return set_clock(request, form, acts.bench_url(step), title=step.title, step=step)


def set_clock(request, form, back, *, title, step=None):
    """The page of a clock to be set, or the clock set and `back`."""
    context = {"form": form, "back": back, "title": title, "room": "bench"}
    if request.method == "GET":
        return render(request, "projects/clock_new.html", context)

    def act(key, moment):
        free_clock.set_clock(request.member, **form.cleaned_data, step=step, key=key, moment=moment)
        return back

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, "projects/clock_new.html", context)
