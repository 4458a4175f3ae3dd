"""A resin's fit as a picture: loaded after the page, since it is reckoned when it is first asked for."""

from django.shortcuts import render
from django.views.decorators.http import require_safe

from materials.fit import advice, pictures, told
from materials.models import CupTest, Resin
from workshop.access import get_row, shop_view

NEWEST = 3


@shop_view
@require_safe
def resin_fit(request, key):
    """How warm its cup gets, how deep it may be poured, and how far to trust that."""
    row = get_row(Resin.objects.filter(removed_at=None).select_related("shop"), request, key)
    template = "materials/_fit.html" if request.htmx else "materials/fit.html"
    tests = CupTest.objects.of(request.shop).kept().filter(resin=row).select_related("shop", "job")
    context = {
        "resin": row,
        "tests": tests.newest_first()[:NEWEST],
        "room": "shelf",
        **fit_context(row, request.shop.units),
    }
    return render(request, template, context)


def fit_context(row, system):
    """The two drawings and their sentences, or why there are none."""
    try:
        bands = advice.bands_of(row)
        cup = advice.cup_of(bands.kinetics, row.pot_mass_g, row.pot_c)
        depths = advice.depths_of(bands)
    except advice.UNFITTED as problem:
        return {"why_not": advice.why_not(problem)}
    return {
        "bands": bands,
        "said": told.of(row, bands, cup, depths, system),
        "cup_drawings": pictures.of_cup(cup, system, pot_min=row.pot_minutes),
        "depth_drawings": pictures.of_depths(depths, row.max_depth_mm, system),
        "sources": told.SOURCES,
    }
