"""The Flaws page of a block: marked on its drawing, taken off again."""

from types import SimpleNamespace

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from projects.actions import flaws as acts
from projects.forms.flaws import FlawForm
from projects.models import Block, Flaw
from projects.panel import casting as castings
from projects.panel import flawed, stock
from projects.panel.rows import kept_of
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again, go_to

PAGE, DRAWN = "projects/flaws.html", "projects/_flaws_drawn.html"
MOST_CASTINGS = 99


@shop_view
@require_http_methods(["GET", "POST"])
def flaws(request, project, key):
    """GET shows a block with its flaws, or what is typed on its drawing; POST marks one."""
    block, casting = block_row(request, project, key), asked_casting(request)
    typed = request.POST if request.method == "POST" else request.GET if "along_mm" in request.GET else None
    form = FlawForm(
        typed,
        shop=request.shop,
        size=stock.size_of(block, casting),
        pitch_mm=block.strip_mm + block.gap_mm,
        initial={"kind": Flaw.Kind.VOID},
    )
    context = {
        "project": block.project,
        "kept": block,
        "form": form,
        "casting": casting,
        "room": "projects",
        "inside": "block",
        "echoes": form.echoes() if form.is_bound and form.is_valid() else {},
        "drawings": drawings(block, casting, form),
    }
    if request.method == "GET" and request.htmx and typed:
        return render(request, DRAWN, context)
    context |= around(block, casting)
    if request.method == "GET":
        return render(request, PAGE, context)

    def act(key, moment):
        values = {**form.cleaned_data, "casting": casting}
        acts.mark_flaw(request.member, block, values, at=moment.received_at)
        return flaws_url(block, casting)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, context)


@shop_view
@require_POST
def flaw_remove(request, project, key, flaw):
    """Take a flaw off its block, or put it back."""
    block = block_row(request, project, key)
    row = get_row(block.flaws.select_related("block__project"), request, flaw)
    removed = request.POST.get("removed") == "yes"
    acts.remove_flaw(request.member, row, at=timezone.now(), removed=removed)
    return go_to(request, flaws_url(block, row.casting))


def block_row(request, project, key):
    """A block of a project that was not taken off the list."""
    rows = Block.objects.filter(project__key=project, project__removed_at=None)
    return get_row(rows.select_related("project", "shop", "resin", "species"), request, key)


def asked_casting(request):
    """Which of several castings the address names; the first without a word."""
    text = request.GET.get("casting", "1")
    if not text.isdecimal() or not 1 <= int(text) <= MOST_CASTINGS:
        raise Http404("No such page")
    return int(text)


def flaws_url(block, casting):
    """The page of a block's flaws."""
    page = reverse("projects:flaws", args=[block.shop.key, block.project.key, block.key])
    return page if casting == 1 else f"{page}?casting={casting}"


def drawings(block, casting, form):
    """The block from above with its flaws, and with the one that is being typed."""
    typed = form.cleaned_data if form.is_bound and form.is_valid() else None
    new = stock.spot_of(SimpleNamespace(**typed)) if typed else None
    return stock.pictures(block, casting, new)


def around(block, casting):
    """The list of flaws, which castings there are, and what the flaws cost the panel."""
    kept = kept_of(block.project)
    own = [flaw for flaw in stock.flaws_of(block) if flaw.casting == casting]
    asked = castings.from_panel(kept, block)
    # a project with a block for each that its panel takes has one casting of each
    each = asked.blocks if asked and asked.own_strips is None else 1
    many = max([each, *(flaw.casting for flaw in stock.flaws_of(block)), casting])
    return {
        "flaws": list(enumerate(own, start=1)),
        "removed": block.flaws.removed_last(),
        "castings": range(1, many + 1) if many > 1 else (),
        "cost": flawed.cost_of(kept) if kept else None,
    }
