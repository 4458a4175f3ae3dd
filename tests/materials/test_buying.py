"""What is wanted against what stands there: who is served, what is missing, in how many packs, by when."""

import uuid
from datetime import date, timedelta

import pytest

from materials import buying
from materials.wanted import WANTS, Want
from tests.factories import (
    AT,
    LotFactory,
    MovementFactory,
    ResinFactory,
    ShopFactory,
    SpeciesFactory,
    SupplyFactory,
    SupplyLotFactory,
    WoodLotFactory,
)

pytestmark = pytest.mark.django_db
TODAY = date(2026, 3, 10)
SIZES = {"thickness_mm": 2.0, "width_mm": 25.0, "length_mm": 600.0}


@pytest.fixture
def shop():
    return ShopFactory()


@pytest.fixture
def wanted(monkeypatch):
    """What the rooms above want, as this test says."""
    found = []
    monkeypatch.setattr("materials.wanted.WANTS", [lambda shop: found])
    return found


@pytest.fixture
def resin(shop):
    return ResinFactory(shop=shop, name="Tarn 90", parts_a=100, parts_b=50, pack_g=1500, lead_days=3)


def want(amount, *, on=None, project="033 Lantern", unit="g", **more):
    return Want(
        key=uuid.uuid4(), project=project, project_key=project, unit=unit, amount=amount, on=on, **more
    )


def of(resin, amount, part="A", **more):
    return want(amount, resin=resin, part=part, **more)


def missing(shop):
    return [row.missing for row in buying.serve(shop, TODAY)]


# who is served


def test_what_the_shelf_holds_is_not_missing(shop, wanted, resin):
    lot = LotFactory(shop=shop, resin=resin, grams=800)
    wanted.append(of(resin, 500))
    (row,) = buying.serve(shop, TODAY)
    assert (row.found, row.missing, row.lots) == (500, 0, ((lot.code, lot.key),))


def test_what_is_missing_is_what_the_lots_together_lack(shop, wanted, resin):
    for grams in (300, 150):
        LotFactory(shop=shop, resin=resin, grams=grams)
    wanted.append(of(resin, 500))
    assert missing(shop) == [50]


def test_who_needs_it_first_is_served_first(shop, wanted, resin):
    LotFactory(shop=shop, resin=resin, grams=700)
    wanted += [
        of(resin, 500, on=TODAY + timedelta(9), project="2"),
        of(resin, 500, on=TODAY, project="1"),
        of(resin, 100, project="3"),
    ]
    assert [(row.want.project, row.missing) for row in buying.serve(shop, TODAY)] == [
        ("1", 0), ("2", 300), ("3", 100),
    ]  # fmt: skip


def test_part_a_does_not_serve_for_part_b(shop, wanted, resin):
    LotFactory(shop=shop, resin=resin, part="A")
    wanted.append(of(resin, 100, part="B"))
    assert missing(shop) == [100]


@pytest.mark.parametrize(
    ("lot", "left"),
    [
        ({"use_by": TODAY - timedelta(1)}, 100),
        ({"use_by": TODAY}, 0),
        ({"removed_at": AT}, 100),
        ({"condition": "crystallised"}, 0),
    ],
)
def test_what_is_past_its_date_or_off_the_shelf_is_not_counted_on(shop, wanted, resin, lot, left):
    LotFactory(shop=shop, resin=resin, **lot)
    wanted.append(of(resin, 100))
    assert missing(shop) == [left]


def test_a_bottle_that_runs_out_of_date_before_it_is_wanted_is_not_counted_on(shop, wanted, resin):
    LotFactory(shop=shop, resin=resin, grams=500, use_by=TODAY + timedelta(days=10))
    wanted.append(want(400, resin=resin, part="A", on=TODAY + timedelta(days=9)))
    assert missing(shop) == [0]
    wanted[:] = [want(400, resin=resin, part="A", on=TODAY + timedelta(days=11))]
    assert missing(shop) == [400]


