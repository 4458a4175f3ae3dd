import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import parsed, parts_of
from workshop.drawing.gauge import WIDTH, Gauge, gauge_svg


@pytest.mark.parametrize(
    ("gauge", "past"),
    [
        (Gauge(51, 60, 43, 64), (60, 64)),
        (Gauge(51, 60, 43, 58), None),
        (Gauge(70, 60, 65, 80), (65, 80)),
        (Gauge(70, 60), (60, 70)),
        (Gauge(50, 60), None),
        (Gauge(2, 2.8, more_is_worse=False), (2, 2.8)),
        (Gauge(3, 2.8, more_is_worse=False), None),
    ],
)
def test_what_lies_beyond_the_limit_is_marked(gauge, past):
    assert gauge.past == past
    assert bool(parts_of(parsed(gauge_svg(gauge)), "k-stop")) == bool(past)


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), st.floats(0, 1e3), st.floats(0, 1e3), st.booleans())
def test_any_gauge_is_a_well_formed_drawing(value, limit, below, above, more_is_worse):
    root = parsed(gauge_svg(Gauge(value, limit, value - below, value + above, more_is_worse)))
    (band,) = parts_of(root, "k-glow")
    assert 0 <= float(band.get("x")) <= float(band.get("x")) + float(band.get("width")) <= WIDTH + 0.01
