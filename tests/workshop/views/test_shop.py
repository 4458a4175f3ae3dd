"""The shop's page: owners change it, everybody may read it."""

from datetime import time

import pytest
from PIL import Image

from tests.architecture.sources import ROOT
from tests.factories import AT, MemberFactory
from tests.projects.pages import said_at, typed_in, words_of
from workshop.models import Event, Shop

pytestmark = pytest.mark.django_db
FRAGMENT = {"HX-Request": "true"}


def url_of(member):
    return f"/s/{member.shop.key}/shop/"


def typed(**more):
    return {
        "name": "Tallow Yard", "zone": "Europe/Berlin", "units": "metric", "currency": "EUR",
        "day_c": "20 °C", "night_c": "16 °C", "day_humidity_percent": "50 %",
        "night_humidity_percent": "55 %", "day_from": "08:00", "day_to": "18:00",
        "public_address": "", **more,
    }  # fmt: skip


@pytest.fixture
def owner():
    return MemberFactory(shop__name="Tallow Yard")


def change(client, owner, **more):
    return client.post(url_of(owner), typed(**more))


def shop_of(owner):
    return Shop.objects.get(pk=owner.shop_id)


def test_the_page_shows_the_settings(signed_in, owner):
    found = typed_in(signed_in(owner).get(url_of(owner)))
    assert {name: found[name] for name in typed()} == typed()


def test_the_page_shows_who_works_here(signed_in, owner):
    MemberFactory(shop=owner.shop, name="Joris", role="maker", user__email="joris@example.org")
    MemberFactory(shop=owner.shop, name="Maud", left_at=AT)
    words = words_of(signed_in(owner).get(url_of(owner)))
    assert "2 here: Ines, Joris" in words
    assert "Maud" not in words


@pytest.mark.parametrize(
    ("field", "text", "kept"),
    [
        ("name", "Tallow Barn", "Tallow Barn"),
        ("zone", "Asia/Tokyo", "Asia/Tokyo"),
        ("units", "inch", "inch"),
        ("currency", "usd", "USD"),
        ("day_c", "68 °F", 20.0),
        ("night_c", "12,5", 12.5),
        ("day_humidity_percent", "62", 62.0),
        ("night_humidity_percent", "70 %", 70.0),
        ("day_from", "06:30", time(6, 30)),
        ("day_to", "20:00", time(20)),
        ("public_address", "panels.example.org", "https://panels.example.org"),
    ],
)
def test_an_owner_changes_a_setting(signed_in, owner, field, text, kept):
    response = change(signed_in(owner), owner, **{field: text})
    assert response.headers["Location"] == url_of(owner)
    found = getattr(shop_of(owner), field)
    assert found == (pytest.approx(kept) if isinstance(kept, float) else kept)


def test_a_change_is_in_history(signed_in, owner):
    change(signed_in(owner), owner, day_c="22 °C")
    event = Event.objects.get(verb="changed the shop")
    assert (event.before, event.after) == ({"day_c": 20.0}, {"day_c": 22.0})


def test_sending_what_stands_there_changes_nothing(signed_in, owner):
    change(signed_in(owner), owner)
    assert not Event.objects.exists()


def test_an_inch_shop_that_changes_nothing_keeps_its_temperatures(signed_in, owner):
    """16 °C are shown as 60.8 °F, and these are 15.999… °C again."""
    Shop.objects.filter(pk=owner.shop_id).update(units="inch")
    client = signed_in(owner)
    found = typed_in(client.get(url_of(owner)))
    client.post(url_of(owner), {name: found[name] for name in typed()})
    assert not Event.objects.exists()


def test_a_change_sent_twice_is_one_line_of_history(signed_in, owner):
    client = signed_in(owner)
    change(client, owner, day_c="22 °C")
    change(client, owner, day_c="22 °C")
    assert Event.objects.count() == 1


def test_with_script_the_answer_is_where_to_go(signed_in, owner):
    response = signed_in(owner).post(url_of(owner), typed(), headers=FRAGMENT)
    assert (response.status_code, response.headers["HX-Redirect"]) == (204, url_of(owner))


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("name", " ", "This field is required."),
        ("name", "x" * 81, "at most 80 characters"),
        ("zone", "Berlin", "“Berlin” is no time zone. They look like Europe/Berlin."),
        ("zone", "", "This field is required."),
        ("units", "cubits", "Select a valid choice."),
        ("currency", "€", "Three letters, like EUR."),
        ("currency", "EURO", "at most 3 characters"),
        ("day_c", "hot", "“hot” is not understood. Write it like 20 °C or 68 °F."),
        ("day_c", "300", "300\u00a0°C is too much: 50\u00a0°C or less."),
        ("night_c", "20 g", "“g” is no unit for this."),
        ("day_humidity_percent", "0", "0\u00a0% is too little: 1\u00a0% or more."),
        ("night_humidity_percent", "101", "101\u00a0% is too much: 100\u00a0% or less."),
        ("day_from", "25:00", "Enter a valid time."),
        ("day_to", "07:00", "The night begins after the day does."),
        ("public_address", "javascript:alert(1)", "Enter a valid URL."),
        ("public_address", "https://example.org/" + "x" * 200, "at most 200 characters"),
    ],
)
def test_bad_input_gets_a_sentence_and_stays(signed_in, owner, field, text, sentence):
    response = change(signed_in(owner), owner, **{field: text})
    assert response.status_code == 422
    assert sentence in (said_at(response, field) or words_of(response))
    assert typed_in(response).get(field, text).strip() == text.strip()
    assert not Event.objects.exists()


@pytest.mark.parametrize("role", ["maker", "viewer"])
def test_others_than_the_owner_are_refused_with_a_sentence(signed_in, owner, role):
    other = MemberFactory(shop=owner.shop, role=role)
    response = change(signed_in(other), other, name="Mine now")
    assert response.status_code == 403
    assert "owner of the shop" in words_of(response)
    assert shop_of(owner).name == "Tallow Yard"


@pytest.mark.parametrize("role", ["maker", "viewer"])
def test_others_than_the_owner_may_read_it(signed_in, owner, role):
    response = signed_in(MemberFactory(shop=owner.shop, role=role)).get(url_of(owner))
    assert "Only an owner changes these." in words_of(response)
    assert "Keep this" not in words_of(response)


@pytest.mark.parametrize("people", [1, 12])
def test_the_page_asks_the_same_of_the_database_however_many_work_here(
    signed_in, owner, people, django_assert_num_queries
):
    MemberFactory.create_batch(people, shop=owner.shop)
    client = signed_in(owner)
    with django_assert_num_queries(4):  # session, user, member and shop, people
        client.get(url_of(owner))


# health


def test_the_health_page_says_ok_to_anybody(client):
    response = client.get("/health/")
    assert (response.status_code, response.content, response.headers["Content-Type"]) == (
        200,
        b"ok",
        "text/plain",
    )


def test_the_health_page_asks_the_database(client, django_assert_num_queries):
    with django_assert_num_queries(1):
        client.get("/health/")


def test_the_health_page_answers_a_mere_head(client):
    assert client.head("/health/").status_code == 200


def test_the_health_page_takes_nothing(client):
    assert client.post("/health/").status_code == 405


def test_who_asks_for_an_icon_at_the_usual_address_gets_ours(client, db):
    response = client.get("/favicon.ico", follow=True)
    assert response.redirect_chain[0][0].endswith("icons/mark.ico")


def test_our_icon_can_be_read_by_a_browser():
    with Image.open(ROOT / "static/icons/mark.ico") as icon:
        assert icon.info["sizes"] == {(16, 16), (32, 32), (48, 48)}
