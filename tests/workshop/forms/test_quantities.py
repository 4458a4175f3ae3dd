"""Fields that read quantities: what a shop reads, limits as sentences, and nothing typed is lost."""

from types import SimpleNamespace

import pytest
from django import forms
from hypothesis import given
from hypothesis import strategies as st

from workshop.forms.quantities import MoneyField, QuantityField, ShopForm

METRIC, INCH = SimpleNamespace(units="metric"), SimpleNamespace(units="inch")
NO_STRIP = "thinner ones break"


class PlankForm(ShopForm):
    strip_mm = QuantityField("length", least=0.2, most=50, why=NO_STRIP)
    warm_c = QuantityField("temperature", required=False, least=-10, most=45)
    pieces = QuantityField("count", required=False, above=0, most=100, whole=True)
    grams = QuantityField("mass", required=False, above=0)
    cost = MoneyField(required=False)


def form(shop=METRIC, initial=None, **typed):
    return PlankForm({"strip_mm": "2 mm", **typed}, shop=shop, initial=initial or {})


def value(name, text, shop=METRIC):
    filled = form(shop, **{name: text})
    assert filled.is_valid(), filled.errors
    return filled.cleaned_data[name]


def sentence(name, text, shop=METRIC):
    return " ".join(form(shop, **{name: text}).errors.get(name, []))


def test_text_becomes_the_unit_of_storage():
    assert value("strip_mm", "1/16 in") == 1.5875


def test_a_bare_number_is_millimetres_in_a_metric_shop():
    assert value("strip_mm", "3") == 3


def test_a_bare_number_is_inches_in_an_inch_shop():
    assert value("strip_mm", "1/8", INCH) == pytest.approx(3.175)


def test_a_bare_temperature_is_fahrenheit_in_an_inch_shop():
    assert value("warm_c", "77", INCH) == pytest.approx(25)


def test_an_empty_optional_field_is_none():
    assert value("warm_c", "  ") is None


def test_an_empty_field_that_is_needed_says_so():
    assert sentence("strip_mm", " ") == "This field is required."


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("strip_mm", "0.1", "0.1\u00a0mm is too little: 0.2\u00a0mm or more, thinner ones break."),
        ("strip_mm", "0", "0\u00a0mm is too little: 0.2\u00a0mm or more, thinner ones break."),
        ("strip_mm", "-2", "−2\u00a0mm is too little: 0.2\u00a0mm or more, thinner ones break."),
        ("strip_mm", "2 m", "2\u202f000\u00a0mm is too much: 50\u00a0mm or less."),
        ("grams", "0", "More than 0\u00a0g is needed."),
        ("grams", "-3 g", "More than 0\u00a0g is needed."),
        ("pieces", "2.5", "A whole number is needed."),
        ("pieces", "1000", "1\u202f000 is too much: 100 or less."),
        ("grams", "2 mm", "“mm” is no unit for this. Known are g, kg, oz, lb. Write it like 350 g or 12 oz."),
        ("warm_c", "warm", "“warm” is not understood. Write it like 20 °C or 68 °F."),
        ("grams", "1/0", "Nothing can be divided by 0."),
    ],
)
def test_a_limit_is_a_sentence(name, text, words):
    assert sentence(name, text) == words


def test_a_limit_is_told_in_the_units_of_the_shop():
    assert sentence("warm_c", "200", INCH) == "200\u00a0°F is too much: 113\u00a0°F or less."


@pytest.mark.parametrize("text", ["1.969 in", "0.008 in"])
def test_the_limit_that_the_sentence_names_can_be_typed(text):
    """50 mm are 1.9685 in and 0.2 mm are 0.00787 in; shown are three places."""
    assert value("strip_mm", text, INCH) in {50, 0.2}


def test_a_count_is_not_rounded_to_its_limit():
    assert sentence("pieces", "100.4") == "100 is too much: 100 or less."


def test_what_was_typed_stays():
    again = form(strip_mm="1/0 in", warm_c="lukewarm")
    assert (again["strip_mm"].value(), again["warm_c"].value()) == ("1/0 in", "lukewarm")