def test_a_bottle_open_longer_than_its_sheet_says_is_not_counted_on(shop, wanted, resin):
    resin.shelf_months_open = 6
    resin.save()
    LotFactory(shop=shop, resin=resin, grams=500, opened_on=TODAY - timedelta(days=300))
    wanted.append(want(400, resin=resin, part="A"))
    assert missing(shop) == [400]


def test_a_lot_that_is_overdrawn_takes_nothing_from_the_others(shop, wanted, resin):
    MovementFactory(
        shop=shop, lot=LotFactory(shop=shop, resin=resin, grams=10), kind="use", thousandths=-60_000
    )
    LotFactory(shop=shop, resin=resin, grams=100)
    wanted.append(of(resin, 100))
    assert missing(shop) == [0]


def test_the_one_whose_date_comes_first_is_used_first(shop, wanted, resin):
    LotFactory(shop=shop, resin=resin, code="later")
    soon = LotFactory(shop=shop, resin=resin, code="soon", use_by=TODAY)
    wanted.append(of(resin, 100))
    assert [code for code, _ in buying.serve(shop, TODAY)[0].lots] == [soon.code]


def test_another_shops_bottles_serve_nobody_here(shop, wanted, resin):
    LotFactory(resin=resin)
    wanted.append(of(resin, 100))
    assert missing(shop) == [100]


@pytest.mark.parametrize(
    ("lot", "left"),
    [
        ({}, 0),
        ({"thickness_mm": 2.04}, 0),
        ({"thickness_mm": 2.1}, 10),
        ({"thickness_mm": 1.9}, 10),
        ({"width_mm": 24.9}, 10),
        ({"width_mm": 40}, 0),
        ({"length_mm": 590}, 10),
        ({"length_mm": 1200}, 0),
        ({"length_mm": None}, 10),
        ({"kind": "sawn", "unit": "pieces"}, 10),
    ],
)
def test_strips_serve_where_they_are_as_thick_and_wide_and_long_enough(shop, wanted, lot, left):
    walnut = SpeciesFactory(shop=shop)
    WoodLotFactory(shop=shop, species=walnut, **{**SIZES, **lot})
    wanted.append(want(10, unit="strips", species=walnut, **SIZES))
    assert missing(shop) == [left]


def test_strips_of_another_wood_do_not_serve(shop, wanted):
    WoodLotFactory(shop=shop, **SIZES)
    wanted.append(want(10, unit="strips", species=SpeciesFactory(shop=shop), **SIZES))
    assert missing(shop) == [10]


def test_a_strip_is_promised_once_though_it_would_do_for_two(shop, wanted):
    walnut = SpeciesFactory(shop=shop)
    WoodLotFactory(shop=shop, species=walnut, grams=15, **SIZES)
    for wide in (20.0, 25.0):
        wanted.append(want(10, unit="strips", species=walnut, **{**SIZES, "width_mm": wide}))
    assert sum(missing(shop)) == 5


@pytest.mark.parametrize(("level", "left"), [("enough", 0), ("low", 1), ("gone", 1)])
def test_what_is_not_counted_serves_while_there_is_enough(shop, wanted, level, left):
    lot = SupplyLotFactory(shop=shop, level=level)
    wanted += [want(1, unit="level", supply=lot.supply), want(1, unit="level", supply=lot.supply)]
    assert missing(shop) == [left, left]


def test_a_lot_in_another_unit_does_not_serve(shop, wanted):
    """The supply was counted in millilitres first, and by the piece since."""
    lot = SupplyLotFactory(shop=shop, supply__unit="ml", grams=500)
    wanted.append(want(2, unit="pieces", supply=lot.supply))
    assert missing(shop) == [2]


# what to buy


def buy(shop):
    (found,) = buying.to_buy(shop, TODAY)
    return found


def test_nothing_wanted_is_nothing_to_buy(shop, wanted):
    assert buying.to_buy(shop, TODAY) == []


