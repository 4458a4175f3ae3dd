"""A person of several shops: which one opens, going to another, starting one."""

import pytest

from tests.factories import AT, MemberFactory
from tests.projects.pages import act, words_of
from workshop.models import Member, Shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def ines():
    """Owner of Tallow Yard."""
    return MemberFactory(shop__name="Tallow Yard")


def also_in(member, name, **more):
    return MemberFactory(user=member.user, shop__name=name, **more)


def opened(client):
    return client.get("/").headers["Location"]


def test_the_page_lists_the_shops_one_belongs_to(signed_in, ines):
    also_in(ines, "The Other Bench", role="viewer")
    also_in(ines, "Left Long Ago", left_at=AT)
    MemberFactory(shop__name="Not Hers")
    words = words_of(signed_in(ines).get("/shops/"))
    assert "The Other Bench you are viewer" in words
    assert "Tallow Yard you are owner" in words
    assert "Left Long Ago" not in words
    assert "Not Hers" not in words


@pytest.mark.parametrize("count", [1, 9])
def test_the_page_asks_the_same_of_the_database_however_many(
    signed_in, ines, count, django_assert_num_queries
):
    for number in range(count):
        also_in(ines, f"shop {number}")
    client = signed_in(ines)
    with django_assert_num_queries(3):  # session, user, shops
        client.get("/shops/")


def test_a_shop_of_ones_own_is_furnished_and_opens(signed_in, ines):
    client = signed_in(ines)
    response = client.post("/shops/new/", act(shop_name="The Lean-to", zone="Asia/Tokyo"))
    shop = Shop.objects.get(name="The Lean-to")
    assert response.headers["Location"] == f"/s/{shop.key}/now/" == opened(client)
    assert shop.zone == "Asia/Tokyo"
    assert Member.objects.get(shop=shop).role == "owner"


def test_a_shop_sent_twice_is_one(signed_in, ines):
    client, sent = signed_in(ines), act(shop_name="The Lean-to")
    one, other = (client.post("/shops/new/", sent) for _ in range(2))
    assert one.headers["Location"] == other.headers["Location"]
    assert Shop.objects.filter(name="The Lean-to").count() == 1


def test_a_key_that_is_another_shops_founds_a_shop_of_its_own(signed_in, ines):
    theirs = MemberFactory().shop
    response = signed_in(ines).post("/shops/new/", {"key": str(theirs.key), "shop_name": "Mine"})
    assert response.headers["Location"] == f"/s/{Shop.objects.get(name='Mine').key}/now/"
    assert not Member.objects.filter(shop=theirs, user=ines.user).exists()


@pytest.mark.parametrize("name", ["", " ", "x" * 81])
def test_a_shop_without_a_proper_name_gets_a_sentence(signed_in, ines, name):
    response = signed_in(ines).post("/shops/new/", act(shop_name=name))
    assert response.status_code == 422
    assert Shop.objects.count() == 1


def test_home_opens_the_shop_used_last(signed_in, ines):
    client = signed_in(ines)
    client.post("/shops/new/", act(shop_name="The Lean-to"))
    client.get(f"/s/{ines.shop.key}/shop/")
    assert opened(client) == f"/s/{ines.shop.key}/now/"


def test_home_opens_another_shop_when_the_last_one_was_left(signed_in, ines):
    client = signed_in(ines)
    client.post("/shops/new/", act(shop_name="The Lean-to"))
    Member.objects.filter(shop__name="The Lean-to").update(left_at=AT)
    assert opened(client) == f"/s/{ines.shop.key}/now/"


def test_a_member_of_one_shop_costs_no_write(signed_in, ines, django_assert_num_queries):
    client = signed_in(ines)
    with django_assert_num_queries(4):  # session, user, member and shop, people
        client.get(f"/s/{ines.shop.key}/shop/")


def test_who_belongs_to_none_can_start_one(signed_in, ines):
    Member.objects.update(left_at=AT)
    assert "Start your own shop" in words_of(signed_in(ines).get("/"))
