"""The page of the opening hours."""

from datetime import date, time, timedelta

import pytest
from django.utils import timezone

from tests.factories import MemberFactory
from tests.projects.pages import act, said_at, typed_in, words_of
from workshop import hours
from workshop.changes import hours as changes
from workshop.models import Event, Shop

pytestmark = pytest.mark.django_db
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


@pytest.fixture
def owner():
    return MemberFactory(shop__name="Tallow Yard")


def at(member, path=""):
    return f"/s/{member.shop.key}/shop/hours/{path}"


def typed(**more):
    return act(**{**dict.fromkeys(DAYS, "8–17"), **more})


def shop_of(member):
    return Shop.objects.get(pk=member.shop_id)


def soon(days=9):
    return timezone.localdate() + timedelta(days=days)


def test_a_new_shop_sees_a_guess(signed_in, owner):
    response = signed_in(owner).get(at(owner))
    assert "A guess until you set it." in words_of(response)
    assert typed_in(response)["monday"] == "08:00–17:00"
    assert typed_in(response)["sunday"] == "shut"


def test_an_owner_keeps_a_week(signed_in, owner):
    response = signed_in(owner).post(at(owner), typed(saturday="9–12, 18–2", sunday=""))
    assert response.headers["Location"] == at(owner)
    week = hours.week_of(shop_of(owner))
    assert (week[5], week[6]) == ([(time(9), time(12)), (time(18), time(2))], [])


def test_a_week_sent_twice_is_one_line_of_history(signed_in, owner):
    client, sent = signed_in(owner), typed()
    client.post(at(owner), sent)
    client.post(at(owner), sent)
    assert Event.objects.count() == 1


@pytest.mark.parametrize("text", ["mornings", "8–13, 12–17", "8–30", "x" * 121])
def test_wrong_hours_get_a_sentence_and_stay(signed_in, owner, text):
    response = signed_in(owner).post(at(owner), typed(saturday=text))
    assert response.status_code == 422
    assert said_at(response, "saturday")
    assert typed_in(response)["saturday"] == text
    assert shop_of(owner).hours_set_at is None


def test_a_day_that_differs_is_listed_and_taken_out(signed_in, owner):
    client, day = signed_in(owner), soon()
    client.post(at(owner, "days/"), act(date=str(day), hours="", note="stocktaking"))
    assert f"{day:%Y} shut, stocktaking" in words_of(client.get(at(owner)))
    client.post(at(owner, f"days/{day}/as-usual/"), act())
    assert hours.exceptions_of(owner.shop) == {}


def test_a_past_day_is_not_listed(signed_in, owner):
    changes.set_day(owner, soon(-3), [], at=timezone.now(), note="stocktaking")
    assert "None to come." in words_of(signed_in(owner).get(at(owner)))


@pytest.mark.parametrize(
    ("sent", "name"),
    [({"date": "soon", "hours": ""}, "date"), ({"date": "2026-12-24", "hours": "8"}, "hours")],
)
def test_a_wrong_day_gets_a_sentence_and_stays(signed_in, owner, sent, name):
    response = signed_in(owner).post(at(owner, "days/"), act(**sent))
    assert response.status_code == 422
    assert said_at(response, name)
    assert hours.exceptions_of(owner.shop) == {}


def test_an_address_with_no_date_is_no_page(signed_in, owner):
    assert signed_in(owner).post(at(owner, "days/2026-13-40/as-usual/"), act()).status_code == 404


def test_the_last_change_is_put_back(signed_in, owner):
    client = signed_in(owner)
    client.post(at(owner), typed())
    client.post(at(owner), typed(monday="shut"))
    event = changes.last_change(owner.shop)
    assert "monday 08:00–17:00 then shut" in words_of(client.get(at(owner)))
    client.post(at(owner, f"{event.key}/put-back/"), act())
    assert hours.week_of(shop_of(owner))[0] == [(time(8), time(17))]


def test_a_change_that_is_not_the_last_says_so(signed_in, owner):
    client = signed_in(owner)
    client.post(at(owner), typed())
    event = changes.last_change(owner.shop)
    client.post(at(owner), typed(monday="shut"))
    response = client.post(at(owner, f"{event.key}/put-back/"), act())
    assert response.status_code == 422
    assert "changed again since" in words_of(response)


def test_a_line_of_another_kind_is_nothing_to_put_back(signed_in, owner):
    client = signed_in(owner)
    client.post(f"/s/{owner.shop.key}/shop/people/invite/", act(role="maker"))
    event = Event.objects.get()
    assert client.post(at(owner, f"{event.key}/put-back/"), act()).status_code == 404


@pytest.mark.parametrize("role", ["maker", "viewer"])
def test_others_than_the_owner_only_read_them(signed_in, owner, role):
    other = MemberFactory(shop=owner.shop, role=role)
    client = signed_in(other)
    assert "Only an owner changes these." in words_of(client.get(at(owner)))
    assert client.post(at(owner), typed(monday="shut")).status_code == 403
    assert client.post(at(owner, "days/"), act(date="2026-12-24")).status_code == 403
    assert shop_of(owner).hours_set_at is None


@pytest.mark.parametrize("days", [1, 30])
def test_the_page_asks_the_same_of_the_database_however_many_days_differ(
    signed_in, owner, days, django_assert_num_queries
):
    changes.set_week(owner, hours.USUAL, at=timezone.now())
    for number in range(days):
        changes.set_day(owner, date(2030, 1, 1 + number), [], at=timezone.now())
    client = signed_in(owner)
    with django_assert_num_queries(7):  # session, user, member and shop, last change, week, days, notes
        client.get(at(owner))
