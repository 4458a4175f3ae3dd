import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.drawing.parsed import parsed, parts_of
from workshop.drawing.ratio import ratio_gauge


def places(root, class_name):
    """Where the holders of marks with a class stand, in percent."""
    marks = parts_of(root, class_name)
    return [float(part.get("x")[:-1]) for part in root if any(mark in list(part) for mark in marks)]


@pytest.mark.parametrize(
    ("error_percent", "sentence"),
    [
        (0.34, "B is 0.3 % over, within the 2 % allowed."),
        (-3.4, "B is 3.4 % short, outside the 2 % allowed."),
        (0.01, "B is right, within the 2 % allowed."),
        (None, "The scale of the ratio; B is not weighed yet, the 2 % allowed either way."),
    ],
)
def test_the_gauge_says_what_it_shows(error_percent, sentence):
    assert parsed(ratio_gauge(error_percent)).get("aria-label") == sentence


def test_the_brackets_stand_at_the_tolerance_on_a_scale_that_ends_at_the_stop():
    assert places(parsed(ratio_gauge(None, tolerance_percent=2, stop_percent=5)), "l-ink") == [30, 70]


@pytest.mark.parametrize(("error_percent", "place"), [(0, 50), (2.5, 75), (-5, 0), (5, 100)])
def test_the_mark_stands_at_its_error(error_percent, place):
    assert places(parsed(ratio_gauge(error_percent)), "k-ink") == [place]


@pytest.mark.parametrize(("error_percent", "end"), [(5.1, 100), (-100, 0)])
def test_a_cup_beyond_the_scale_is_an_arrow_off_its_end(error_percent, end):
    root = parsed(ratio_gauge(error_percent))
    assert places(root, "k-stop") == [end]
    assert not parts_of(root, "k-ink")


def test_before_b_is_weighed_nothing_is_marked():
    root = parsed(ratio_gauge(None))
    assert not parts_of(root, "k-ink")
    assert not parts_of(root, "k-stop")


@given(st.none() | st.floats(-100, 1e4), st.floats(0, 10), st.floats(0.1, 10))
def test_any_gauge_is_a_well_formed_drawing(error_percent, tolerance_percent, more):
    parsed(ratio_gauge(error_percent, tolerance_percent, tolerance_percent + more))


@pytest.mark.parametrize(("tolerance_percent", "stop_percent"), [(6, 5), (-1, 5), (0, 0)])
def test_a_tolerance_outside_the_scale_is_refused(tolerance_percent, stop_percent):
    with pytest.raises(ValueError, match="from nothing to the stop"):
        ratio_gauge(0, tolerance_percent, stop_percent)
