"""Factors between units against pint's registry (its version stands in requirements.txt)."""

import pytest

from workshop.units import KINDS

pint = pytest.importorskip("pint")
pytestmark = pytest.mark.oracle

THEIRS = {
    "in": "inch", "ft": "foot", "oz": "ounce", "lb": "pound", "fl oz": "fluid_ounce", "qt": "quart",
    "gal": "gallon", "°C": "degC", "°F": "degF", "d": "day", "°": "degree",
    "deg": "degree", "g/ml": "g/ml", "kg/m³": "kg/m**3",
    "lb/gal": "pound/gallon", "Pa·s": "Pa*s", "mPa·s": "mPa*s", "cP": "centipoise",
}  # fmt: skip
NO_PHYSICS = {"parts", "count", "percent"}
UNITS = [(name, unit) for name, kind in KINDS.items() if name not in NO_PHYSICS for unit in kind.factors]


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize(("name", "unit"), UNITS)
@pytest.mark.parametrize("value", [-40.0, 0.0, 1.0, 7.25, 1e6])
def test_a_unit_is_worth_the_same_as_in_pint(registry, name, unit, value):
    kind = KINDS[name]
    theirs = registry.Quantity(value, THEIRS.get(unit, unit)).to(THEIRS.get(kind.stored, kind.stored))
    assert kind.to_stored(value, unit) == pytest.approx(theirs.magnitude, rel=1e-12, abs=1e-9)
