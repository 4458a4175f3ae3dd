import math
import pickle

import pytest

from materials.science.errors import OutOfRange, UnknownName, checked


def test_an_error_carries_name_value_limits_and_unit():
    error = OutOfRange("gap_mm", -1, 0, 10, "mm")
    assert (error.name, error.value, error.low, error.high, error.unit) == ("gap_mm", -1, 0, 10, "mm")


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OutOfRange("gap_mm", -1, 0, 10, "mm"), "gap is -1 mm, which is too low: it must be from 0 to 10 mm"),
        (
            OutOfRange("temp_c", 61, -10, 60, "°C"),
            "temperature is 61 °C, which is too high: it must be from -10 to 60 °C",
        ),
        (
            OutOfRange("index", math.nan, 1, 2.5, ""),
            "refractive index is not a number that can be used: it must be from 1 to 2.5",
        ),
        (
            OutOfRange("strips", 2.5, 1, 99, "strips"),
            "strips is 2.5 strips, which is not a whole number: it must be from 1 to 99 strips",
        ),
    ],
)
def test_an_error_says_in_words_what_is_wrong(error, words):
    assert str(error) == words


def test_an_error_survives_being_sent_to_another_process():
    error = pickle.loads(pickle.dumps(OutOfRange("gap_mm", -1, 0, 10, "mm")))  # noqa: S301
    assert str(error) == str(OutOfRange("gap_mm", -1, 0, 10, "mm"))


def test_an_out_of_range_value_is_a_value_error_for_callers_that_know_no_more():
    with pytest.raises(ValueError, match="too high"):
        checked("temp_c", 99, 0, 60, "°C")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_finite_number_is_refused(value):
    with pytest.raises(OutOfRange, match="not a number that can be used"):
        checked("gap_mm", value, 0, 10, "mm")


@pytest.mark.parametrize("value", [0, 10])
def test_the_limits_themselves_are_within_range(value):
    assert checked("gap_mm", value, 0, 10, "mm") == value


def test_an_unknown_name_lists_the_known_ones():
    assert str(UnknownName("species", "oak", ["white oak", "red oak"])).endswith(
        "known are: red oak, white oak"
    )
