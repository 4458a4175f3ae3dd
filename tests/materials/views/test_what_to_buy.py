"""What to buy: packs, days on the road, the last day to order, and the list to take along."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.factories import (
    AT,
    Bench,
    MemberFactory,
    NeedFactory,
    ProjectFactory,
    SpeciesFactory,
    SupplyFactory,
    SupplyLotFactory,
)
from tests.projects.pages import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


def url_of(member):
    return f"/s/{member.shop.key}/shelf/buy/"


def wanted(member, *, days=None, lead_days=4, code="033", **supply):
    """Sixty discs wanted, for a project that is due in so many days."""
    today = timezone.localdate(timezone=member.shop.tz)
    due_on = None if days is None else today + timedelta(days)
    project = ProjectFactory(shop=member.shop, code=code, title="Lantern", due_on=due_on)
    row = {"shop": member.shop, "name": "Discs", "unit": "pieces", "lead_days": lead_days, **supply}
    return NeedFactory(project=project, supply=SupplyFactory(**row), thousandths=60_000)


def page(signed_in, member):
    return words_of(signed_in(member).get(url_of(member)))


def test_a_full_shelf_says_so(signed_in, member):
    assert "nothing The shelf has what the open projects want." in page(signed_in, member)


def test_what_is_missing_is_said_with_packs_and_for_whom(signed_in, member):
    wanted(member, pack=50)
    words = page(signed_in, member)
    assert "Discs 60 pieces short A pack holds 50 pieces: 2 packs. No date is set for it." in words
    assert "For 033 Lantern." in words


@pytest.mark.parametrize(
    ("days", "sentence"),
    [(3, "late It had to be ordered by"), (4, "Order today : 4 days on the road"), (9, "Order by ")],
)
def test_the_last_day_to_order_is_said(signed_in, member, days, sentence):
    wanted(member, days=days)
    words = page(signed_in, member)
    assert sentence in words
    assert "and 033 Lantern is due on" in words


def test_days_on_the_road_that_nobody_wrote_down_are_said_to_be_unknown(signed_in, member):
    wanted(member, days=9, lead_days=None)
    words = page(signed_in, member)
    assert "How long it is on the road is not known; 033 Lantern is due on" in words


def test_a_planned_step_says_by_when_before_the_due_date_does(signed_in):
    bench = Bench(lead_days=2)
    for lot in (bench.lot_a, bench.lot_b):
        lot.removed_at = AT
        lot.save()
    bench.step.planned_start = timezone.now() + timedelta(30)
    bench.step.save()
    from projects.actions import needs

    needs.follow(bench.block, at=AT, by=bench.member)
    words = page(signed_in, bench.member)
    assert "2 days on the road, and “Pour Block A” of" in words
    assert "of A short" in words
    assert "of B short" in words


def test_strips_are_said_with_their_sizes(signed_in, member):
    need = wanted(member)
    walnut = SpeciesFactory(shop=member.shop, name="black walnut")
    sizes = {"thickness_mm": 2.0, "width_mm": 16.0, "length_mm": 600.0}
    NeedFactory(project=need.project, supply=None, species=walnut, unit="strips", thousandths=22_000, **sizes)
    words = page(signed_in, member)
    assert "black walnut, 2 mm 22 strips short 16 mm wide, 600 mm long." in words
    assert "black walnut 2 mm × 16 mm × 600 mm: 22 strips" in words


def test_the_list_to_take_along_says_it_in_a_line_each(signed_in, member):
    wanted(member, pack=50)
    SupplyLotFactory(shop=member.shop, supply__name="Mould wax", level="low")
    assert "Discs: 60 pieces (2 packs) Mould wax: low" in page(signed_in, member)


def test_another_shops_projects_want_nothing_here(signed_in, member):
    wanted(MemberFactory())
    assert "Discs" not in page(signed_in, member)


@pytest.mark.parametrize("wants", [1, 20])
def test_the_page_asks_the_same_however_much_is_wanted(signed_in, member, wants, django_assert_num_queries):
    for number in range(wants):
        wanted(member, name=f"discs {number}", code=f"L-{number}")
        SupplyLotFactory(shop=member.shop, level="low")
    client = signed_in(member)
    with django_assert_num_queries(6):  # session, user, member and shop, wants, lots, low
        client.get(url_of(member))


def test_what_is_gone_is_ordered_now_whenever_it_is_wanted(signed_in, member):
    """Tape that is not there is no thing to wait with until four days before the project is due."""
    wanted(member, days=60, name="Release tape", unit="level")
    words = page(signed_in, member)
    assert "Order it now : 4 days on the road; 033 Lantern is due on" in words
    assert "Order by" not in words


def test_of_what_is_gone_the_road_may_be_unknown(signed_in, member):
    wanted(member, days=60, name="Release tape", unit="level", lead_days=None)
    assert "Order it now ; 033 Lantern is due on" in page(signed_in, member)
