"""History, readable: newest first, in the shop's time, only of this shop."""

from datetime import timedelta

import pytest

from tests.factories import AT, MemberFactory
from tests.projects.pages import words_of
from workshop import history

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Asia/Tokyo")


def url_of(member, query=""):
    return f"/s/{member.shop.key}/shop/history/{query}"


def write(member, count=1, **more):
    for number in range(count):
        at = AT + timedelta(minutes=number)
        history.record(member, "changed", member, at=at, label=f"thing {number}", **more)


def test_a_line_tells_when_who_what_and_why(signed_in, member):
    write(member, before={"day_c": 20}, after={"day_c": None}, why="a cold week")
    assert (
        "Tuesday, 10 March 2026 18:00 Ines changed thing 0 usually by day 20 °C then – a cold week"
        in words_of(signed_in(member).get(url_of(member)))
    )


def test_the_newest_line_stands_on_top(signed_in, member):
    write(member, 2)
    words = words_of(signed_in(member).get(url_of(member)))
    assert words.index("thing 1") < words.index("thing 0")


def test_another_shops_lines_are_not_here(signed_in, member):
    write(MemberFactory())
    assert "thing 0" not in words_of(signed_in(member).get(url_of(member)))


def test_what_people_typed_is_text(signed_in, member):
    write(member, why="<script>alert(1)</script>")
    assert b"<script>alert" not in signed_in(member).get(url_of(member)).content


@pytest.mark.parametrize(
    ("query", "shown"), [("", "thing 50"), ("?page=2", "thing 0"), ("?page=last", "thing 50")]
)
def test_fifty_lines_make_a_page(signed_in, member, query, shown):
    write(member, 51)
    words = words_of(signed_in(member).get(url_of(member, query)))
    assert shown in words
    assert ("thing 0 " in words) == (shown == "thing 0")


@pytest.mark.parametrize("lines", [1, 40])
def test_the_page_asks_the_same_of_the_database_however_long_history_is(
    signed_in, member, lines, django_assert_num_queries
):
    write(member, lines)
    client = signed_in(member)
    with django_assert_num_queries(6):  # session, user, member and shop, people, count, lines
        client.get(url_of(member))
