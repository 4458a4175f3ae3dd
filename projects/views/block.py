"""The Block page: figures live as one types."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from projects import advice, against
from projects.actions import blocks as actions
from projects.actions import plan
from projects.forms.projects import HOMOGENEOUS_MM, BlockForm, MoreBlocksForm
from projects.models import Project
from projects.panel import casting, flawed, stacked, stock, words
from projects.panel.rows import blocks_of, kept_of, saw_of
from projects.views.piece import PAGE as PIECE_PAGE
from projects.views.piece import piece_context
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.drawn import drawn
from workshop.units import say, shown_unit
from workshop.views.answers import form_again

PAGE, FIGURES = "projects/block.html", "projects/_block_figures.html"


@shop_view
@require_http_methods(["GET", "POST"])
def block(request, project, letter="A"):
    """GET shows the kept block, or with figures in the address those; POST keeps them.

    A keystroke sends the form by GET and gets the fragment of figures back.
    """
    row = get_row(Project.objects.kept().select_related("shop"), request, project)
    blocks = blocks_of(row)
    kept = next((each for each in blocks if each.letter == letter), None)
    if kept is None:
        raise Http404("No such page")
    more = MoreBlocksForm(request.POST, shop=request.shop) if "many" in request.POST else None
    typed = request.POST if request.method == "POST" else request.GET if "strip_mm" in request.GET else None
    form = BlockForm(typed, initial=initial_of(kept), shop=request.shop, row=kept)
    context = {
        "project": row,
        "blocks": blocks if len(blocks) > 1 else [],
        "many": request.POST.get("many"),
        "kept": kept,  # not "block": inside a template's blocks that name is Django's own
        "form": form,
        "room": "projects",
        "inside": "block",
        **computed(form, kept),
    }
    if request.method == "GET" and request.htmx and typed:
        return render(request, FIGURES, context)
    context |= around(row, kept, form)
    if request.method == "GET":
        return render(request, PAGE, context)

    def act(key, moment):
        values, moment = form.stands(
            lambda values, at: against.of_blocks(form, [(kept, form.figures())], at), moment
        )
        why = (values["all_the_same"] or {}).get("why", "")
        at = moment.received_at
        plan.keep_block(request.member, kept, form.figures(), at=at, why=why)
        messages.success(request, f"{kept} is kept.")
        if more:
            return added(request, row, more.cleaned_data["many"], at=at)
        return after(request, row, kept)

    if more and not more.is_valid():
        form.add_error(None, more.non_field_errors()[0])
    elif form.is_valid() and context["figures"]:
        done = perform(request, form, act)
        if done:
            return done
    elif not form.errors:
        form.add_error(None, context["reason"])
    return form_again(request, PAGE, context)


def after(request, project, block):
    """Where a kept block leads: to the next that differs from the panel's plan, else to cuts or steps."""
    panel = kept_of(project)
    differ = casting.differing(panel) if panel else []
    others = [each for each in differ if each.pk != block.pk]
    if others:
        following = next((each for each in others if each.position > block.position), others[0])
        messages.info(request, still_differ(others))
        return block_url(request, project, following)
    if differ:
        strips, length_mm = casting.from_panel(panel, differ[0]).wanted
        messages.info(
            request,
            f"The panel takes it as {strips} strips of {say(length_mm, 'length', request.shop.units)}.",
        )
    name = "cuts" if panel and casting.from_panel(panel, block) else "steps"
    return reverse(f"projects:{name}", args=[request.shop.key, project.key])


def still_differ(blocks):
    """Which blocks are not as the panel takes them: “Block B and Block C still differ …”."""
    names = [str(block) for block in blocks]
    said = " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
    return f"{said} still differ{'s' if len(names) == 1 else ''} from the panel’s plan."


def block_url(request, project, block):
    """The page of one block."""
    return reverse("projects:block-of", args=[request.shop.key, project.key, block.letter])


