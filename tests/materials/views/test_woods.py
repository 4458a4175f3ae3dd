"""The woods: handbook figures to read, the shop's own to change."""

import pytest

from materials.models import Species
from tests.factories import MemberFactory, SpeciesFactory, WoodLotFactory, key
from tests.projects.pages import act, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db
HANDBOOK = {
    "reference": "walnut, black",
    "specific_gravity": 0.55,
    "modulus_gpa": 11.6,
    "radial": 0.0019,
    "tangential": 0.00274,
    "source": "Wood Handbook, Table 13-5",
}


@pytest.fixture
def member():
    return MemberFactory()


@pytest.fixture
def walnut(member):
    return SpeciesFactory(shop=member.shop, name="black walnut", **HANDBOOK)


@pytest.fixture
def own(member):
    return SpeciesFactory(shop=member.shop, name="bog oak", specific_gravity=0.7, source="from memory")


def woods(member, more=""):
    return f"/s/{member.shop.key}/shelf/woods/{more}"


def send(client, member, more, **typed):
    usual = {"name": "bog oak", "specific_gravity": "", "modulus_gpa": "", "radial": "", "tangential": ""}
    return client.post(woods(member, more), act(**{**usual, "source": "", **typed}))


# reading


def test_the_list_shows_each_wood_with_its_figures(signed_in, member, walnut, own):
    words = words_of(signed_in(member).get(woods(member)))
    assert "black walnut 0.55 11.6 0.19 % 0.274 % handbook bog oak 0.7 – – – our own" in words


def test_a_wood_says_what_a_percent_of_moisture_means_for_a_hand_width(signed_in, member, walnut):
    words = words_of(signed_in(member).get(woods(member, f"{walnut.key}/")))
    assert "0.27 mm wider, along the rings, is a piece of 100 mm for one percent more moisture" in words
    assert "across the rings 0.19 mm" in words
    assert "From Wood Handbook, Table 13-5, under “walnut, black”." in words


def test_a_wood_says_what_the_shops_air_and_a_year_make_of_it(signed_in, member, walnut):
    """20 °C and 50 % give 9.27 % by Wood Handbook eq. 4-5; walnut moves 0.274 % for 1 % along the rings."""
    response = signed_in(member).get(woods(member, f"{walnut.key}/"))
    assert response.context["shop_percent"][0] == pytest.approx(9.27, abs=0.01)
    assert response.context["year_mm"] == pytest.approx(100 * walnut.tangential * 6)
    assert "across a year" in words_of(response)


def test_a_wood_whose_movement_nobody_printed_says_so(signed_in, member, own):
    assert "How much it moves is not known" in words_of(signed_in(member).get(woods(member, f"{own.key}/")))


def test_a_wood_shows_what_stands_on_the_shelf_of_it(signed_in, member, walnut):
    WoodLotFactory(shop=member.shop, species=walnut, code="W-07")
    assert "On the shelf W-07 bundle 60 strips" in words_of(
        signed_in(member).get(woods(member, f"{walnut.key}/"))
    )


@pytest.mark.parametrize("size", [1, 20])
def test_the_pages_ask_the_same_however_much_there_is(
    signed_in, member, walnut, size, django_assert_num_queries
):
    for _ in range(size):
        WoodLotFactory(shop=member.shop, species=walnut)
        SpeciesFactory(shop=member.shop)
    client = signed_in(member)
    with django_assert_num_queries(5):  # session, user, member and shop, count, woods
        client.get(woods(member))
    with django_assert_num_queries(5):  # …, wood, lots
        client.get(woods(member, f"{walnut.key}/"))


# the shop's own


def test_a_wood_of_ones_own_is_added(signed_in, member):
    response = send(
        signed_in(member), member, "new/", specific_gravity="0,7", tangential="0,0033", source="from memory"
    )
    wood = Species.objects.get()
    assert response.headers["Location"] == woods(member, f"{wood.key}/")
    assert (wood.specific_gravity, wood.tangential, wood.radial, wood.reference) == (0.7, 0.0033, None, "")


def test_a_coefficient_is_shown_with_all_its_places(signed_in, member, own):
    Species.objects.filter(pk=own.pk).update(radial=0.00126)
    assert typed_in(signed_in(member).get(woods(member, f"{own.key}/")))["radial"] == "0.00126"


def test_a_wood_of_ones_own_is_changed(signed_in, member, own):
    typed = {"name": "Irish bog oak", "specific_gravity": "0.72", "source": "weighed"}
    send(signed_in(member), member, f"{own.key}/", **typed)
    own.refresh_from_db()
    assert (own.name, own.specific_gravity, own.source) == ("Irish bog oak", 0.72, "weighed")


def test_a_handbooks_figures_are_not_changed(signed_in, member, walnut):
    response = send(signed_in(member), member, f"{walnut.key}/", name="walnut", radial="0.001", source="x")
    assert response.status_code == 422
    assert "These figures are a handbook’s." in words_of(response)
    walnut.refresh_from_db()
    assert walnut.radial == 0.0019


def test_a_handbooks_wood_has_no_form(signed_in, member, walnut):
    assert "Keep these figures" not in words_of(signed_in(member).get(woods(member, f"{walnut.key}/")))


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("name", "", "This field is required."),
        ("name", "Black Walnut", "There is a wood called “Black Walnut” already."),
        ("specific_gravity", "7", "7 is too much: 1.4 or less."),
        ("radial", "0.2", "less than or equal to 0.01"),
        ("radial", "some", "This is no number. Write it like 0.0024."),
        ("radial", "nan", "This is no number."),
        ("modulus_gpa", "0.1", "0.1 is too little: 1 or more."),
    ],
)
def test_bad_input_about_a_wood_gets_a_sentence_and_stays(signed_in, member, walnut, field, text, sentence):
    response = send(signed_in(member), member, "new/", **{"source": "x", field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response)[field] == text
    assert Species.objects.count() == 1


def test_a_figure_without_its_source_gets_a_sentence(signed_in, member):
    response = send(signed_in(member), member, "new/", specific_gravity="0.7")
    assert "Say where the figures come from" in said_at(response, "source")


def test_a_wood_of_which_nothing_is_known_needs_no_source(signed_in, member):
    assert send(signed_in(member), member, "new/").status_code == 302


def test_a_wood_sent_twice_is_there_once(signed_in, member):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert send(client, member, "new/", key=sent).status_code == 302
    assert Species.objects.count() == 1


def test_a_stranger_adds_no_wood(signed_in, member):
    assert send(signed_in(MemberFactory()), member, "new/").status_code == 404
