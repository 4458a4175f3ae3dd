"""The Panel page: a design redrawn as it is chosen, and looked at from where one stands."""

from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from projects import advice, against
from projects.actions import panel as acts
from projects.forms.panel import SHAPE, SIZE, TINT, WOOD, PanelForm
from projects.models import PanelDesign, Project
from projects.panel import figures, light, patterns, pictures, words
from projects.panel.look import (
    FARTHEST_MM,
    LEAN_STEP_DEG,
    MOST_LEAN_DEG,
    NEAREST_MM,
    SIDEWAYS_MM,
    STEP_MM,
    Look,
)
from projects.panel.rows import CUTTING, Shopful, blocks_of
from projects.panel.stock import taken_of
from workshop.access import get_row, shop_view
from workshop.acting import perform
from workshop.views.answers import form_again

PAGE, PREVIEW = "projects/panel.html", "projects/_panel_preview.html"
FIRST = {
    "pattern": "squares", "width_mm": 600.0, "height_mm": 420.0, "lines": "alike", "saw": None,
    "origin_x_mm": None, "origin_y_mm": None, "turn_deg": 0.0, "glue_mm": 0.0, "overhang_mm": 0.0,
    **CUTTING,
}  # fmt: skip
RAILS = {
    "sideways": SIDEWAYS_MM, "step": STEP_MM, "nearest": NEAREST_MM, "farthest": FARTHEST_MM,
    "lean": MOST_LEAN_DEG, "lean_step": LEAN_STEP_DEG,
}  # fmt: skip


@shop_view
@require_http_methods(["GET", "POST"])
def panel(request, project):
    """GET shows the kept design, or the one in the address; POST keeps it.

    Each change sends the page's fields by GET and gets the drawing and its figures back.
    """
    row = get_row(Project.objects.kept().select_related("shop"), request, project)
    kept, blocks = PanelDesign.objects.of_project(row), blocks_of(row)
    typed = request.POST if request.method == "POST" else request.GET if "pattern" in request.GET else None
    form = PanelForm(
        typed,
        initial=initial_of(kept, blocks),
        shop=request.shop,
        row=[kept, *blocks],
        blocks=blocks,
        shopful=Shopful.of(request.shop),
        leftovers=taken_of(kept) if kept else (),
    )
    context = {
        "project": row,
        "kept": kept,
        "form": form,
        "room": "projects",
        "inside": "panel",
        **computed(request, form, blocks),
    }
    context["more_blocks"] = more_blocks(context, kept, blocks)
    if request.method == "GET":
        return render(request, PREVIEW if request.htmx and typed else PAGE, context)

    def act(key, moment):
        design, figures = form.values()
        values, moment = form.stands(lambda values, at: against.of_blocks(form, figures, at), moment)
        why = (values["all_the_same"] or {}).get("why", "")
        acts.keep_panel(request.member, row, design, figures, at=moment.received_at, why=why)
        return reverse("projects:block", args=[request.shop.key, row.key])

    done = form.is_valid() and perform(request, form, act)
    return done or form_again(request, PAGE, context)


def more_blocks(context, kept, blocks):
    """How many blocks a kept design takes beyond those that the project has."""
    counts = context.get("counts")
    return max(0, counts.blocks - len(blocks)) if kept and counts else 0


def initial_of(kept, blocks):
    """What stands in the fields before anybody types: the kept design, or good guesses."""
    found = dict(FIRST)
    found |= {name: advice.values_of(blocks[0])[name] for name in PanelForm.OF_BLOCK}
    tints, shapes = {}, {}
    if kept:
        found |= {name: getattr(kept, name) for name in FIRST if not name.startswith("origin")}
        found["origin_x_mm"], found["origin_y_mm"] = kept.origin or (None, None)
        tints, shapes = kept.overrides.get("tints", {}), kept.overrides.get("blocks", {})
    sizes = kept.sizes if kept else patterns.examples_of(found["pattern"])
    found |= {SIZE + name: value for name, value in sizes.items()}
    for number, block in enumerate(blocks):
        found[f"{WOOD}{number}"] = block.species
        found[f"{TINT}{number}"] = 100 * tints.get(str(block.key), 1.0)
    return {**found, **{SHAPE + shape: key for shape, key in shapes.items()}}


def computed(request, form, blocks):
    """All that the page shows of the design: drawing, figures, rules; or the reason why there is none."""
    data = request.GET if request.method == "GET" else request.POST
    look = Look.of(data)
    design, reason = form.made()
    common = {
        "look": look,
        "rails": RAILS,
        "far": words.place_of_eye(look, request.shop.units),
        "thumbs": patterns.thumbs(),
        "names": patterns.NAMES,
        "chosen": form.chosen,
        "new_sizes": data.get("sizes_of", form.chosen) != form.chosen,
        "echoes": form.echoes(),
        "reason": reason,
        "design": design,
    }
    return common if design is None else {**common, **shown(request, form, blocks, design, look)}


def shown(request, form, blocks, design, look):
    """Drawing and figures of a design that can be made."""
    values = form.now()
    tints = light.Tints.of(design, form.tints(values), str(blocks[0].key), form.shape_blocks(values))
    sight, counts = light.sight_of(design, tints, look.lean_deg), figures.counts_of(design)
    species, seams = values["wood_0"], figures.seams_in_words(design)
    return {
        "picture": pictures.panel_picture(design, tints, look),
        "above": pictures.above_pictures(design, sight, look, request.shop.units == "inch"),
        "sight": sight,
        "glow": sight.glow_mm is not None and words.distance(sight.glow_mm, request.shop.units),
        "counts": counts,
        "clearance_mm": figures.clearance_mm(design, species),
        "species": species,
        "rules": words.rules(figures.rules_of(design), data_of(request, form), design),
        "calm_query": words.calm_query(counts, data_of(request, form)),
        "minds": words.minds(design, counts),
        "seams": seams if look.seams else None,
        "rims": seams["along"] > 0,
    }


def data_of(request, form):
    """What a link has to carry so that nothing typed is lost on its way."""
    if request.method == "GET" and form.is_bound:
        return form.data  # with the sizes that a newly chosen pattern begins with
    named = {field.name: field.value() for field in form.visible_fields()}
    if form.is_bound:
        named = {name: form.data.get(name) for name in named}
    return {name: words.typed(value) for name, value in named.items() if value not in {None, ""}}
