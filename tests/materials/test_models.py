"""What the database itself refuses, and the questions that the shelf asks by name."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from materials.models import Lot, Movement, Reading, Resin
from tests.factories import (
    AT,
    Bench,
    LotFactory,
    MemberFactory,
    MovementFactory,
    ResinFactory,
    SpeciesFactory,
)
from workshop.models.records import AppendOnly

pytestmark = pytest.mark.django_db


def refuses(make, **values):
    """Whether the database refuses a row."""
    with pytest.raises(IntegrityError, match="(?i)check|unique"), transaction.atomic():
        make(**values)


def wood(**more):
    lot = LotFactory(grams=0)
    species = SpeciesFactory(shop=lot.shop)
    values = {
        "shop": lot.shop,
        "kind": "wood",
        "resin": None,
        "part": "",
        "species": species,
        "unit": "strips",
    }
    return LotFactory(grams=0, **{**values, **more})


# the ledger only grows


def test_a_line_is_never_changed():
    line = MovementFactory(lot=LotFactory(), thousandths=5)
    line.thousandths = 6
    with pytest.raises(AppendOnly, match="Movement rows are never changed; write a second line instead"):
        line.save()


def test_a_line_is_never_deleted():
    with pytest.raises(AppendOnly, match="Movement rows are never deleted"):
        MovementFactory(lot=LotFactory(), thousandths=5).delete()


def test_many_lines_are_never_changed():
    with pytest.raises(AppendOnly, match="Movement rows are never changed"):
        LotFactory().movements.update(thousandths=1)


def test_many_lines_are_never_deleted():
    with pytest.raises(AppendOnly, match="Movement rows are never deleted"):
        LotFactory().movements.all().delete()


# signs, held by the database


@pytest.mark.parametrize(
    ("kind", "thousandths"),
    [
        ("receive", -1),
        ("receive", 0),
        ("use", 1),
        ("use", 0),
        ("waste", 1),
        ("waste", 0),
        ("reverse", 1),
        ("lost", -1),
    ],
)
def test_a_line_with_the_wrong_sign_is_refused(kind, thousandths):
    refuses(MovementFactory, lot=LotFactory(), kind=kind, thousandths=thousandths)


@pytest.mark.parametrize(
    ("kind", "thousandths"),
    [("receive", 1), ("use", -1), ("waste", -1), ("count", 1), ("count", 0), ("count", -1)],
)
def test_a_line_with_the_right_sign_is_kept(kind, thousandths):
    lot = LotFactory()
    assert MovementFactory(shop=lot.shop, lot=lot, kind=kind, thousandths=thousandths).pk


def test_a_line_that_takes_nothing_back_is_refused():
    lot = LotFactory()
    refuses(MovementFactory, lot=lot, kind="reverse", thousandths=0, reverses=lot.movements.get())


def test_a_line_is_taken_back_once():
    lot = LotFactory()
    first = {
        "shop": lot.shop,
        "lot": lot,
        "kind": "reverse",
        "thousandths": -5,
        "reverses": lot.movements.get(),
    }
    MovementFactory(**first)
    refuses(MovementFactory, **first)


# what a lot is


@pytest.mark.parametrize(
    "values", [{"part": ""}, {"part": "C"}, {"resin": None}, {"kind": "wood"}, {"kind": "glue"}]
)
def test_a_bottle_is_one_part_of_a_resin(values):
    refuses(LotFactory, **values)


@pytest.mark.parametrize("values", [{"part": "A"}, {"species": None}, {"kind": "resin"}])
def test_a_bundle_is_of_one_wood(values):
    with pytest.raises(IntegrityError, match="(?i)check"), transaction.atomic():
        wood(**values)


def test_a_code_is_there_once_in_a_shop():
    lot = LotFactory(code="A-01")
    refuses(LotFactory, shop=lot.shop, code="A-01")


def test_another_shop_may_have_the_code():
    LotFactory(code="A-01")
    assert LotFactory(code="A-01").pk


@pytest.mark.parametrize(
    "name",
    [
        "parts_a",
        "parts_b",
        "density_a_g_ml",
        "density_b_g_ml",
        "pot_minutes",
        "pot_mass_g",
        "refractive_index",
    ],
)
@pytest.mark.parametrize("value", [0, -1])
def test_a_sheets_figure_is_more_than_nothing(name, value):
    refuses(ResinFactory, **{name: value})


def test_a_resins_name_is_there_once_in_a_shop():
    resin = ResinFactory(name="Tarn 90")
    refuses(ResinFactory, shop=resin.shop, name="Tarn 90")


@pytest.mark.parametrize("name", ["parts_a", "parts_b", "target_a_g", "actual_a_g", "actual_b_g"])
def test_a_cup_holds_more_than_nothing(name):
    cup = Bench().meet()
    setattr(cup, name, 0)
    refuses(cup.save)


# questions


def test_on_hand_is_the_sum_of_the_ledger():
    lot = LotFactory(grams=500)
    MovementFactory(shop=lot.shop, lot=lot, kind="use", thousandths=-120_500)
    assert lot.on_hand == 379.5


def test_many_lots_come_with_what_is_on_hand():
    lot = LotFactory(grams=500)
    MovementFactory(shop=lot.shop, lot=lot, kind="use", thousandths=-500_000)
    MovementFactory(shop=lot.shop, lot=lot, kind="receive", thousandths=1_000)
    found = Lot.objects.with_on_hand().get(pk=lot.pk)
    assert (found.on_hand, found.received_thousandths) == (1, 501_000)


def test_a_lot_without_lines_holds_nothing():
    lot = Lot.objects.with_on_hand().get(pk=LotFactory(grams=0).pk)
    assert (lot.on_hand, lot.short, lot.received_thousandths) == (0, 0, 0)


def test_a_lot_says_by_how_much_it_is_short():
    lot = LotFactory(grams=100)
    MovementFactory(shop=lot.shop, lot=lot, kind="use", thousandths=-140_000)
    assert (lot.on_hand, lot.short) == (-40, 40)


def test_the_bottle_to_use_first_is_the_one_that_goes_off_first():
    resin = ResinFactory()
    same = {"shop": resin.shop, "resin": resin, "part": "A"}
    for code, use_by, received in [
        ("late", date(2027, 1, 1), 1),
        ("never", None, 1),
        ("soon", date(2026, 6, 1), 2),
    ]:
        LotFactory(**same, code=code, use_by=use_by, received_on=date(2026, 1, received))
    LotFactory(**same, code="gone", removed_at=AT)
    LotFactory(**{**same, "part": "B"}, code="B")
    assert [lot.code for lot in Lot.objects.bottles(resin, "A")] == ["soon", "late", "never"]


def test_of_two_alike_bottles_the_older_is_used_first():
    resin = ResinFactory()
    for code, day in (("new", 9), ("old", 2)):
        LotFactory(shop=resin.shop, resin=resin, code=code, received_on=date(2026, 1, day))
    assert [lot.code for lot in Lot.objects.bottles(resin, "A")] == ["old", "new"]


def test_a_lot_that_was_taken_off_the_shelf_is_not_here():
    LotFactory(removed_at=AT)
    assert not Lot.objects.here().exists()


def test_the_newest_reading_is_the_one_that_was_taken_last():
    member = MemberFactory()
    for hour, value in ((8, 19.0), (6, 17.0)):
        Reading.objects.create(
            shop=member.shop, created_at=AT, member=member, kind="temperature", value=value, unit="°C",
            taken_at=AT.replace(hour=hour),
        )  # fmt: skip
    assert Reading.objects.of(member.shop).latest_of("temperature").value == 19
    assert Reading.objects.of(member.shop).latest_of("humidity") is None


# words


def test_a_bottle_is_named_by_its_resin_and_part():
    assert LotFactory(resin__name="Tarn 90", part="B").what == "Tarn 90, part B"


def test_a_bundle_is_named_by_its_wood():
    assert wood(species=SpeciesFactory(name="black walnut")).what == "black walnut"


def test_a_resin_says_its_ratio_as_the_sheet_does():
    assert Resin(parts_a=100, parts_b=45.5, basis="volume").sheet_parts == "100 : 45.5 by volume"


def test_a_line_says_what_happened():
    assert str(Movement(kind="use", thousandths=-1500, lot=Lot(unit="g"))) == "used -1.5 g"


@pytest.mark.parametrize(("unit", "kind"), [("g", "mass"), ("strips", "count")])
def test_a_lot_is_weighed_or_counted(unit, kind):
    assert Lot(unit=unit).quantity_kind == kind


@pytest.mark.parametrize(("weighed", "mixed"), [(None, 145.0), (44.0, 144.0)])
def test_a_cup_holds_what_was_weighed_or_asked_for(weighed, mixed):
    cup = Bench().meet(a_g=100.0)
    cup.actual_b_g = weighed
    assert cup.mixed_g == pytest.approx(mixed)
