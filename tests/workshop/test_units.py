"""Reading what people type and writing what they read.

Factors between units: NIST Special Publication 811 (2008), appendix B. What is typed: common practice
of rules, scales and phones, no source.
"""

import time
from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from workshop import units
from workshop.templatetags.figures import hours
from workshop.units import KINDS, NotUnderstood, parse, say, write

EVERY_UNIT = [(name, unit) for name, kind in KINDS.items() for unit in kind.factors]
EVERY_KIND = st.sampled_from(sorted(KINDS))
SYSTEM = st.sampled_from(["metric", "inch"])
SIZE = st.floats(-9e6, 9e6, allow_nan=False)


# what a bare number and a unit mean


@pytest.mark.parametrize("kind", KINDS)
def test_a_bare_number_is_in_the_unit_of_storage(kind):
    assert parse("7.25", kind) == 7.25


def test_a_bare_number_is_in_the_unit_that_the_shop_reads():
    assert parse("2", "length", "in") == pytest.approx(50.8)


def test_a_typed_unit_beats_the_unit_that_the_shop_reads():
    assert parse("2 mm", "length", "in") == 2


@pytest.mark.parametrize(
    ("text", "kind", "stored"),
    [
        ("1 in", "length", 25.4),
        ("1 ft", "length", 304.8),
        ("1 oz", "mass", 28.349523125),
        ("1 lb", "mass", 453.59237),
        ("1 fl oz", "volume", 29.57353),
        ("1 qt", "volume", 946.3529),
        ("1 gal", "volume", 3785.412),
        ("1 lb/gal", "density", 0.1198264),
        ("1 cP", "viscosity", 0.001),
    ],
)
def test_a_unit_is_worth_what_its_standard_says(text, kind, stored):
    """NIST SP 811 (2008), appendix B.8, as printed there: seven digits, or exact."""
    assert parse(text, kind) == pytest.approx(stored, rel=5e-7)


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("77 °F", 25), ("32 °F", 0), ("-40 °F", -40), ("−40 F", -40), ("212f", 100), ("20 °C", 20), ("20c", 20)],
)
def test_a_temperature_knows_its_offset(text, celsius):
    """t/°C = (t/°F - 32)/1.8: NIST SP 811 (2008), appendix B.8."""
    assert parse(text, "temperature") == pytest.approx(celsius, abs=1e-12)


# how a number may be typed


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("1/16 in", Fraction(1, 16)),
        ('1/16"', Fraction(1, 16)),
        ("1/16 ″", Fraction(1, 16)),
        ("1 / 16 inch", Fraction(1, 16)),
        ("1 1/2 in", Fraction(3, 2)),
        ("1-1/2 in", Fraction(3, 2)),
        ("1  1/2”", Fraction(3, 2)),
        ("-1 1/2 in", Fraction(-3, 2)),
        ("23 5/8 inches", Fraction(189, 8)),
    ],
)
def test_fractions_are_read_as_a_rule_shows_them(text, inches):
    assert parse(text, "length") == pytest.approx(float(inches) * 25.4)


@pytest.mark.parametrize(
    ("text", "mm"),
    [("0,5 mm", 0.5), ("0.5mm", 0.5), (",5", 0.5), (".5", 0.5), ("2.", 2), ("2, mm", 2), ("2 mm.", 2)],
)
def test_a_comma_is_a_decimal_point(text, mm):
    assert parse(text, "length") == mm


@pytest.mark.parametrize("minus", ["-", "−", "- "])
def test_both_minus_signs_are_read(minus):
    assert parse(f"{minus}5 °C", "temperature") == -5


@pytest.mark.parametrize("blank", [" ", "\u00a0", "\u202f", "\u2009", "", "   "])
def test_any_blank_may_stand_before_the_unit(blank):
    assert parse(f"12{blank}fl oz", "volume") == pytest.approx(12 * 29.5735295625)


@pytest.mark.parametrize("blank", [" ", "\u00a0", "\u202f", "\u2009"])
def test_thousands_may_stand_apart_by_any_blank(blank):
    assert parse(f"12{blank}500 g", "mass") == 12_500


