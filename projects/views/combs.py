"""The combs of a block: how many, where they stand, and their files."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from materials.science.errors import OutOfRange
from projects.forms.combs import CombForm
from projects.models import Project
from projects.panel.casting import binding_of, combs_for, thicknesses_of
from projects.panel.combing import made_of, usual
from projects.panel.rows import Shopful
from projects.panel.stacked import width_of
from workshop.access import get_row, shop_view
from workshop.drawn import drawn

PAGE, FOUND = "projects/combs.html", "projects/_comb.html"
FILES = {"svg": "image/svg+xml", "dxf": "image/vnd.dxf", "stl": "model/stl"}


@shop_view
@require_safe
def combs(request, project, letter="A"):
    """The comb of a kept block with what is typed; a keystroke gets the comb alone."""
    row, blocks, block = block_of(request, project, letter)
    form, row_of_combs, reason = made(request, block)
    context = {
        "project": row,
        "blocks": blocks if len(blocks) > 1 else [],
        "kept": block,
        "form": form,
        "reason": reason,
        "echoes": form.echoes(),
        "places": combs_for(block),
        "room": "projects",
        "inside": "block",
        **(found(row_of_combs, block, request.GET) if row_of_combs else {}),
    }
    return render(request, FOUND if request.htmx and form.is_bound else PAGE, context)


@shop_view
@require_safe
def comb_file(request, project, kind, letter="A"):
    """The comb as a file for a cutter or a printer; of a row the one whose slots are asked for."""
    row, _, block = block_of(request, project, letter)
    slots = request.GET.get("slots", "")
    comb = next((each for each in made(request, block)[1] if slots in {"", str(each.slots)}), None)
    if kind not in FILES or comb is None:
        raise Http404("No such page")
    response = HttpResponse(getattr(comb, kind)(), content_type=FILES[kind])
    name = f"{row.code}-block-{block.letter}-comb-{comb.slots}.{kind}"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def block_of(request, project, letter):
    """The project, its blocks in order, and the one of the letter."""
    row = get_row(Project.objects.kept(), request, project)
    found = row.blocks.select_related("resin", "species", "shop", "project").order_by("position", "pk")
    blocks = list(found)
    block = next((each for each in blocks if each.letter == letter), None)
    if block is None:
        raise Http404("No such page")
    return row, blocks, block


def made(request, block):
    """The form, and the combs it makes for one place; or none and the reason why."""
    bound = request.GET if "clearance_mm" in request.GET else None
    form = CombForm(bound, initial=usual(block, Shopful.of(request.shop).printer), shop=request.shop)
    if form.is_bound and not form.is_valid():
        return form, [], "Mend the marked figures, then it is drawn."
    try:
        return form, made_of(block, form.cleaned_data if form.is_bound else form.initial), ""
    except OutOfRange as problem:
        return form, [], f"No comb can be made: {problem}."


def found(combs, block, typed):
    """How many, what speaks against it, how likely a strip binds in it, and whether the stack fits."""
    from projects.geometry.comb import row_length_mm

    comb, places = combs[0], len(combs_for(block).places)
    seal_mm, actual = (comb.strip_mm - block.strip_mm) / 2, thicknesses_of(block)
    return {
        "comb": comb,
        "across": len(combs),
        "slots": " + ".join(str(each.slots) for each in combs),
        "row_mm": row_length_mm(combs),
        "picture": drawn(comb.svg()),
        "speaks": comb.check(),
        "many": len(combs) * places,
        "kinds": kinds_of(combs, places, typed),
        "binding": binding_of(block, actual, comb.slot_mm, seal_mm),
        "grown": width_of(block, actual, comb.slot_mm, seal_mm),
    }


def kinds_of(combs, places, typed):
    """The combs by their slots: one of each, how many of it the block takes, the address of its files."""
    lengths = [each.slots for each in combs]
    return [
        (combs[lengths.index(slots)], places * lengths.count(slots), address(typed, slots))
        for slots in dict.fromkeys(lengths)
    ]


def address(typed, slots):
    """What is typed, and the slots of the comb, for an address."""
    query = typed.copy()
    query["slots"] = slots
    return query.urlencode()
