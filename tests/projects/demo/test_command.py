"""`manage.py demo`: what it says, and what it refuses."""

import io
from datetime import UTC, datetime

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from projects.demo import keys, load
from projects.management.commands import demo
from tests.factories import AT, MemberFactory, ShopFactory
from workshop.models import Event, Member, Shop

pytestmark = pytest.mark.django_db
PEOPLE = {"tove@hollinquay.example": "first-secret", "pia@hollinquay.example": "other-secret"}


@pytest.fixture
def loads(monkeypatch):
    """The command without its story: what `load` was asked for."""
    asked = []

    def told(anchor, *, zone):
        asked.append((anchor, zone))
        return load.Loaded(ShopFactory(is_demo=True, name="Hollin Quay Panels"), PEOPLE)

    monkeypatch.setattr(load, "load", told)
    return asked


def said(*words):
    out = io.StringIO()
    call_command("demo", *words, stdout=out)
    return out.getvalue()


def test_the_passwords_are_shown_with_their_e_mails(loads):
    told = said()
    assert all(f"{email}  {password}" in told for email, password in PEOPLE.items())
    assert "Hollin Quay Panels is there, after" in told


def test_where_to_go_with_the_passwords_is_said(loads):
    assert (
        f"sign out of your own shop and sign in at {reverse('workshop:sign-in')} with one of them" in said()
    )


def test_a_second_demo_is_refused_unless_asked_for(loads):
    said()
    with pytest.raises(CommandError, match="There is a demo already. With --again"):
        said()
    said("--again")
    assert len(loads) == 2


def test_a_real_shop_is_no_demo(loads):
    ShopFactory()
    said()
    assert len(loads) == 1


def test_the_end_of_the_story_and_its_zone_can_be_said(loads):
    said("--at", "2026-03-10T09:00+01:00", "--zone", "Europe/Berlin")
    assert loads == [(datetime(2026, 3, 10, 8, tzinfo=UTC), "Europe/Berlin")]


def test_what_is_no_zone_is_refused(loads):
    with pytest.raises(CommandError, match="“Mars/Olympus” is no time zone"):
        said("--zone", "Mars/Olympus")


@pytest.mark.parametrize("text", ["2026-03-10T09:00", "tomorrow"])
def test_a_moment_needs_a_zone(loads, text):
    with pytest.raises(CommandError, match="argument --at: invalid moment value"):
        said("--at", text)


def test_the_zone_of_the_machine_is_one_that_tables_know(monkeypatch):
    monkeypatch.setenv("TZ", ":Europe/Lisbon")
    assert demo.zone_of_machine() == "Europe/Lisbon"
    monkeypatch.setenv("TZ", "CET-1CEST")
    assert demo.zone_of_machine() in demo.zoneinfo.available_timezones()


# what `load` does around the story


def test_the_demo_of_before_is_put_away(monkeypatch):
    former = MemberFactory(shop=ShopFactory(is_demo=True))
    real = MemberFactory()
    monkeypatch.setattr(load, "tell", lambda *words: Shop.objects.create(name="new", created_at=AT))
    load.load(AT)
    assert list(Member.objects.present()) == [real]
    assert Event.objects.get(actor=former).why == "a new demo was made"


def test_a_story_that_breaks_off_leaves_no_row_and_no_photo(monkeypatch, settings):
    def breaks_off(anchor, zone, seed, key, passwords):
        shop = Shop.objects.create(name="half", created_at=AT)
        folder = settings.MEDIA_ROOT / "pictures" / str(shop.key)
        folder.mkdir(parents=True)
        (folder / "photo.jpg").write_bytes(b"half")
        raise RuntimeError("the story breaks off")

    monkeypatch.setattr(load, "tell", breaks_off)
    with pytest.raises(RuntimeError, match="breaks off"):
        load.load(AT)
    assert not Shop.objects.exists()
    assert list((settings.MEDIA_ROOT / "pictures").iterdir()) == []


def test_a_story_that_breaks_off_gives_new_rows_keys_of_their_own_again(monkeypatch):
    monkeypatch.setattr(load, "tell", lambda *words: 1 / 0)
    with pytest.raises(ZeroDivisionError, match="division by zero"):
        load.load(AT)
    assert Shop(name="x").key.version == 4


# keys


def test_keys_are_the_same_in_every_run():
    with keys.drawn("a seed") as key:
        first = [Shop(name="x").key, key()]
    with keys.drawn("a seed") as key:
        assert [Shop(name="y").key, key()] == first
    assert first[0] == keys.first("a seed")


def test_a_key_that_was_named_stays():
    with keys.drawn("a seed") as key:
        mine = key()
        assert Shop(name="x", key=mine).key == mine


def test_a_row_of_the_database_keeps_its_key():
    shop = ShopFactory()
    with keys.drawn("a seed"):
        assert Shop.objects.get().key == shop.key
