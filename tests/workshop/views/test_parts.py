import re

import pytest
from django.urls import reverse

from tests.factories import MemberFactory

pytestmark = pytest.mark.django_db
PARTS = [
    "findings",
    "verdict",
    "route",
    "slots",
    "job-bar",
    "stand",
    "pictured",
    "gauge",
    "fold",
    "facts",
    "care",
    "pages",
    "empty",
    "fault",
    "says",
    "river",
    "tbl",
    "pick",
    "typed",
    "photo",
    "alarm",
    "kept",
]
STATES = [
    "clear",
    "caution",
    "stop",
    "running",
    "waiting",
    "low",
    "ageing",
    "past its date",
    "to do",
    "skipped",
]


@pytest.fixture
def member(db):
    return MemberFactory()


@pytest.fixture
def page(signed_in, member):
    return signed_in(member).get(reverse("workshop:parts", args=[member.shop.key])).content.decode()


@pytest.mark.parametrize("part", PARTS)
def test_each_part_of_the_look_is_shown(page, part):
    assert re.search(rf'class="([^"]* )?{part}[ "]', page)


@pytest.mark.parametrize("state", STATES)
def test_each_state_has_its_shape_and_its_word(page, state):
    assert f"</svg>{state}</span>" in page


def test_no_two_things_share_an_id(page):
    ids = re.findall(r' id="([^"]+)"', page)
    assert sorted(ids) == sorted(set(ids))


def test_nobody_else_looks_in(signed_in, member):
    other = MemberFactory()
    assert signed_in(other).get(reverse("workshop:parts", args=[member.shop.key])).status_code == 404


def test_it_is_only_read(signed_in, member):
    assert signed_in(member).post(reverse("workshop:parts", args=[member.shop.key])).status_code == 405


def test_it_asks_the_database_who_is_there_and_no_more(signed_in, member, django_assert_num_queries):
    client = signed_in(member)
    with django_assert_num_queries(3):  # session, user, member and shop
        client.get(reverse("workshop:parts", args=[member.shop.key]))
