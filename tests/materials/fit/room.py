"""Cups for tests: readings that a known resin gives, so that what a fit finds can be held against it."""

from dataclasses import replace
from functools import lru_cache

from materials.fit import advice, cup_tests
from tests.factories import AT, CupTestFactory

HEAT_J_PER_KG = 230_000.0


@lru_cache
def readings(mass_g=100.0, temp_c=25.0):
    """What a thermometer shows in a cup of a resin whose heat is known: pairs of minutes and °C."""
    from materials.science.resin.calibration import predict_cup
    from materials.science.resin.kinetics import Kinetics

    known = Kinetics(k_ref_per_s=1.8e-4, c=0.2, heat_j_per_kg=HEAT_J_PER_KG)
    cup = predict_cup(known, mass_g, temp_c)
    return [
        [round(at_min, 3), round(read_c, 2)]
        for at_min, read_c in zip(cup.times_min, cup.hottest_c, strict=True)
    ]


def lines(points, between="; "):
    """Readings as somebody types them."""
    return "\n".join(f"{at_min}{between}{read_c}" for at_min, read_c in points)


def fitted(resin, kinetics=None, **test):
    """A cup test with the sheet's own fit or other figures, without the seconds that fitting takes."""
    from materials.science.resin.calibration import Calibration

    own = advice.by_sheet(advice.sheet_of(resin))
    found = replace(own.kinetics["nominal"], **(kinetics or {}))
    calibration = Calibration(found, 2.0, (), 1, None, own.sheet, "nominal", True)
    return cup_tests.fitted(CupTestFactory(resin=resin, **test), calibration, at=AT)
