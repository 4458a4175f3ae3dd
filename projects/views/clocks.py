"""Running clocks: the fragment that pages poll, and saying what was done."""

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from projects.actions import bench as acts
from projects.clocks import clock_row
from projects.forms.bench import SettleForm
from projects.models import Timer
from workshop.access import shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

MOST = 50  # on one page; more running clocks than a shop can have


def running_rows(shop, now, **narrower):
    """The running clocks of a shop as rows."""
    timers = Timer.objects.of(shop).running().with_story().filter(**narrower)
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
    Timer.Kind.RECOAT: ["No further pour is wanted", "Window missed: bond to be tested"],
    Timer.Kind.DEMOULD: ["Out of the mould, hard", "Left in longer, still soft"],
    Timer.Kind.WAIT: ["It is over", "It was over sooner"],
}


@shop_view
@require_http_methods(["GET", "POST"])
def settle(request, key):
    """One clock, and what was done when it rang."""
    timer = Timer.objects.of(request.shop).with_story().select_related("shop").filter(key=key).first()
    if timer is None:
        raise Http404("No such page")
    form = SettleForm(request.POST or None, shop=request.shop)
    context = {
        "timer": timer,
        "clock": clock_row(timer, timezone.now(), request.shop.tz),
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
