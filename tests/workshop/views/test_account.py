"""Passwords: changed by the old one, set by a link from the console or by mail, once."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone

from tests.factories import AT, PASSWORD, MemberFactory
from tests.projects.pages import words_of
from workshop.changes import passwords
from workshop.models import PasswordReset, User

pytestmark = pytest.mark.django_db
NEW = "walnut-beside-pear"
LOST = "/password/lost/"


@pytest.fixture
def ines():
    return MemberFactory(user__email="ines@example.org").user


@pytest.fixture
def link(ines):
    return f"/password/new/{passwords.make_link(ines, at=timezone.now())}/"


@pytest.fixture
def mailing(settings):
    settings.MAIL = "smtp://mail.example.org"


def signed_in_client(user):
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return client


def holds(user, password):
    return User.objects.get(pk=user.pk).check_password(password)


# by the old one


def test_who_knows_the_old_password_sets_a_new_one(ines):
    response = signed_in_client(ines).post("/password/", {"old": PASSWORD, "new": NEW})
    assert response.headers["Location"] == "/"
    assert holds(ines, NEW)


def test_this_browser_stays_signed_in_and_the_others_do_not(ines):
    here, elsewhere = signed_in_client(ines), signed_in_client(ines)
    here.post("/password/", {"old": PASSWORD, "new": NEW})
    assert here.get("/shops/").status_code == 200
    assert elsewhere.get("/shops/").status_code == 302


def test_a_change_sent_twice_is_no_fault(ines):
    client = signed_in_client(ines)
    for _ in range(2):
        assert client.post("/password/", {"old": PASSWORD, "new": NEW}).status_code == 302


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("guessed", NEW, "This is not your password until now."),
        (PASSWORD, "short", "at least 10 characters"),
        (PASSWORD, "1234567890", "entirely numeric"),
        (PASSWORD, "ines@example.org", "too similar"),
        ("", NEW, "This field is required."),
    ],
)
def test_a_wrong_change_gets_a_sentence_and_changes_nothing(ines, old, new, sentence):
    response = signed_in_client(ines).post("/password/", {"old": old, "new": new})
    assert response.status_code == 422
    assert sentence in words_of(response)
    assert holds(ines, PASSWORD)


def test_what_was_typed_as_a_password_is_not_sent_back(ines):
    response = signed_in_client(ines).post("/password/", {"old": "guessed-wrong", "new": NEW})
    assert b"guessed-wrong" not in response.content
    assert NEW.encode() not in response.content


def test_guessing_the_old_password_is_stopped(ines):
    client = signed_in_client(ines)
    for _ in range(8):
        last = client.post("/password/", {"old": "guessed", "new": NEW})
    assert last.status_code == 429


def test_a_new_password_ends_the_links_to_one(ines, link):
    signed_in_client(ines).post("/password/", {"old": PASSWORD, "new": NEW})
    assert Client().get(link).status_code == 410


# by a link


def test_a_link_sets_a_password_and_ends_all_sessions(client, ines, link):
    elsewhere = signed_in_client(ines)
    response = client.post(link, {"new": NEW})
    assert response.headers["Location"] == "/sign-in/"
    assert holds(ines, NEW)
    assert elsewhere.get("/shops/").status_code == 302


def test_a_link_sets_a_password_once(client, ines, link):
    client.post(link, {"new": NEW})
    response = client.post(link, {"new": "another-one-still"})
    assert response.status_code == 410
    assert "This link was used, or its hour is over." in words_of(response)
    assert holds(ines, NEW)


def test_a_link_lives_for_an_hour(client, ines, link):
    row = PasswordReset.objects.get()
    assert row.expires_at - row.created_at == timedelta(hours=1)
    PasswordReset.objects.update(expires_at=AT)
    assert client.get(link).status_code == 410
    assert client.post(link, {"new": NEW}).status_code == 410


def test_a_link_nobody_made_is_no_page(client, ines):
    assert client.get("/password/new/never-made/").status_code == 404


def test_a_weak_password_gets_a_sentence_and_the_link_stays_good(client, ines, link):
    response = client.post(link, {"new": "short"})
    assert response.status_code == 422
    assert "at least 10 characters" in words_of(response)
    assert client.get(link).status_code == 200


def test_the_table_holds_no_secret_of_a_link(link):
    assert link.split("/")[3] not in str(PasswordReset.objects.values().get())


def test_the_page_of_a_link_is_found_and_kept_by_nobody(client, link):
    headers = client.get(link).headers
    assert headers["X-Robots-Tag"] == "noindex, nofollow"
    assert "no-store" in headers["Cache-Control"]


def test_a_link_opens_the_door_that_wrong_guesses_shut(client, ines, link):
    for _ in range(8):
        client.post("/sign-in/", {"username": ines.email, "password": "guessed"})
    client.post(link, {"new": NEW})
    response = client.post("/sign-in/", {"username": ines.email, "password": NEW})
    assert response.status_code == 302


# from the console


def said_by(*words):
    out = StringIO()
    call_command("reset_link", *words, stdout=out)
    return out.getvalue()


def test_the_console_shows_a_link_that_works(client, ines):
    said = said_by("INES@example.org", "--address", "https://panels.example.org/")
    link = said.split("https://panels.example.org")[1].strip()
    assert client.post(link, {"new": NEW}).status_code == 302
    assert holds(ines, NEW)


def test_the_console_knows_only_those_who_sign_in(ines):
    with pytest.raises(CommandError, match="Nobody signs in with maud@example.org"):
        said_by("maud@example.org")


# by mail


def test_without_mail_the_page_says_whom_to_ask(client, ines):
    words = words_of(client.get(LOST))
    assert "Ask whoever runs its machine" in words
    assert "python3 manage.py reset_link" in words


def test_without_mail_nothing_is_made(client, ines):
    client.post(LOST, {"email": ines.email})
    assert not PasswordReset.objects.exists()


def test_with_mail_a_link_comes_that_works(client, ines, mailing):
    client.post(LOST, {"email": "INES@example.org"})
    letter = mail.outbox[0]
    assert letter.to == ["ines@example.org"]
    link = letter.body.split("http://testserver")[1].split()[0]
    client.post(link, {"new": NEW})
    assert holds(ines, NEW)


def test_the_answer_does_not_tell_who_has_an_account(client, ines, mailing):
    answers = [words_of(client.post(LOST, {"email": email})) for email in (ines.email, "nobody@example.org")]
    assert answers[0] == answers[1]
    assert len(mail.outbox) == 1


def test_no_more_than_three_mails_an_hour(client, ines, mailing):
    for _ in range(5):
        client.post(LOST, {"email": ines.email})
    assert len(mail.outbox) == 3


def test_what_is_no_email_gets_a_sentence(client, ines, mailing):
    response = client.post(LOST, {"email": "ines"})
    assert response.status_code == 422
    assert "Enter a valid email address." in words_of(response)


def test_a_mail_server_that_is_away_breaks_no_page(client, ines, mailing, monkeypatch, caplog):
    def away(*args, **kwargs):
        raise ConnectionRefusedError("nobody there")

    monkeypatch.setattr("workshop.views.account.send_mail", away)
    assert client.post(LOST, {"email": ines.email}).status_code == 200
    assert "could not be sent" in caplog.text