def test_millions_stand_apart_twice():
    assert parse("1 000 000", "mass") == 1_000_000


def test_a_whole_number_before_a_long_fraction_is_no_thousand():
    assert parse("1 125/1000 in", "length") == pytest.approx(1.125 * 25.4)


def test_digits_of_other_scripts_are_numbers_too():
    assert parse("٢٫".replace("٫", ".") + "٥ mm", "length") == 2.5


@pytest.mark.parametrize(
    ("text", "kind", "stored"),
    [
        ("350 Grams", "mass", 350),
        ("2 KG", "mass", 2000),
        ("12 FL OZ", "volume", 12 * 29.5735295625),
        ("12 fl. oz.", "volume", 12 * 29.5735295625),
        ("6 hrs", "minutes", 360),
        ("90 mins", "hours", 1.5),
        ("1.1 g/cm³", "density", 1.1),
        ("500 cps", "viscosity", 0.5),
        ("50 strips", "count", 50),
    ],
)
def test_units_are_known_by_their_usual_spellings(text, kind, stored):
    assert parse(text, kind) == pytest.approx(stored)


# what is not understood


@pytest.mark.parametrize(
    "text",
    ["", " ", "\u202f", "abc", "nan", "inf", "-inf", "mm", "½ in", "--2", "1e", "/2", "1/", "\x00", "²"],
)
def test_what_holds_no_number_gets_a_sentence_with_an_example(text):
    with pytest.raises(NotUnderstood, match=r"is not understood. Write it like 2 mm or 1/16 in\.|is no unit"):
        parse(text, "length")


@pytest.mark.parametrize("text", ["2 parsec", "2 g", "1e9", "2 mm 3", "1/2/3", "1.2.3", "6' 2\""])
def test_an_unknown_unit_gets_a_sentence_with_the_known_ones(text):
    with pytest.raises(NotUnderstood, match=r"is no unit for this\. Known are mm, cm, m, in, ft\."):
        parse(text, "length")


@pytest.mark.parametrize("minutes", [0, 95, 120, 121, 150, 390, 1439, 1441, 6000])
def test_a_span_is_read_back_as_pages_say_it(minutes):
    assert parse(hours(minutes), "minutes") == pytest.approx(minutes)


@pytest.mark.parametrize("text", ["2:30h", "2:30 H", " 2:30\u00a0h. "])
def test_hours_and_minutes_are_read_however_they_are_spaced(text):
    assert parse(text, "hours") == 2.5


@pytest.mark.parametrize("text", ["2:60 h", "2:5 h", "2:30", "2:30 min", ":30 h", "-2:30 h"])
def test_what_is_no_span_gets_a_sentence(text):
    with pytest.raises(NotUnderstood, match="Write it like"):
        parse(text, "minutes")


def test_a_colon_is_no_length():
    with pytest.raises(NotUnderstood, match="is no unit"):
        parse("2:30 h", "length")


@pytest.mark.parametrize("text", ["1 2 mm", "1 0000", "1-2", "12 34.5 mm"])
def test_two_numbers_get_a_sentence(text):
    with pytest.raises(NotUnderstood, match="holds two numbers"):
        parse(text, "length")


@pytest.mark.parametrize("text", ["1/0", "3 1/0 in", "0/0", "1/000"])
def test_nothing_is_divided_by_nothing(text):
    with pytest.raises(NotUnderstood, match=r"Nothing can be divided by 0\."):
        parse(text, "length")


def test_a_text_longer_than_any_quantity_is_refused():
    with pytest.raises(NotUnderstood, match="is too long"):
        parse("1" * 41, "length")


@pytest.mark.parametrize("text", ["1" * 1_000_000 + "\n\n", " " * 1_000_000, "1 " * 500_000])
def test_a_pasted_book_is_refused_at_once(text):
    began = time.perf_counter()
    with pytest.raises(NotUnderstood, match="too long"):
        parse(text, "length")
    assert time.perf_counter() - began < 0.5


@given(st.text(max_size=60), EVERY_KIND)
def test_any_text_is_a_number_or_a_sentence(text, kind):
    try:
        value = parse(text, kind)
    except NotUnderstood as problem:
        sentence = str(problem)
        assert sentence.endswith(".")
    else:
        assert abs(value) < 1e50