def test_both_parts_of_a_resin_are_bought_together(shop, wanted, resin):
    wanted += [of(resin, 900, "A"), of(resin, 450, "B"), of(resin, 100, "A")]
    found = buy(shop)
    assert found.name == "Tarn 90"
    assert [(part.label, part.amount) for part in found.missing] == [("A", 1000), ("B", 450)]


@pytest.mark.parametrize(
    ("a_g", "b_g", "kits"),
    [
        (1000, 500, 1),  # a kit of 1500 g is 1000 g of A and 500 g of B
        (1000.1, 500, 2),
        (1000, 500.1, 2),
        (1, 1, 1),
        (3000, 0, 3),
    ],
)
def test_the_part_that_is_short_most_says_how_many_kits(shop, wanted, resin, a_g, b_g, kits):
    wanted += [of(resin, a_g, "A"), *([of(resin, b_g, "B")] if b_g else [])]
    assert buy(shop).packs == kits


def test_a_kit_of_a_resin_by_volume_is_shared_by_mass(shop, wanted):
    resin = ResinFactory(
        shop=shop, parts_a=2, parts_b=1, basis="volume", density_a_g_ml=1.2, density_b_g_ml=0.9, pack_g=1100
    )
    wanted.append(of(resin, 801, "A"))  # 2.4 : 0.9 by mass, so 800 g of A in a kit
    assert buy(shop).packs == 2


@pytest.mark.parametrize(
    ("pack", "amount", "packs"), [(50, 50, 1), (50, 51, 2), (None, 51, None), (0.5, 1.2, 3)]
)
def test_a_supply_comes_in_whole_packs(shop, wanted, pack, amount, packs):
    supply = SupplyFactory(shop=shop, unit="pieces", pack=pack)
    wanted.append(want(amount, unit="pieces", supply=supply))
    assert buy(shop).packs == packs


def test_strips_of_two_sizes_are_two_things_to_buy(shop, wanted):
    walnut = SpeciesFactory(shop=shop)
    for thick in (1.0, 2.0):
        wanted.append(want(10, unit="strips", species=walnut, **{**SIZES, "thickness_mm": thick}))
    assert len(buying.to_buy(shop, TODAY)) == 2


# by when


def test_it_is_ordered_so_many_days_before_it_is_needed(shop, wanted, resin):
    wanted.append(of(resin, 100, on=date(2026, 3, 20)))
    assert buy(shop).order_by == date(2026, 3, 17)


def test_the_first_that_the_shelf_cannot_serve_says_by_when(shop, wanted, resin):
    LotFactory(shop=shop, resin=resin, grams=100)
    wanted += [
        of(resin, 100, on=date(2026, 3, 12), project="served"),
        of(resin, 100, on=date(2026, 3, 20), project="first"),
        of(resin, 100, on=date(2026, 4, 20), project="later"),
        of(resin, 100, project="some day"),
    ]
    found = buy(shop)
    assert (found.want.project, found.order_by) == ("first", date(2026, 3, 17))
    assert [project for project, _ in found.for_whom] == ["first", "later", "some day"]


@pytest.mark.parametrize(("lead_days", "on"), [(None, date(2026, 3, 20)), (3, None)])
def test_without_a_date_or_the_days_on_the_road_no_day_is_said(shop, wanted, lead_days, on):
    wanted.append(of(ResinFactory(shop=shop, lead_days=lead_days), 100, on=on))
    assert buy(shop).order_by is None


def test_what_takes_no_day_is_ordered_on_the_day(shop, wanted):
    wanted.append(of(ResinFactory(shop=shop, lead_days=0), 100, on=TODAY))
    assert buy(shop).order_by == TODAY


def test_what_has_to_be_ordered_first_stands_in_front(shop, wanted):
    for name, on, days in (("c", date(2026, 5, 1), None), ("b", date(2026, 4, 1), 5), ("a", None, 5)):
        wanted.append(of(ResinFactory(shop=shop, name=name, lead_days=days), 100, on=on))
    assert [found.name for found in buying.to_buy(shop, TODAY)] == ["b", "c", "a"]


def test_the_projects_put_their_wants_into_the_list():
    from projects.wants import wants

    assert wants in WANTS
