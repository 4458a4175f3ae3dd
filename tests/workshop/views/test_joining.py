"""A link that was handed over: into the shop, once; and what it says when it leads nowhere."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.factories import AT, MemberFactory, UserFactory, key
from tests.projects.pages import words_of
from workshop import tokens
from workshop.changes import people
from workshop.models import Invitation, Member, User

pytestmark = pytest.mark.django_db
TYPED = {"name": "Joris", "email": "Joris@Example.org", "password": "resin-and-rain"}


@pytest.fixture
def owner():
    return MemberFactory(shop__name="Tallow Yard")


@pytest.fixture
def link(owner):
    row = people.invite(owner, key=key(), role="maker", for_whom="", at=timezone.now())
    return f"/join/{tokens.of_invitation(row.key)}/"


def sign_in(client, user, settings):
    client.force_login(user, backend=settings.AUTHENTICATION_BACKENDS[-1])


def test_a_stranger_reads_who_asks_into_what(client, link):
    assert "Into Tallow Yard Ines asks you in as a maker." in words_of(client.get(link))


def test_a_stranger_opens_an_account_and_is_in(client, owner, link):
    response = client.post(link, TYPED)
    assert response.headers["Location"] == f"/s/{owner.shop.key}/now/"
    member = Member.objects.get(user__email="joris@example.org")
    assert (member.shop, member.role, member.name) == (owner.shop, "maker", "Joris")
    assert client.get(response.headers["Location"]).status_code == 200


def test_the_account_form_sent_twice_is_one_account(client, owner, link):
    one, other = client.post(link, TYPED), client.post(link, TYPED)
    assert one.headers["Location"] == other.headers["Location"]
    assert User.objects.filter(email="joris@example.org").count() == 1


def test_who_is_signed_in_joins_with_one_press(client, owner, link, settings):
    maud = UserFactory(name="Maud")
    sign_in(client, maud, settings)
    assert "Join as Maud" in words_of(client.get(link))
    client.post(link, {"join": "yes"})
    assert Member.objects.get(user=maud).shop == owner.shop


def test_the_way_by_an_account_one_has_comes_back_to_the_link(client, link):
    assert f"/sign-in/?next={link}" in client.get(link).content.decode()


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("name", "", "This field is required."),
        ("email", "joris", "Enter a valid email address."),
        ("password", "short", "at least 10 characters"),
        ("password", "joris@example.org", "too similar to the email"),
    ],
)
def test_a_wrong_account_gets_a_sentence_and_the_link_stays_good(client, link, field, text, sentence):
    response = client.post(link, {**TYPED, field: text})
    assert response.status_code == 422
    assert sentence in words_of(response)
    assert Invitation.objects.open(at=timezone.now()).exists()


def test_an_email_that_has_an_account_is_sent_to_sign_in(client, link):
    UserFactory(email="joris@example.org")
    response = client.post(link, TYPED)
    assert response.status_code == 422
    assert "This e-mail has an account. Sign in with it" in words_of(response)


def test_who_belongs_already_is_told(client, owner, link, settings):
    sign_in(client, owner.user, settings)
    response = client.post(link, {"join": "yes"})
    assert response.status_code == 422
    assert "You belong to Tallow Yard already." in words_of(response)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"expires_at": AT}, "This link ran out. Each is good for 7 days."),
        ({"used_at": AT}, "This link has been used."),
        ({"revoked_at": AT}, "The shop took this link back."),
    ],
)
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_link_that_leads_nowhere_says_why(client, link, change, sentence, method):
    Invitation.objects.update(**change)
    response = getattr(client, method)(link, TYPED)
    assert response.status_code == 410
    assert sentence in words_of(response)
    assert not User.objects.filter(email="joris@example.org").exists()


def test_a_link_is_good_to_the_last_minute(client, link):
    Invitation.objects.update(expires_at=timezone.now() + timedelta(minutes=1))
    assert client.get(link).status_code == 200


def test_a_link_nobody_made_is_no_page(client, owner):
    response = client.get("/join/never-made/")
    assert response.status_code == 404
    assert "There is nothing here" in words_of(response)


def test_the_page_of_a_link_is_kept_and_found_by_nobody(client, link):
    headers = client.get(link).headers
    assert headers["X-Robots-Tag"] == "noindex, nofollow"
    assert headers["Referrer-Policy"] == "same-origin"
    assert "no-store" in headers["Cache-Control"]