def test_a_value_of_the_shop_is_shown_with_its_unit():
    assert PlankForm(shop=INCH, initial={"strip_mm": 25.4})["strip_mm"].value() == "1 in"


def test_a_large_value_is_shown_as_it_can_be_typed():
    assert PlankForm(shop=METRIC, initial={"grams": 12500.0})["grams"].value() == "12500 g"


@given(st.floats(0.2, 50), st.sampled_from([METRIC, INCH]))
def test_a_field_left_alone_keeps_its_value_exactly(stored, shop):
    shown = PlankForm(shop=shop, initial={"strip_mm": stored})["strip_mm"].value()
    assert form(shop, {"strip_mm": stored}, strip_mm=shown).is_valid()
    again = form(shop, {"strip_mm": stored}, strip_mm=f" {shown} ")
    assert again.is_valid()
    assert again.cleaned_data["strip_mm"] == stored


def test_a_field_typed_anew_is_read_anew():
    filled = form(INCH, {"strip_mm": 1.5875}, strip_mm="0.062 in.")
    assert filled.is_valid()
    assert filled.cleaned_data["strip_mm"] == pytest.approx(1.5748)


def test_what_was_understood_is_echoed():
    filled = form(strip_mm="1/16 in", warm_c="nonsense")
    filled.is_valid()
    assert filled.echoes() == {"strip_mm": "1.59\u00a0mm"}


def test_echoes_of_a_fresh_form_are_those_of_its_values():
    assert PlankForm(shop=METRIC, initial={"grams": 5}).echoes() == {"grams": "5\u00a0g"}


def test_a_field_says_where_its_sentences_stand():
    assert PlankForm(shop=METRIC).fields["strip_mm"].widget.attrs["aria-describedby"] == "id_strip_mm_says"


def test_a_phone_shows_its_number_keys():
    fields = PlankForm(shop=METRIC).fields
    assert fields["strip_mm"].widget.attrs["inputmode"] == "decimal"
    assert fields["pieces"].widget.attrs["inputmode"] == "numeric"


@pytest.mark.parametrize(
    ("text", "sum_"), [("12.50", "12.50"), ("12,50", "12.50"), ("1 250,5", "1250.5"), ("0", "0")]
)
def test_money_is_read_with_point_or_comma(text, sum_):
    assert str(value("cost", text)) == sum_


@pytest.mark.parametrize("text", ["twelve", "12 EUR", "1.250,50", "nan", "Infinity"])
def test_what_is_no_money_gets_a_sentence(text):
    assert sentence("cost", text) == "This is no sum of money. Write it like 12.50."


def test_money_is_not_negative():
    assert sentence("cost", "-1") == "This can't be less than 0."


@pytest.mark.parametrize("text", ["12.505", "123456789.00"])
def test_money_has_two_places_and_ten_digits(text):
    assert sentence("cost", text).startswith("Ensure that there are no more than")


def test_a_form_without_a_shop_reads_metric():
    class Bare(ShopForm):
        depth_mm = QuantityField("length")

    bare = Bare({"depth_mm": "3"})
    assert bare.is_valid()
    assert bare.cleaned_data == {"depth_mm": 3}


def test_radios_are_described_by_their_group():
    class Choice(ShopForm):
        which = forms.ChoiceField(choices=[("a", "a")], widget=forms.RadioSelect)

    assert "aria-describedby" not in Choice().fields["which"].widget.attrs


@pytest.mark.parametrize(
    ("name", "shop", "unit"),
    [("strip_mm", METRIC, "mm"), ("strip_mm", INCH, "in"), ("warm_c", INCH, "°F"), ("grams", METRIC, "g")],
)
def test_a_field_says_in_which_unit_a_bare_number_is_read(name, shop, unit):
    assert f'data-bare="{unit}"' in str(form(shop)[name])


def test_a_count_has_no_unit_to_say():
    assert "data-bare" not in str(form()["pieces"])
