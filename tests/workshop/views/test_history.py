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
    # session, user, member and shop, people, count, lines, what their lots are measured in
    with django_assert_num_queries(7):
        client.get(url_of(member))


def test_one_persons_lines_can_be_read_alone(signed_in, member):
    joris = MemberFactory(shop=member.shop, name="Joris")
    write(member)
    history.record(joris, "changed", joris, at=AT, label="the other thing")
    words = words_of(signed_in(member).get(url_of(member, f"?who={joris.key}")))
    assert "the other thing" in words
    assert "thing 0" not in words


@pytest.mark.parametrize(
    ("kind", "shown"),
    [
        ("people", "invited"),
        ("shelf", "took from"),
        ("bench", "logged mixed"),
        ("machines", "retired the machine"),
    ],
)
def test_one_kind_of_lines_can_be_read_alone(signed_in, member, kind, shown):
    for verb in ("invited", "use", "logged mixed", "retired the machine"):
        history.record(member, verb, member, at=AT, label="this")
    words = words_of(signed_in(member).get(url_of(member, f"?kind={kind}")))
    assert words.count("Ines") >= 1
    assert [
        verb
        for verb in ("invited", "took from", "logged mixed", "retired the machine")
        if f"{verb} this" in words
    ] == [shown]


@pytest.mark.parametrize("query", ["?kind=nonsense", "?who=nobody", "?who=&kind="])
def test_a_choice_that_is_none_shows_all(signed_in, member, query):
    write(member)
    assert "thing 0" in words_of(signed_in(member).get(url_of(member, query)))


def test_a_kind_without_lines_says_so(signed_in, member):
    assert "Nothing of that kind" in words_of(signed_in(member).get(url_of(member, "?kind=machines")))


def test_another_shops_people_are_not_offered(signed_in, member):
    MemberFactory(name="Stranger")
    assert "Stranger" not in words_of(signed_in(member).get(url_of(member)))


def test_every_verb_of_this_room_belongs_to_one_kind():
    from workshop.told import GROUPS

    verbs = [verb for _, group in GROUPS.values() for verb in group]
    assert len(verbs) == len(set(verbs))
