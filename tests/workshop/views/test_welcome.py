"""The first set-up: once, by somebody at this machine or with the code of its console."""

import pytest

from config import settings as as_installed
from materials.models import Species
from tests.factories import MemberFactory
from tests.projects.pages import said_at, typed_in, words_of
from workshop import setup_code
from workshop.models import Event, Member, Shop, User

pytestmark = pytest.mark.django_db
HERE = {"headers": {"host": "localhost:8000"}}
URL = "/welcome/"


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()
    return settings.DATA_DIR


def typed(**more):
    return {
        "shop_name": "Tallow Yard",
        "name": "Ines",
        "email": "ines@example.org",
        "password": "bog-oak-and-amber",
        "zone": "Europe/Berlin",
        **more,
    }


def set_up(client, where=HERE, **more):
    return client.post(URL, typed(**more), **where)


# works


def test_a_new_installation_asks_four_things(client):
    assert set(typed_in(client.get(URL, **HERE))) >= {"shop_name", "name", "email", "password"}


def test_the_first_member_is_the_owner_of_the_shop(client):
    set_up(client)
    member = Member.objects.select_related("user", "shop").get()
    assert (member.shop.name, member.role, member.user.email) == ("Tallow Yard", "owner", "ines@example.org")


def test_the_first_member_is_signed_in_and_led_to_now(client):
    response = set_up(client)
    assert response.headers["Location"] == f"/s/{Shop.objects.get().key}/now/"
    assert client.get(response.headers["Location"]).status_code == 200


def test_the_shop_has_the_clock_of_the_browser(client):
    set_up(client, zone="America/Chicago")
    assert Shop.objects.get().zone == "America/Chicago"


@pytest.mark.parametrize("zone", ["", "Mars/Olympus", "../../etc/passwd"])
def test_a_zone_that_is_none_becomes_utc(client, zone):
    set_up(client, zone=zone)
    assert Shop.objects.get().zone == "UTC"


def test_the_shop_finds_the_handbooks_woods(client):
    set_up(client)
    assert Species.objects.of(Shop.objects.get()).filter(name="black walnut").exists()


def test_the_founding_is_in_history(client):
    set_up(client)
    assert Event.objects.get(verb="founded").actor.name == "Ines"


def test_the_password_is_kept_hashed(client, settings):
    settings.PASSWORD_HASHERS = as_installed.PASSWORD_HASHERS
    set_up(client)
    assert User.objects.get().password.startswith("argon2$argon2id$")


def test_an_email_is_kept_in_lower_case(client):
    set_up(client, email=" Ines@Example.ORG ")
    assert User.objects.get().email == "ines@example.org"


# once only


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_second_visit_is_sent_home(client, method):
    MemberFactory()
    response = getattr(client, method)(URL, typed(), **HERE)
    assert (response.status_code, response.headers["Location"]) == (302, "/")


def test_a_second_visit_founds_nothing(client):
    MemberFactory()
    set_up(client)
    assert Shop.objects.count() == User.objects.count() == 1


def test_a_double_send_founds_one_shop(client):
    set_up(client)
    set_up(client)
    assert Shop.objects.count() == User.objects.count() == 1


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_another_method_is_refused(client, method):
    assert getattr(client, method)(URL, **HERE).status_code == 405


