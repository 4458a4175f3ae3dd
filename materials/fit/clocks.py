"""The bridge from a running clock to the cure model: what a clock freezes of a fit, and what the model says.

What is computed depends on plain values alone and is kept by them.
"""

from dataclasses import fields
from datetime import datetime
from functools import lru_cache
from math import isfinite

from materials.fit import advice
from materials.models import CupTest

BANDS = advice.BANDS


def frozen(resin):
    """The fit of a resin's newest kept cup test as a clock freezes it; None where none was read."""
    test = CupTest.objects.of(resin.shop).in_use(resin)
    if test is None:
        return None
    bands = advice.by_test(advice.sheet_of(resin), test).kinetics
    return {
        "read_at": test.taken_at.isoformat(),
        "bands": {band: news_of(kinetics) for band, kinetics in bands.items()},
    }


def frozen_sheet(resin):
    """The fit to a resin's sheet alone as a clock freezes it; None where the sheet can't be fitted."""
    try:
        bands = advice.by_sheet(advice.sheet_of(resin)).kinetics
    except advice.UNFITTED:
        return None
    return {"bands": {band: news_of(kinetics) for band, kinetics in bands.items()}}


def news_of(kinetics):
    """What differs in a fit from the model's usual figures."""
    return {
        field.name: getattr(kinetics, field.name)
        for field in fields(kinetics)
        if getattr(kinetics, field.name) != field.default
    }


def rests_on(model, tz):
    """What a fit that a clock froze rests on, in few words."""
    read = datetime.fromisoformat(model["read_at"]).astimezone(tz)
    return f"a cup test of {read.day} {read:%B %Y}"


def thawed(model):
    """The fits that a clock froze, by band."""
    from materials.science.resin.kinetics import Kinetics

    return tuple((band, Kinetics(**figures)) for band, figures in model["bands"].items())


def by_sheet_or_test(resin):
    """The fits that a resin's forecasts rest on now, by band; raises what can't be fitted."""
    return tuple(advice.bands_of(resin).kinetics.items())


@lru_cache(maxsize=512)
def cup_minutes(bands, mass_g, meaning, temps):
    """How long a cup can be poured, in minutes by band; a band that never comes to it is left out."""
    from materials.science.resin.through import cup_life_through

    found = {band: cup_life_through(kinetics, mass_g, temps, meaning) for band, kinetics in bands}
    return {band: minutes for band, minutes in found.items() if isfinite(minutes)}


@lru_cache(maxsize=512)
def pour_moments(bands, lay, temps):
    """What happens in a pour and when, by band; `lay` holds depth, strip and gap in mm, and kg/m³ of wood."""
    from materials.science.resin.layup import Layup
    from materials.science.resin.through import pour_through

    depth_mm, strip_mm, gap_mm, wood_kg_m3 = lay
    layup = Layup(depth_mm, strip_mm, gap_mm, shop_c=temps[0][1], wood_density_kg_m3=wood_kg_m3)
    return {band: pour_through(kinetics, layup, temps) for band, kinetics in bands}