@shop_view
@require_POST
def block_add(request, project):
    """One more block, or as many as the panel takes; then the page of the first of them."""
    row = get_row(Project.objects.kept().select_related("shop"), request, project)
    form = MoreBlocksForm(request.POST, shop=request.shop)

    def act(key, moment):
        return added(request, row, form.cleaned_data["many"], at=moment.received_at)

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PIECE_PAGE, piece_context(request, row, state_form=form))


def added(request, project, many, *, at):
    """So many blocks are added; the address of the first of them."""
    pairs = actions.add_blocks(request.member, project, many, at=at)
    names, steps = [str(block) for block, _ in pairs], sum(len(steps) for _, steps in pairs)
    messages.success(request, came(names, steps))
    return block_url(request, project, pairs[0][0])


def came(names, steps):
    """What was added: “Block B is there, with 12 steps …”."""
    if len(names) == 1:
        return f"{names[0]} is there, with {steps} steps and its lines on the shelf list."
    each = steps // len(names)
    return f"{names[0]} to {names[-1]} are there, each with {each} steps and its lines on the shelf list."


def around(project, kept, form):
    """What the kept block is cast from and for: the panel's wish, strips of the shelf, combs, mass, width."""
    panel = kept_of(project)
    asked = casting.from_panel(panel, kept)
    need = asked.own_strips or asked.all_strips if asked else kept.strips
    return {
        "asked": asked,
        "take_over": take_over(asked, kept, form),
        "fits": asked and asked.fits(kept.strips, kept.length_mm),
        "all_g": casting.all_g(kept, asked),
        "need": need,
        "sources": casting.sources_of(kept, need, saw_of(panel and panel.row.saw)),
        "combs": casting.combs_for(kept),
        "more_blocks": casting.more_of(panel),
        "mass_g": casting.mass_g(kept),
        "grown": stacked.width_of(kept, casting.thicknesses_of(kept)),
        **flaws_shown(panel, kept),
    }


def flaws_shown(panel, kept):
    """The first casting with its flaws, and what all of them cost the panel; nothing where there are none."""
    flaws = stock.flaws_of(kept)
    if not flaws:
        return {}
    cost = flawed.cost_of(panel) if panel else None
    return {"flaws": flaws, "flawed_pictures": stock.pictures(kept), "cost": cost}


def take_over(asked, kept, form):
    """The address that puts the panel's strips and length into the fields; nothing where they are there."""
    if asked is None or asked.fits(kept.strips, kept.length_mm):
        return ""
    strips, length_mm = asked.wanted
    if form.is_bound and form.is_valid():
        typed = form.cleaned_data
        if asked.fits(typed["strips"], typed["length_mm"]):
            return ""
    data = {name: form[name].value() for name in (*form.FIRST, *form.MORE)}
    data = {name: words.typed(value) for name, value in data.items() if value not in {None, ""}}
    return "?" + urlencode({**data, "strips": strips, "length_mm": f"{length_mm:g} mm"})


def initial_of(block):
    """The kept figures under the names of the form."""
    return {**advice.values_of(block), "species": block.species, "resin": block.resin}


def computed(form, kept):
    """Figures, drawing and what to mind, from what is typed or kept; a reason where there are none."""
    if form.is_bound and not form.is_valid():
        return {
            "figures": None,
            "reason": "Mend the marked figures, then the rest is computed again.",
            "echoes": form.echoes(),
        }
    values = form.cleaned_data if form.is_bound else initial_of(kept)
    figures, reason = advice.figures_or_reason(values, values["resin"])
    wide = max(values["strip_mm"], values["gap_mm"]) > HOMOGENEOUS_MM
    return {
        "figures": figures,
        "reason": reason,
        "resin": values["resin"],
        "species": values["species"],
        "finished_mm": values["finished_mm"],
        "drawings": drawings(values, form.shop.units) if figures else {},
        "too_wide": wide,
        "echoes": form.echoes(),
    }


def drawings(values, units):
    """The section at the three widths of the page, its lengths in the shop's units."""
    from projects.geometry import section

    block, unit = advice.block_of(values, advice.stack_of(values)), shown_unit("length", units)
    media = ("narrow", "middle", "wide")
    return {name: drawn(section.section_svg(block, media=name, unit=unit)) for name in media}