# bad input


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("shop_name", "", "This field is required."),
        ("shop_name", "   ", "This field is required."),
        ("name", "", "This field is required."),
        ("name", "x" * 81, "Ensure this value has at most 80 characters (it has 81)."),
        ("email", "", "This field is required."),
        ("email", "ines", "Enter a valid email address."),
        ("email", "ines@", "Enter a valid email address."),
        ("email", f"{'x' * 250}@example.org", "Ensure this value has at most 254 characters (it has 262)."),
        ("password", "", "This field is required."),
        ("password", "short", "This password is too short."),
        ("password", "1234567890123", "This password is entirely numeric."),
        ("password", "password123", "This password is too common."),
        ("password", "ines@example", "The password is too similar to the email."),
    ],
)
def test_bad_input_gets_a_sentence_at_its_field(client, field, text, sentence):
    response = set_up(client, **{field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert not User.objects.exists()


def test_bad_input_loses_nothing_but_the_password(client):
    found = typed_in(set_up(client, email="ines"))
    assert {name: found[name] for name in ("shop_name", "name", "email", "zone")} == {
        "shop_name": "Tallow Yard",
        "name": "Ines",
        "email": "ines",
        "zone": "Europe/Berlin",
    }


def test_a_password_is_never_sent_back(client):
    assert b"bog-oak-and-amber" not in set_up(client, email="ines").content


def test_nobody_keeps_a_copy_of_the_page(client):
    assert "no-store" in client.get(URL, **HERE).headers["Cache-Control"]


# the code of the console


AFAR = {
    "another machine": {"headers": {"host": "localhost"}, "REMOTE_ADDR": "192.168.1.20"},
    "another name": {"headers": {"host": "testserver"}},
    "a proxy on this machine": {"headers": {"host": "localhost", "x-forwarded-for": "192.168.1.20"}},
    "a proxy that says Forwarded": {"headers": {"host": "localhost", "forwarded": "for=192.168.1.20"}},
    "no address at all": {"headers": {"host": "localhost"}, "REMOTE_ADDR": ""},
}


@pytest.mark.parametrize("where", AFAR.values(), ids=AFAR)
def test_from_afar_the_code_is_asked(client, where):
    assert "code" in typed_in(client.get(URL, **where))


@pytest.mark.parametrize("host", ["localhost", "localhost:8000", "127.0.0.1:8000", "[::1]", "[::1]:8000"])
def test_at_this_machine_no_code_is_asked(client, settings, host):
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
    address = "::1" if host.startswith("[") else "127.0.0.1"
    assert "code" not in typed_in(client.get(URL, headers={"host": host}, REMOTE_ADDR=address))


@pytest.mark.parametrize("name", ["PRODUCTION", "BEHIND_PROXY"])
def test_behind_a_proxy_that_says_nothing_the_code_is_asked(client, settings, name):
    setattr(settings, name, True)
    assert "code" in typed_in(client.get(URL, **HERE))


@pytest.mark.parametrize("where", AFAR.values(), ids=AFAR)
@pytest.mark.parametrize("code", ["", "AAAAAAAA", "x"])
def test_without_the_right_code_nobody_founds_from_afar(client, where, code):
    setup_code.current_code()
    response = set_up(client, where, code=code)
    assert response.status_code == 422
    assert "This is not the code." in said_at(response, "code")
    assert not User.objects.exists()


@pytest.mark.parametrize("form", ["{0}{1}", "{0}-{1}", " {0} {1} "])
def test_with_the_code_the_shop_is_founded_from_afar(client, form):
    code = setup_code.current_code()
    response = set_up(client, AFAR["another machine"], code=form.format(code[:4], code[4:]).lower())
    assert response.status_code == 302
    assert Shop.objects.count() == 1


def test_a_wrong_code_loses_nothing_but_the_password(client):
    setup_code.current_code()
    found = typed_in(set_up(client, AFAR["another machine"], code="WRONG"))
    kept = [found[name] for name in ("shop_name", "email", "code", "password")]
    assert kept == ["Tallow Yard", "ines@example.org", "WRONG", ""]


def test_the_code_is_spent_by_the_founding(client, folder):
    set_up(client, AFAR["another machine"], code=setup_code.current_code())
    assert not (folder / "setup-code").exists()


def test_a_code_is_made_for_the_first_who_asks_from_afar(client, folder):
    client.get(URL, **AFAR["another machine"])
    assert (folder / "setup-code").exists()


def test_a_page_from_afar_does_not_show_the_code(client):
    response = client.get(URL, **AFAR["another machine"])
    assert setup_code.current_code() not in words_of(response)


# the door


def test_a_new_installation_leads_everybody_to_the_set_up(client):
    assert client.get("/").headers["Location"] == URL
    assert client.get("/sign-in/").headers["Location"] == URL
