import pytest

from workshop.several import MOST, parse_several, say_several
from workshop.units import NotUnderstood


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("2.05 1.98 2,01", [2.05, 1.98, 2.01]),
        ("2.05;1.98; 2,01", [2.05, 1.98, 2.01]),
        ("2.05\n1.98\r\n2,01\n", [2.05, 1.98, 2.01]),
        ("2.05 1.98\n2.01 2", [2.05, 1.98, 2.01, 2]),
        ("2.05, 1.98, 2.01", [2.05, 1.98, 2.01]),
        ("2,05, 1,98", [2.05, 1.98]),
        ("2.05 1.98 2.01 mm", [2.05, 1.98, 2.01]),
        ("2.05 1.98 2.01mm", [2.05, 1.98, 2.01]),
        ("2.05mm 1.98mm", [2.05, 1.98]),
        ("2.05 mm, 1.98 mm", [2.05, 1.98]),
        ("2.05 mm; 1.98; 2.01", [2.05, 1.98, 2.01]),
        ("2\u00a03", [2, 3]),
        (".2 ,3", [0.2, 0.3]),
        ("0.2 0,3", [0.2, 0.3]),
        ("1/16 1/8 in", [1.5875, 3.175]),
        ("1 1/16; 1 1/8 in", [26.9875, 28.575]),
        ("0.2 0.3 cm", [2, 3]),
        ("2 mm 1/8 in", [2, 3.175]),
    ],
)
def test_figures_in_a_row_are_read_in_their_order(text, values):
    assert parse_several(text, "length") == pytest.approx(values)


@pytest.mark.parametrize(
    ("text", "value"), [("2", 2), (" 2,05 mm ", 2.05), ("1/16 in", 1.5875), ('1 1/2"', 38.1), ("2.", 2)]
)
def test_one_figure_is_read_as_ever(text, value):
    assert parse_several(text, "length") == pytest.approx([value])


def test_bare_figures_are_in_the_unit_of_the_shop():
    assert parse_several("0.08 0.09", "length", "in") == pytest.approx([2.032, 2.286])


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("2, 1", "“2,” can be half of a figure"),
        ("2 05", "“05” can be half of a figure"),
        ("2.05 1 125", "“1 125” can be one figure or two"),
        ("1 1/16 1 1/8", "“1 1/16” can be one figure or two"),
        ("2.05,1.98,2.01", "“2.05,1.98,2.01” can be more than one figure"),
        ("2.05 1,125", "can be read in two ways"),
        ("2.05 thick", "“thick” is no unit"),
        ("thick 2.05", "“thick” is no figure"),
        ("2.05 mm mm", "“mm mm” is no unit"),
        ("0.08 in 2.05 1.98", "Only some figures say “in”"),
        (";;", "holds no figure"),
        ("1/0 2", "Nothing can be divided by 0"),
        ("2 " * (MOST + 1), "60 at most"),
    ],
)
def test_what_can_be_read_in_two_ways_is_refused_in_words(text, sentence):
    with pytest.raises(NotUnderstood, match=sentence):
        parse_several(text, "length")


def test_several_figures_are_said_with_their_unit_once():
    assert say_several([2.05, 1.98, 2.0], "length") == "2.05, 1.98, 2\u00a0mm"
    assert say_several([50, 61], "parts") == "50, 61"
