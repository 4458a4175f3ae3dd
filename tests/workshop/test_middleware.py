"""The clock on the wall: each page in the time of its shop, none left for the next."""

import pytest
from django.utils import timezone

from tests.factories import AT, MemberFactory
from tests.projects.pages import words_of
from workshop import history

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("zone", "said"), [("Asia/Tokyo", "18:00"), ("America/Chicago", "04:00"), ("UTC", "09:00")]
)
def test_a_page_shows_the_time_of_its_shop(signed_in, zone, said):
    member = MemberFactory(shop__zone=zone)
    history.record(member, "changed", member, at=AT, label="Ines")
    assert f"10 March 2026 {said} Ines" in words_of(
        signed_in(member).get(f"/s/{member.shop.key}/shop/history/")
    )


def test_a_page_leaves_no_time_zone_for_the_next(signed_in):
    member = MemberFactory(shop__zone="Asia/Tokyo")
    before = timezone.get_current_timezone_name()
    signed_in(member).get(f"/s/{member.shop.key}/now/")
    assert timezone.get_current_timezone_name() == before != "Asia/Tokyo"