# round trips


@given(st.floats(0, 1e9), st.sampled_from(EVERY_UNIT))
def test_any_unit_of_any_kind_is_read_back(value, kind_and_unit):
    name, unit = kind_and_unit
    assert parse(f"{value:.6f} {unit}", name) == pytest.approx(
        KINDS[name].to_stored(float(f"{value:.6f}"), unit), rel=1e-12
    )


@given(SIZE, st.sampled_from(EVERY_UNIT))
def test_into_a_unit_and_back_is_the_same(value, kind_and_unit):
    kind, unit = KINDS[kind_and_unit[0]], kind_and_unit[1]
    assert kind.from_stored(kind.to_stored(value, unit), unit) == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(SIZE, EVERY_KIND, SYSTEM)
@example(1234567.5, "mass", "metric")
@example(-17.5, "temperature", "inch")
def test_what_is_written_is_read_back_to_half_its_last_digit(value, kind, system):
    number, unit = write(value, kind, system)
    places = len(number.partition(".")[2])
    shown = KINDS[kind].from_stored(value, unit)
    most_places = units.places_for(unit, shown)
    half_digit = 0.5 * 10.0**-most_places * KINDS[kind].factors[unit]
    assert places <= most_places
    assert parse(f"{number} {unit}", kind) == pytest.approx(value, abs=half_digit * 1.0001)


@given(SIZE, EVERY_KIND, SYSTEM)
def test_what_is_said_is_read_back_as_the_same_words(value, kind, system):
    said = say(value, kind, system)
    assume(said[0] != "−" or kind == "temperature")
    assert say(parse(said, kind, units.shown_unit(kind, system)), kind, system) == said


@given(st.integers(0, 60), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_mixed_fractions_add_up(whole, part, parts):
    assert parse(f"{whole} {part}/{parts} in", "length") == pytest.approx((whole + part / parts) * 25.4)


# writing


@pytest.mark.parametrize(
    ("value", "kind", "words"),
    [
        (1.5875, "length", "1.59\u00a0mm"),
        (2.0, "length", "2\u00a0mm"),
        (1234567.0, "mass", "1\u202f234\u202f567\u00a0g"),
        (12.34, "mass", "12.3\u00a0g"),
        (-3.25, "temperature", "−3.25\u00a0°C"),
        (-0.001, "temperature", "0\u00a0°C"),
        (0.0, "mass", "0\u00a0g"),
        (1.125, "density", "1.125\u00a0g/ml"),
        (49.6, "count", "50"),
        (45.25, "parts", "45.2"),
    ],
)
def test_a_figure_has_the_digits_that_its_reader_wants(value, kind, words):
    assert say(value, kind) == words


@pytest.mark.parametrize(
    ("value", "kind", "words"),
    [
        (25.4, "length", "1\u00a0in"),
        (1.5875, "length", "0.062\u00a0in"),
        (453.59237, "mass", "16\u00a0oz"),
        (29.5735295625, "volume", "1\u00a0fl oz"),
        (25.0, "temperature", "77\u00a0°F"),
        (-17.777777777777779, "temperature", "0\u00a0°F"),
        (90.0, "minutes", "90\u00a0min"),
        (1.12, "density", "1.12\u00a0g/ml"),
    ],
)
def test_an_inch_shop_reads_inches_ounces_and_fahrenheit(value, kind, words):
    assert say(value, kind, "inch") == words


def test_places_can_be_asked_for():
    assert write(12.3456, "mass", places=0) == ("12", "g")


@pytest.mark.parametrize(
    ("text", "square_metres"),
    [("0.24", 0.24), ("0.24 m2", 0.24), ("2400 cm²", 0.24), ("2 sq ft", 0.18580608), ("144 in2", 0.09290304)],
)
def test_an_area_is_read_in_the_units_people_write(text, square_metres):
    assert parse(text, "area") == pytest.approx(square_metres)  # 1 ft is 0.3048 m exactly


def test_an_area_is_shown_in_square_feet_to_a_shop_of_inches():
    assert say(0.24, "area", "inch") == "2.58\u00a0ft²"
