"""What every answer carries to the browser: the policy, and cookies that no script of others can use."""

import pytest
from django.test import Client

from config import settings as as_installed
from tests.config.running import SAFE, python
from tests.factories import PASSWORD, MemberFactory

pytestmark = pytest.mark.django_db
POLICY = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' blob:",
    "font-src": "'self'",
    "connect-src": "'self'",
    "worker-src": "'self'",
    "manifest-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}
ROOMS = ["now/", "projects/", "shelf/", "bench/", "clocks/", "shop/", "shop/history/", "nowhere/"]


@pytest.fixture
def member():
    return MemberFactory()


def policy_of(response):
    return dict(part.strip().split(" ", 1) for part in response.headers["Content-Security-Policy"].split(";"))


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_has_exactly_the_strict_policy(signed_in, member, room):
    assert policy_of(signed_in(member).get(f"/s/{member.shop.key}/{room}")) == POLICY


@pytest.mark.parametrize("url", ["/sign-in/", "/", "/health/", "/nowhere/"])
def test_every_public_page_has_exactly_the_strict_policy(client, member, url):
    assert policy_of(client.get(url)) == POLICY


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("X-Content-Type-Options", "nosniff"),
        ("X-Frame-Options", "DENY"),
        ("Referrer-Policy", "same-origin"),
        ("Cross-Origin-Opener-Policy", "same-origin"),
    ],
)
@pytest.mark.parametrize("url", ["/sign-in/", "/health/", "/nowhere/"])
def test_every_answer_has_the_other_headers_of_safety(client, member, url, name, value):
    assert client.get(url).headers[name] == value


def test_the_session_is_out_of_reach_of_scripts_and_other_sites(client, member):
    client.post("/sign-in/", {"username": member.user.email, "password": PASSWORD})
    cookie = client.cookies["sessionid"]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")


def test_the_token_of_forms_stays_with_us(client, member):
    client.get("/sign-in/")
    assert client.cookies["csrftoken"]["samesite"] == "Lax"


@pytest.mark.parametrize("path", ["shop/", "shelf/bundle/", "projects/new/"])
def test_a_form_without_its_token_is_refused(member, path):
    client = Client(enforce_csrf_checks=True)
    client.force_login(member.user, backend=as_installed.AUTHENTICATION_BACKENDS[-1])
    assert client.post(f"/s/{member.shop.key}/{path}").status_code == 403


def test_in_production_cookies_travel_by_https_only():
    names = "SESSION_COOKIE_SECURE, CSRF_COOKIE_SECURE, SECURE_SSL_REDIRECT, SECURE_HSTS_SECONDS"
    done = python("-c", f"from config.settings import *; print({names})", **SAFE)
    assert done.stdout.split() == ["True", "True", "True", "31536000"], done.stderr


def test_a_page_holds_no_style_or_script_of_its_own(signed_in, member):
    """The policy would drop it in silence."""
    for room in ROOMS:
        text = signed_in(member).get(f"/s/{member.shop.key}/{room}").content.decode()
        assert "<style" not in text
        assert " style=" not in text
        assert "<script>" not in text
        assert " onclick=" not in text
