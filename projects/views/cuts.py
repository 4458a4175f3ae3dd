"""The Cuts page: striped blocks and bars with their saw lines, settings, order, and how exact it must be."""

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_safe

from materials.science.errors import OutOfRange
from projects import cautions
from projects.actions import leftovers
from projects.models import Project
from projects.panel import flawed, laying, measured, named, sawing, stock
from projects.panel.design import in_the_shop, planned
from projects.panel.rows import kept_of
from workshop.access import get_row, shop_view
from workshop.tables import csv_answer

PAGE, EACH, MOST_OFFERED = "projects/cuts.html", 25, 8


@shop_view
@require_safe
def cuts(request, project):
    """What the kept design asks of the saw."""
    row = get_row(Project.objects.kept().select_related("shop"), request, project)
    return render(request, PAGE, context_of(request, row))


def context_of(request, project):
    """All that the page shows of a project."""
    kept = kept_of(project)
    context = {"project": project, "room": "projects", "inside": "cuts", **shown(kept)}
    if context.get("bars"):
        context["page"] = Paginator(context["bars"], EACH).get_page(request.GET.get("page"))
        context |= leftovers_of(kept)
    return context


def leftovers_of(kept):
    """What is cut from the shelf first, what of it would fit as well, and what the cutting leaves."""
    left = stock.left_over(kept.design, named.letters_of(kept))
    shelved = leftovers.on_shelf(kept.row.project, left)
    return {
        "taken": stock.taken_of(kept.row),
        "fitting": stock.fitting(kept)[:MOST_OFFERED],
        "left": [(one, shelved.get(one.place)) for one in left[:MOST_OFFERED]],
        "left_more": max(0, len(left) - MOST_OFFERED),
        "cost": flawed.cost_of(kept),
        "measured": measured.measured_of(kept),
    }


def shown(kept):
    """All of the page; the reason where the shop can't cut the design (any more); nothing without one."""
    if kept is None:
        return {"kept": None}
    design, machine = kept.design, kept.row.saw
    try:
        plan, letters = planned(design), named.letters_of(kept)
    except OutOfRange as problem:
        return {"kept": kept, "reason": in_the_shop(problem)}
    return {
        "kept": kept,
        "plan": plan,
        "saw_care": cautions.AT_THE_SAW,
        "saw": design.saw,
        "machine": machine,
        "settings": sawing.settings_of(design, machine.gauge_max_deg if machine else None),
        "blocks": sawing.blocks_alike(design, letters),
        "bar_kinds": sawing.bars_alike(design),
        "bars": sawing.bar_rows(design, letters),
        "offcut": sawing.offcut_rows(design),
        "exact": sawing.exactness_of(design),
        "overhang_short": design.overhang_mm < plan.least_overhang_mm,
    }


@shop_view
@require_safe
def cuts_csv(request, project, kind):
    """One table of the page as a file."""
    row = get_row(Project.objects.kept().select_related("shop"), request, project)
    found = shown(kept_of(row))
    if kind not in TABLES or "plan" not in found:
        raise Http404("No such page")
    head, rows = TABLES[kind](found)
    return csv_answer(f"{row.code}-{kind}.csv", head, rows)


def settings_table(found):
    """The saw's settings."""
    head = ("piece", "bar width mm", "gauge °", "sled °", "stop mm", "second stop mm", "between two cuts",
            "pieces", "of them tests", "bars")  # fmt: skip
    return head, [
        (one.piece, short(one.bar_mm), joined(one.gauges_deg), joined(one.sled_deg), short(one.stop_mm),
         "" if one.second_stop_mm is None else short(one.second_stop_mm), one.handling, one.cuts, one.tests,
         one.bars)
        for one in found["settings"]
    ]  # fmt: skip


def bars_table(found):
    """What comes off each bar."""
    head = ("bar", "block", "piece", "width mm", "length mm", "pieces in cut order")
    return head, [
        (bar["number"], bar["block"], bar["piece"], short(bar["width_mm"]), short(bar["length_mm"]),
         ", ".join(bar["marks"]))
        for bar in found["bars"]
    ]  # fmt: skip


def blocks_table(found):
    """The blocks to cast."""
    head = ("blocks", "how many", "length mm", "width mm", "strips", "bars in each")
    return head, [
        (one.name, one.many, short(one.length_mm), short(one.width_mm), one.strips, one.holds)
        for one in found["blocks"]
    ]


def offcut_table(found):
    """The offcut by cause."""
    rows = [(words, round(100 * share, 2)) for words, share in found["offcut"]]
    return ("cause", "% of the blocks"), [
        *rows,
        ("all together", round(100 * found["plan"].offcut_fraction, 2)),
    ]


def pieces_table(found):
    """Every piece of the map."""
    head = ("number", "piece", "bar", "cut", "turned °", "face", "middle x mm", "middle y mm")
    return head, laying.piece_rows(found["kept"].design)


TABLES = {
    "pieces": pieces_table,
    "settings": settings_table,
    "bars": bars_table,
    "blocks": blocks_table,
    "offcut": offcut_table,
}


def short(value):
    """A figure as a saw can be set: hundredths."""
    return round(value, 2)


def joined(angles):
    """Angles in one cell."""
    return " and ".join(f"{angle:g}" for angle in angles)
