"""The shelf: what stands on it, and in which state."""

import re
from datetime import date, timedelta

import pytest
from django.utils import timezone

from tests.factories import AT, LotFactory, MemberFactory, MovementFactory, ResinFactory, SpeciesFactory
from tests.projects.pages import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


def shelf(member):
    return f"/s/{member.shop.key}/shelf/"


def bundle_lot(member, **more):
    species = more.pop("species", None) or SpeciesFactory(shop=member.shop)
    return LotFactory(
        shop=member.shop,
        kind="wood",
        resin=None,
        part="",
        species=species,
        unit="strips",
        **{"grams": 60, **more},
    )


# what stands there


def test_a_new_shop_is_told_to_begin_with_a_resin(signed_in, member):
    assert "Begin with one resin" in words_of(signed_in(member).get(shelf(member)))


def test_a_shop_with_a_resin_is_told_to_say_what_came_in(signed_in, member):
    ResinFactory(shop=member.shop, name="Tarn 90")
    words = words_of(signed_in(member).get(shelf(member)))
    assert "Nothing on the shelf" in words
    assert "Tarn 90 100 : 45 by mass" in words


def test_a_bottle_shows_code_resin_and_what_is_left(signed_in, member):
    lot = LotFactory(
        shop=member.shop, resin__shop=member.shop, resin__name="Tarn 90", code="A-07", grams=1250
    )
    MovementFactory(shop=member.shop, lot=lot, kind="use", thousandths=-250_000)
    assert "A-07 Tarn 90, part A 1 000 g" in words_of(signed_in(member).get(shelf(member)))


def test_an_inch_shop_reads_ounces(signed_in, member):
    member.shop.units = "inch"
    member.shop.save()
    LotFactory(shop=member.shop, grams=453.59237)
    assert "16 oz" in words_of(signed_in(member).get(shelf(member)))


def test_a_bundle_shows_its_strips(signed_in, member):
    bundle_lot(
        member, code="W-01", species=SpeciesFactory(shop=member.shop, name="black walnut"), thickness_mm=2
    )
    assert "W-01 black walnut 60 strips 2 mm thick" in words_of(signed_in(member).get(shelf(member)))


def states(response):
    """The words of all states on the page."""
    return re.findall(
        r'class="state \w+">.*?</svg>([^<]+)<',
        response.content.decode().split("<main")[1].split("</main>")[0],
        re.DOTALL,
    )


@pytest.mark.parametrize(
    ("lot", "state"),
    [
        ({"grams": 99}, "low"),
        ({"use_by": date(2020, 1, 1)}, "past its date"),
        ({"grams": 5000}, ""),
        ({"use_by": date(2199, 1, 1)}, ""),
    ],
)
def test_a_bottle_shows_its_state(signed_in, member, lot, state):
    LotFactory(shop=member.shop, **lot)
    assert states(signed_in(member).get(shelf(member))) == ([state] if state else [])


def test_an_overdrawn_bottle_asks_to_be_counted(signed_in, member):
    lot = LotFactory(shop=member.shop, grams=100)
    MovementFactory(shop=member.shop, lot=lot, kind="use", thousandths=-140_000)
    assert "count it" in words_of(signed_in(member).get(shelf(member)))


def test_today_is_the_shops_today(signed_in, member):
    """A date is past when the shop's day is over, whatever the day in Greenwich."""
    today = timezone.localdate(timezone=member.shop.tz)
    LotFactory(shop=member.shop, use_by=today)
    assert "past its date" not in words_of(signed_in(member).get(shelf(member)))


def test_another_shops_bottles_stand_elsewhere(signed_in, member):
    LotFactory(code="THEIRS", resin__name="Theirs")
    assert "THEIRS" not in words_of(signed_in(member).get(shelf(member)))


def test_a_lot_taken_off_the_shelf_is_gone(signed_in, member):
    LotFactory(shop=member.shop, code="GONE", removed_at=AT)
    assert "GONE" not in words_of(signed_in(member).get(shelf(member)))


def test_a_full_shelf_has_pages(signed_in, member):
    resin = ResinFactory(shop=member.shop)
    for number in range(25):
        LotFactory(
            shop=member.shop, resin=resin, code=f"T-{number:02d}x", received_on=AT.date() + timedelta(number)
        )
    client = signed_in(member)
    assert "T-24x" not in words_of(client.get(shelf(member)))
    assert "T-24x" in words_of(client.get(shelf(member) + "?page=2"))


@pytest.mark.parametrize("lots", [1, 20])
def test_the_shelf_asks_the_same_of_the_database_however_full_it_is(
    signed_in, member, lots, django_assert_num_queries
):
    LotFactory.create_batch(lots, shop=member.shop)
    for _ in range(lots):
        bundle_lot(member)
    client = signed_in(member)
    with django_assert_num_queries(6):  # session, user, member and shop, count, lots, resins
        client.get(shelf(member))
