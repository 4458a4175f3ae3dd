"""The demo beside the first set-up: one press at this machine, and the way from it to a shop of one's own."""

import pytest
from django.test import Client

from tests.factories import MemberFactory, ShopFactory
from tests.projects.pages import words_of
from workshop.models import Shop, User

pytestmark = pytest.mark.django_db
HERE = {"headers": {"host": "localhost:8000"}}
URL, WELCOME = "/welcome/demo/", "/welcome/"
TYPED = {
    "shop_name": "Tallow Yard", "name": "Ines", "email": "ines@example.org",
    "password": "bog-oak-and-amber", "zone": "Europe/Berlin",
}  # fmt: skip


@pytest.fixture
def maker(settings, tmp_path):
    """A maker of the demo; the installation has no other shop."""
    settings.DATA_DIR = tmp_path
    shop = ShopFactory(is_demo=True, name="Hollin Quay Panels")
    MemberFactory(shop=shop)
    MemberFactory(shop=shop, role="viewer")
    return MemberFactory(shop=shop, role="maker", name="Anselm")


def signed_in_as(client):
    return client.session.get("_auth_user_id")


# works


def test_the_first_page_offers_the_demo_beside_an_own_shop(client, maker):
    said = words_of(client.get(WELCOME, **HERE))
    assert "Look around the demo" in said
    assert "Open the shop" in said


def test_one_press_leads_in_as_a_maker(client, maker):
    response = client.post(URL, **HERE)
    assert response.headers["Location"] == f"/s/{maker.shop.key}/now/"
    assert signed_in_as(client) == str(maker.user.pk)
    assert client.get(response.headers["Location"]).status_code == 200


def test_whoever_opens_the_address_of_an_installation_with_a_demo_is_welcomed(client, maker):
    assert client.get("/").headers["Location"] == WELCOME


def test_who_looks_around_already_goes_on(signed_in, maker):
    assert signed_in(maker).get("/").headers["Location"] == f"/s/{maker.shop.key}/now/"


def test_the_head_says_that_this_is_the_demo_and_the_way_out(signed_in, maker):
    said = words_of(signed_in(maker).get(f"/s/{maker.shop.key}/now/"))
    assert "This is the demo. Start your own shop" in said


def test_without_a_demo_nothing_is_offered(client):
    said = words_of(client.get(WELCOME, **HERE))
    assert "demo" not in said


# an own shop beside it


def test_an_own_shop_can_be_founded_from_the_demo(signed_in, maker):
    client = signed_in(maker)
    response = client.post(WELCOME, TYPED, **HERE)
    mine = Shop.objects.real().get()
    assert response.headers["Location"] == f"/s/{mine.key}/now/"
    assert signed_in_as(client) == str(User.objects.get(email="ines@example.org").pk)


def test_a_founder_sees_nothing_of_the_demo(signed_in, maker):
    client = signed_in(maker)
    client.post(WELCOME, TYPED, **HERE)
    assert client.get(f"/s/{maker.shop.key}/now/").status_code == 404


def test_the_people_of_the_demo_found_no_further_shop(signed_in, maker):
    client = signed_in(maker)
    for response in (
        client.get("/shops/new/"),
        client.post("/shops/new/", {"shop_name": "x", "zone": "UTC"}),
    ):
        assert response.headers["Location"] == WELCOME
    assert not Shop.objects.real().exists()


def test_somebody_of_a_real_shop_who_was_asked_into_the_demo_may(signed_in, maker):
    mine = MemberFactory()
    MemberFactory(shop=maker.shop, user=mine.user)
    assert signed_in(mine).get("/shops/new/").status_code == 200


def test_the_e_mail_of_somebody_of_the_demo_is_refused(client, maker):
    response = client.post(WELCOME, {**TYPED, "email": maker.user.email.upper()}, **HERE)
    assert response.status_code == 422
    assert "Somebody of the demo has this e-mail" in words_of(response)


def test_once_a_real_shop_stands_the_demo_says_so_no_more(signed_in, maker):
    MemberFactory()
    said = words_of(signed_in(maker).get(f"/s/{maker.shop.key}/now/"))
    assert "This is the demo: try what you like." in said
    assert "Start your own shop" not in said


# safe


def test_once_a_real_shop_stands_the_press_leads_nowhere(client, maker):
    MemberFactory()
    assert client.post(URL, **HERE).headers["Location"] == "/"
    assert signed_in_as(client) is None


@pytest.mark.parametrize(
    "where",
    [
        {"headers": {"host": "testserver"}},
        {"headers": {"host": "localhost:8000", "x-forwarded-for": "203.0.113.9"}},
        {"headers": {"host": "localhost:8000"}, "REMOTE_ADDR": "192.168.1.30"},
    ],
    ids=["another name", "through a proxy", "from another machine"],
)
def test_from_elsewhere_the_press_leads_nowhere(client, maker, where):
    assert client.post(URL, **where).status_code == 302
    assert signed_in_as(client) is None


def test_from_elsewhere_the_button_is_not_there_but_the_way_to_sign_in(client, maker):
    response = client.get(WELCOME, headers={"host": "testserver"})
    assert "Sign in with one of them" in words_of(response)
    assert f'action="{URL}"' not in response.text
    assert f'action="{URL}"' in client.get(WELCOME, **HERE).text


@pytest.mark.parametrize("name", ["PRODUCTION", "BEHIND_PROXY"])
def test_on_the_open_network_the_press_leads_nowhere(client, maker, settings, name):
    setattr(settings, name, True)
    client.post(URL, **HERE)
    assert signed_in_as(client) is None


def test_another_sites_page_can_not_press_it(maker):
    client = Client(enforce_csrf_checks=True)
    assert client.post(URL, **HERE).status_code == 403
    assert signed_in_as(client) is None


@pytest.mark.parametrize("method", ["get", "put", "delete"])
def test_another_method_is_refused(client, maker, method):
    assert getattr(client, method)(URL, **HERE).status_code == 405


def test_a_demo_that_was_put_away_lets_nobody_in(client, maker):
    from tests.factories import AT

    maker.left_at = AT
    maker.save()
    client.post(URL, **HERE)
    assert signed_in_as(client) is None


def test_pressed_twice_is_being_in(client, maker):
    client.post(URL, **HERE)
    assert client.post(URL, **HERE).headers["Location"] == f"/s/{maker.shop.key}/now/"


def test_the_first_page_asks_a_handful_of_questions(client, maker, django_assert_num_queries):
    with django_assert_num_queries(2):
        client.get(WELCOME, **HERE)
