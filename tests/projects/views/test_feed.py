"""The page of one's calendar, and the address that a calendar program asks without signing in."""

import re

import icalendar
import pytest
from django.urls import reverse
from django.utils import timezone

from tests.factories import Bench, MemberFactory
from tests.projects.pages import act, at, words_of
from workshop import tokens
from workshop.models import Event, FeedLink

pytestmark = pytest.mark.django_db


def page(bench):
    return at("feed", bench.shop)


def address_on(response):
    found = re.search(r'value="(http://testserver/calendar/[^"]+\.ics)"', response.content.decode())
    return found and found.group(1)


def made(client, bench):
    """The address as the page shows it once."""
    client.post(page(bench), act())
    return address_on(client.get(page(bench)))


def test_the_page_says_what_a_calendar_is_good_for(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(page(bench)))
    assert "no good for a pot life" in words
    assert "Make an address" in words


def test_an_address_is_shown_once(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    assert made(client, bench).startswith("http://testserver/calendar/")
    again = client.get(page(bench))
    assert address_on(again) is None
    assert "can’t be shown again" in words_of(again)


def test_an_address_for_this_computer_alone_says_so(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(page(bench), act())
    assert "this computer only" in words_of(client.get(page(bench), headers={"host": "127.0.0.1:8000"}))


def test_only_a_fingerprint_of_the_address_is_kept(signed_in):
    bench = Bench()
    token = made(signed_in(bench.member), bench).split("/")[-1].removesuffix(".ics")
    link = FeedLink.objects.get()
    assert link.token_hash == tokens.fingerprint(token)
    assert len(token) >= 43  # 256 bits
    assert token not in str(list(FeedLink.objects.values()))


def test_a_calendar_program_reads_it_without_signing_in(signed_in, client):
    bench = Bench()
    bench.step.planned_start = timezone.now()
    bench.step.planned_end = timezone.now()
    bench.step.save()
    address = made(signed_in(bench.member), bench)
    response = client.get(address)
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    assert "no-store" in response["Cache-Control"]
    assert response["X-Robots-Tag"] == "noindex, nofollow"
    (event,) = icalendar.Calendar.from_ical(response.content).walk("VEVENT")
    assert str(event["url"]) == f"http://testserver/s/{bench.shop.key}/bench/{bench.step.key}/"


def test_a_secret_that_is_none_is_no_such_page(client):
    assert client.get(reverse("calendar", args=["x" * 43])).status_code == 404


def test_an_address_that_was_taken_back_is_no_such_page(signed_in, client):
    bench = Bench()
    member = signed_in(bench.member)
    address = made(member, bench)
    member.post(at("feed-revoke", bench.shop), act())
    assert client.get(address).status_code == 404
    assert "Make an address" in words_of(member.get(page(bench)))


def test_another_address_takes_the_place_of_the_first(signed_in, client):
    bench = Bench()
    member = signed_in(bench.member)
    first, second = made(member, bench), made(member, bench)
    assert first != second
    assert [client.get(address).status_code for address in (first, second)] == [404, 200]


def test_the_address_of_somebody_who_has_left_is_no_such_page(signed_in, client):
    bench = Bench()
    maud = MemberFactory(shop=bench.shop, name="Maud", role="maker")
    address = made(signed_in(maud), bench)
    maud.left_at = timezone.now()
    maud.save()
    assert client.get(address).status_code == 404


def test_asked_too_often_it_says_so(signed_in, client):
    bench = Bench()
    address = made(signed_in(bench.member), bench)
    statuses = [client.get(address).status_code for _ in range(21)]
    assert statuses == [200] * 20 + [429]


def test_guessing_is_slowed_down_too(client, settings):
    settings.CACHES = {
        "default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache", "LOCATION": "g"}
    }
    statuses = [client.get(reverse("calendar", args=[f"{n:043d}"])).status_code for n in range(21)]
    assert statuses == [404] * 20 + [429]


def test_an_address_sent_for_twice_is_made_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act()
    for _ in range(2):
        client.post(page(bench), sent)
    assert FeedLink.objects.count() == 1


def test_one_is_never_shown_the_address_of_another(signed_in):
    bench = Bench()
    maud = MemberFactory(shop=bench.shop, name="Maud", role="viewer")
    signed_in(maud).post(page(bench), act())
    assert address_on(signed_in(bench.member).get(page(bench))) is None


def test_history_says_that_an_address_was_made_and_taken_back(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    made(client, bench)
    client.post(at("feed-revoke", bench.shop), act())
    told = Event.objects.filter(target_label="their calendar").order_by("pk").values_list("verb", flat=True)
    assert list(told) == ["made the address of", "took back the address of"]


def test_after_a_change_of_the_installations_secret_an_unseen_address_is_not_shown(signed_in, settings):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(page(bench), act())
    link = FeedLink.objects.get()
    link.token_hash = tokens.fingerprint("made with another secret")
    link.save()
    assert address_on(client.get(page(bench))) is None
