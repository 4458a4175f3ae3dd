"""Stored values become text in the shop's units, in one place."""

from datetime import UTC, datetime
from types import SimpleNamespace

import pytest
from django.template import Context, Template

from workshop.templatetags import figures

METRIC, INCH = ({"shop": SimpleNamespace(units=units)} for units in ("metric", "inch"))


def shown(text, context=None, **values):
    return Template(text).render(Context({**(context or METRIC), **values}))


def test_a_figure_has_its_unit_small_beside_it():
    assert shown('{% figure 12.34 "mass" "xl" %}') == '<span class="fig xl">12.3<u>g</u></span>'


def test_a_figure_of_parts_has_no_unit():
    assert shown('{% figure 45 "parts" %}') == '<span class="fig ">45</span>'


@pytest.mark.parametrize("nothing", [None, ""])
def test_a_figure_that_is_not_known_is_a_dash(nothing):
    assert shown('{% figure value "mass" %}', value=nothing) == '<span class="fig">–</span>'


def test_nought_is_a_figure():
    assert shown('{% figure 0 "mass" %}') == '<span class="fig ">0<u>g</u></span>'


def test_a_quantity_stands_in_a_sentence():
    assert shown('{% quantity 25.4 "length" %}') == "25.4\u00a0mm"


def test_a_quantity_that_is_not_known_is_a_dash():
    assert shown('{% quantity value "length" %}', value=None) == "–"


def test_an_inch_shop_reads_inches():
    assert shown('{% quantity 25.4 "length" %}', INCH) == "1\u00a0in"


def test_a_page_without_a_shop_reads_metric():
    assert shown('{% quantity 25.4 "length" %}', {"shop": None}) == "25.4\u00a0mm"


def test_places_can_be_asked_for():
    assert shown('{% quantity 12.6 "mass" places=0 %}') == "13\u00a0g"


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0, "0 min"),
        (95, "95 min"),
        (119.4, "119 min"),
        (119.6, "2 h"),
        (360, "6 h"),
        (390, "6:30 h"),
        (1441, "24:01 h"),
    ],
)
def test_a_span_is_said_as_people_say_it(minutes, said):
    assert figures.hours(minutes) == said.replace(" ", "\u00a0")


@pytest.mark.parametrize(("value", "said"), [(100.0, "100"), (45.25, "45.2"), (1234.5, "1\u202f234.5")])
def test_parts_have_one_place_at_most(value, said):
    assert figures.ratio(value) == said


def test_a_fraction_is_told_in_percent():
    assert (figures.percent_of(0.5), figures.percent_of(0.1234, 1)) == ("50", "12.3")


def test_a_mapping_answers_by_name():
    assert (figures.of({"a": 1}, "a"), figures.of({}, "a"), figures.of(None, "a")) == (1, "", "")


def test_a_moment_kept_as_text_is_a_moment_again():
    assert figures.instant("2026-03-10T09:00:00+00:00") == datetime(2026, 3, 10, 9, 0, tzinfo=UTC)


def test_no_moment_stays_none():
    assert figures.instant("") is None


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (95, "95 min"),
        (440, "7:20 h"),
        (599, "9:59 h"),
        (600, "10 h"),
        (2036, "34 h"),
        (2849, "47 h"),
        (2850, "2 days"),
        (2940, "2 days 1 h"),
        (10080, "7 days"),
    ],
)
def test_a_span_about_so_long_is_said_in_whole_hours_and_days(minutes, said):
    assert figures.span(minutes) == said.replace(" ", "\u00a0")
