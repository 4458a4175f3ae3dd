"""What people read when something can't be had: words, a way on, and no insides."""

import logging
import uuid

import pytest
from django.test import Client

from tests.factories import MemberFactory
from tests.projects.pages import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__name="Tallow Yard")


@pytest.fixture
def breaking(monkeypatch):
    """The database of the history page answers no more."""

    def broken(*args):
        raise RuntimeError("the reason, not for everybody")

    monkeypatch.setattr("workshop.views.history.Event.objects.of", broken)
    logging.disable(logging.CRITICAL)
    yield
    logging.disable(logging.NOTSET)


def test_a_missing_page_says_why_and_where_to_go(signed_in, member):
    response = signed_in(member).get(f"/s/{member.shop.key}/nowhere/")
    assert response.status_code == 404
    assert "There is nothing here" in words_of(response)
    assert b'href="/"' in response.content


def test_an_unknown_shop_and_a_strangers_shop_look_alike(signed_in, member):
    client = signed_in(MemberFactory())
    pages = [words_of(client.get(f"/s/{shop}/now/")) for shop in (member.shop.key, uuid.uuid4())]
    assert pages[0] == pages[1]
    assert "Tallow Yard" not in pages[0]


def test_a_missing_page_of_ones_own_shop_keeps_its_frame(signed_in, member):
    response = signed_in(member).get(f"/s/{member.shop.key}/shelf/lots/{uuid.uuid4()}/")
    assert "Tallow Yard" in words_of(response)


def test_a_refusal_says_whom_to_ask(signed_in, member):
    viewer = MemberFactory(shop=member.shop, role="viewer")
    response = signed_in(viewer).post(f"/s/{member.shop.key}/shop/")
    assert response.status_code == 403
    assert "Ask an owner of the shop to make you a maker." in words_of(response)


def test_an_old_page_says_that_nothing_was_changed(member):
    client = Client(enforce_csrf_checks=True)
    client.force_login(member.user, backend="django.contrib.auth.backends.ModelBackend")
    response = client.post(f"/s/{member.shop.key}/shop/")
    assert response.status_code == 403
    assert "That page was older than your sign-in" in words_of(response)


def test_a_broken_page_says_that_nothing_typed_is_lost(signed_in, member, breaking):
    client = signed_in(member)
    client.raise_request_exception = False
    response = client.get(f"/s/{member.shop.key}/shop/history/")
    assert response.status_code == 500
    assert "What you typed is kept in this browser" in words_of(response)


def test_a_broken_page_shows_none_of_its_insides(signed_in, member, breaking):
    client = signed_in(member)
    client.raise_request_exception = False
    words = words_of(client.get(f"/s/{member.shop.key}/shop/history/"))
    assert "the reason" not in words
    assert "RuntimeError" not in words


def test_a_host_that_is_not_ours_gets_no_page(client, member):
    logging.disable(logging.CRITICAL)
    response = client.get("/sign-in/", headers={"host": "evil.example.org"})
    logging.disable(logging.NOTSET)
    assert response.status_code == 400
