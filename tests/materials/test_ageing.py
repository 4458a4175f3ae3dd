"""What has to be looked after, and from which day on."""

from datetime import date, timedelta

import pytest

from materials import ageing
from materials.models import Lot
from materials.months import months_from
from tests.factories import AT, LotFactory, MovementFactory, ResinFactory, ShopFactory, SupplyLotFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 3, 10)


@pytest.fixture
def shop():
    return ShopFactory()


def bottle(shop, *, keeps=None, **more):
    resin = ResinFactory(shop=shop, shelf_months_open=keeps)
    return LotFactory(shop=shop, resin=resin, **more)


def found(shop):
    return [(row.lot.code, row.state, row.days) for row in ageing.ageing(shop, TODAY)]


@pytest.mark.parametrize(
    ("use_by", "said"),
    [
        (TODAY - timedelta(60), [("X", "past", 60)]),
        (TODAY - timedelta(1), [("X", "past", 1)]),
        (TODAY, [("X", "soon", 0)]),
        (TODAY + timedelta(30), [("X", "soon", 30)]),
        (TODAY + timedelta(31), []),
        (None, []),
    ],
)
def test_a_date_is_pointed_out_from_thirty_days_before_it(shop, use_by, said):
    bottle(shop, code="X", use_by=use_by)
    assert found(shop) == said


@pytest.mark.parametrize(
    ("opened_on", "said"),
    [
        (date(2025, 9, 9), [("X", "open", 182)]),
        (date(2025, 9, 10), []),  # it keeps to today
        (date(2026, 1, 1), []),
        (None, []),
    ],
)
def test_a_bottle_is_pointed_out_once_it_is_open_longer_than_its_sheet_says(shop, opened_on, said):
    bottle(shop, code="X", keeps=6, opened_on=opened_on)
    assert found(shop) == said


def test_how_long_each_keeps_is_its_own_sheets_matter(shop):
    for months in (1, 3, 12, None):
        bottle(shop, code=f"{months}", keeps=months, opened_on=date(2026, 1, 9))
    assert [code for code, *_ in found(shop)] == ["1"]


def test_what_is_past_its_date_is_not_said_to_be_open_too_long_as_well(shop):
    bottle(shop, code="X", keeps=1, opened_on=date(2025, 1, 1), use_by=date(2026, 3, 1))
    assert found(shop) == [("X", "past", 9)]


def test_what_is_past_stands_before_what_is_open_long_and_what_comes_soon(shop):
    bottle(shop, code="soon", use_by=TODAY)
    bottle(shop, code="open", keeps=1, opened_on=date(2026, 1, 1))
    bottle(shop, code="past", use_by=TODAY - timedelta(2))
    bottle(shop, code="older", use_by=TODAY - timedelta(9))
    assert [code for code, *_ in found(shop)] == ["older", "past", "open", "soon"]


def test_what_is_used_up_taken_off_or_gone_is_no_matter(shop):
    past = TODAY - timedelta(1)
    MovementFactory(shop=shop, lot=bottle(shop, use_by=past, grams=5), kind="use", thousandths=-5000)
    bottle(shop, use_by=past, removed_at=AT)
    SupplyLotFactory(shop=shop, use_by=past, level="gone")
    assert found(shop) == []


def test_a_finish_has_a_date_too(shop):
    SupplyLotFactory(shop=shop, code="F-01", use_by=TODAY)
    assert found(shop) == [("F-01", "soon", 0)]


def test_another_shops_lots_are_its_own_matter(shop):
    bottle(ShopFactory(), use_by=TODAY)
    assert found(shop) == []


# once it is opened


@pytest.mark.parametrize(
    ("keeps", "use_by", "proposed"),
    [
        (6, None, date(2026, 9, 10)),
        (6, date(2026, 5, 1), date(2026, 5, 1)),
        (6, date(2027, 5, 1), date(2026, 9, 10)),
        (None, date(2027, 5, 1), date(2027, 5, 1)),
        (None, None, None),
    ],
)
def test_the_earlier_of_label_and_sheet_is_proposed(shop, keeps, use_by, proposed):
    assert ageing.proposed_use_by(bottle(shop, keeps=keeps, use_by=use_by), TODAY) == proposed


@pytest.mark.parametrize(
    ("day", "months", "found"),
    [
        (date(2026, 3, 10), 12, date(2027, 3, 10)),
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2028, 1, 31), 1, date(2028, 2, 29)),
        (date(2026, 1, 15), -1, date(2025, 12, 15)),
        (date(2026, 12, 31), 2, date(2027, 2, 28)),
        (date(2026, 3, 10), 0, date(2026, 3, 10)),
    ],
)
def test_months_are_counted_as_labels_do(day, months, found):
    assert months_from(day, months) == found


# tape and the like


def test_what_is_low_or_gone_is_pointed_out_once_no_other_has_enough(shop):
    low = SupplyLotFactory(shop=shop, level="low")
    gone = SupplyLotFactory(shop=shop, level="gone")
    kept = SupplyLotFactory(shop=shop, level="low")
    SupplyLotFactory(shop=shop, supply=kept.supply)
    SupplyLotFactory(shop=shop, level="gone", removed_at=AT)
    assert ageing.running_low(shop) == [gone, low]


def test_a_roll_that_was_taken_off_does_not_count_as_enough(shop):
    low = SupplyLotFactory(shop=shop, level="low")
    SupplyLotFactory(shop=shop, supply=low.supply, removed_at=AT)
    assert ageing.running_low(shop) == [low]


def test_a_lot_that_keeps_to_this_very_day_is_no_longer_asked_about(shop):
    """The question of months is asked roughly; the answer is exact."""
    lot = bottle(shop, keeps=6, opened_on=date(2025, 9, 10))
    assert list(Lot.objects.ageing(TODAY, {6})) == [lot]
    assert ageing.aged(lot, TODAY) is None


def test_a_bottle_lasts_until_the_first_day_that_its_label_or_its_sheet_says():
    opened, came = date(2026, 1, 15), date(2025, 6, 1)
    assert ageing.last_day(date(2027, 1, 1), opened, came, 6, 12) == date(2026, 7, 15)
    assert ageing.last_day(date(2026, 3, 1), opened, came, 6, 12) == date(2026, 3, 1)
    assert ageing.last_day(None, None, came, 6, 12) == date(2026, 6, 1)
    assert ageing.last_day(date(2027, 1, 1), None, came, 6, 12) == date(2027, 1, 1)
    assert ageing.last_day(None, None, came, None, None) is None
