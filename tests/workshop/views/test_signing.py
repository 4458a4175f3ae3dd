"""Signing in and out, and where people come from and go to."""

import pytest
from django.test import Client

from tests.factories import AT, PASSWORD, MemberFactory
from tests.projects.pages import typed_in, words_of

pytestmark = pytest.mark.django_db
URL = "/sign-in/"
WRONG = "E-mail and password don't belong together. Look at both and try again."


@pytest.fixture
def member():
    return MemberFactory(user__email="ines@example.org")


def sign_in(client, email="ines@example.org", password=PASSWORD, **more):
    return client.post(URL, {"username": email, "password": password, **more})


def is_signed_in(client):
    return "_auth_user_id" in client.session


def test_the_door_asks_for_email_and_password(client, member):
    assert set(typed_in(client.get(URL))) >= {"username", "password"}


def test_the_right_password_opens_the_door(client, member):
    response = sign_in(client)
    assert (response.status_code, response.headers["Location"]) == (302, "/")
    assert is_signed_in(client)


@pytest.mark.parametrize("email", ["INES@example.org", " ines@Example.org "])
def test_an_email_may_be_typed_in_any_case(client, member, email):
    sign_in(client, email)
    assert is_signed_in(client)


def test_signing_in_gives_the_session_a_new_name(client, member):
    client.get(URL)
    session = client.session
    session["before"] = 1
    session.save()
    client.cookies["sessionid"] = session.session_key
    sign_in(client)
    assert client.session.session_key != session.session_key


@pytest.mark.parametrize(
    ("email", "password"),
    [("ines@example.org", "wrong"), ("nobody@example.org", PASSWORD), ("ines@example.org", f" {PASSWORD}")],
)
def test_a_wrong_pair_gets_one_sentence_whichever_is_wrong(client, member, email, password):
    response = sign_in(client, email, password)
    assert response.status_code == 422
    assert WRONG in words_of(response)
    assert not is_signed_in(client)


@pytest.mark.parametrize("blank", ["username", "password"])
def test_an_empty_field_gets_a_sentence(client, member, blank):
    response = client.post(URL, {"username": "ines@example.org", "password": PASSWORD, blank: ""})
    assert response.status_code == 422
    assert "This field is required." in words_of(response)


def test_a_wrong_password_keeps_the_email_and_forgets_the_password(client, member):
    response = sign_in(client, password="wrong-and-secret")
    assert typed_in(response)["username"] == "ines@example.org"
    assert b"wrong-and-secret" not in response.content


def test_a_closed_account_stays_out(client, member):
    member.user.is_active = False
    member.user.save()
    assert sign_in(client).status_code == 422


def test_nobody_keeps_a_copy_of_the_page(client, member):
    assert "no-store" in client.get(URL).headers["Cache-Control"]


# the throttle


def test_the_eighth_wrong_password_locks_the_door(client, member):
    statuses = [sign_in(client, password="wrong").status_code for _ in range(8)]
    assert statuses == [422] * 7 + [429]


def test_a_locked_door_says_what_to_do(client, member):
    for _ in range(8):
        response = sign_in(client, password="wrong")
    assert "Wait a quarter of an hour, then try again." in words_of(response)


def test_a_locked_door_stays_shut_to_the_right_password(client, member):
    for _ in range(8):
        sign_in(client, password="wrong")
    assert sign_in(client).status_code == 429
    assert not is_signed_in(client)


def test_another_spelling_of_the_email_is_no_second_door(client, member):
    spellings = ["ines@example.org", "INES@example.org", "Ines@Example.Org", " ines@example.org"] * 2
    statuses = [sign_in(client, email, "wrong").status_code for email in spellings]
    assert statuses[-1] == 429


def test_a_locked_door_is_locked_for_one_person_only(client, member):
    MemberFactory(user__email="joris@example.org")
    for _ in range(8):
        sign_in(client, password="wrong")
    sign_in(client, "joris@example.org")
    assert is_signed_in(client)


def test_the_right_password_forgives_the_wrong_ones(client, member):
    for _ in range(2):
        for _ in range(6):
            sign_in(client, password="wrong")
        sign_in(client)
    assert is_signed_in(client)


# where one goes on to


def test_one_goes_on_to_the_page_one_wanted(client, member):
    wanted = f"/s/{member.shop.key}/shelf/"
    assert client.get(wanted).headers["Location"] == f"{URL}?next={wanted}"
    assert typed_in(client.get(f"{URL}?next={wanted}"))["next"] == wanted
    assert sign_in(client, next=wanted).headers["Location"] == wanted


@pytest.mark.parametrize(
    "url",
    [
        "https://example.org/",
        "//example.org/",
        "///example.org",
        "http:example.org",
        "\\\\example.org",
        "javascript:alert(1)",
        "data:text/html,x",
        "",
        "https://testserver.example.org/",
    ],
)
def test_one_never_goes_on_to_anothers_page(client, member, url):
    assert sign_in(client, next=url).headers["Location"] == "/"


def test_a_wrong_password_keeps_where_one_wanted_to_go(client, member):
    assert typed_in(sign_in(client, password="wrong", next="/x/"))["next"] == "/x/"


def test_home_leads_to_now(client, signed_in, member):
    assert signed_in(member).get("/").headers["Location"] == f"/s/{member.shop.key}/now/"


def test_home_leads_the_signed_out_to_the_door(client, member):
    assert client.get("/").headers["Location"] == URL


def test_home_tells_who_belongs_to_no_shop(signed_in, member):
    member.left_at = AT
    member.save()
    assert "You belong to no shop" in words_of(signed_in(member).get("/"))


# out


def test_signing_out_ends_the_session(signed_in, member):
    client = signed_in(member)
    response = client.post("/sign-out/")
    assert response.headers["Location"] == URL
    assert not is_signed_in(client)


def test_a_mere_visit_signs_nobody_out(signed_in, member):
    client = signed_in(member)
    assert client.get("/sign-out/").status_code == 405
    assert is_signed_in(client)


def test_a_form_of_another_site_signs_nobody_out(member):
    client = Client(enforce_csrf_checks=True)
    client.force_login(member.user, backend="django.contrib.auth.backends.ModelBackend")
    assert client.post("/sign-out/").status_code == 403
    assert is_signed_in(client)


@pytest.mark.parametrize(("method", "url"), [("put", URL), ("delete", URL), ("post", "/")])
def test_another_method_is_refused(client, member, method, url):
    assert getattr(client, method)(url).status_code == 405
