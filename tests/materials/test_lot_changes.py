"""A lot from coming in to being taken off, and what lots are lots of: what is kept, what is told."""

from datetime import date

import pytest

from materials import actions
from materials.models import Lot, Movement, Species, Supply
from tests.factories import (
    AT,
    LotFactory,
    MemberFactory,
    ResinFactory,
    SpeciesFactory,
    SupplyFactory,
    SupplyLotFactory,
    WoodLotFactory,
)
from tests.workshop.photos import photo
from workshop import pictures
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


@pytest.fixture
def lot(member):
    return LotFactory(shop=member.shop, resin__shop=member.shop, resin__name="Tarn 90", code="A-01")


def told():
    """The newest line of history."""
    return Event.objects.latest("pk")


# coming in


def came_in(member, **more):
    tape = SupplyFactory(shop=member.shop, name="Release tape")
    values = {"kind": "consumable", "supply": tape, "unit": "level", "code": "K-01", "received_on": AT.date()}
    return actions.receive(member, {**values, **more}, None, at=AT)


def test_what_is_not_counted_comes_in_as_enough_without_a_line(member):
    lot = came_in(member)
    assert (lot.level, lot.movements.count()) == ("enough", 0)
    assert (told().verb, told().after) == ("received", {"level": "enough"})


def test_it_may_come_in_low(member):
    assert came_in(member, level="low").level == "low"


def test_what_is_counted_comes_in_with_its_line(member):
    oil = SupplyFactory(shop=member.shop, kind="finish", unit="ml")
    values = {"kind": "finish", "supply": oil, "unit": "ml", "code": "F-01", "received_on": AT.date()}
    lot = actions.receive(member, values, 750, at=AT)
    assert (lot.on_hand, lot.level) == (750, "")


# found again


@pytest.mark.parametrize(
    "text", ["tarn", "TARN 90", "a-01", "90 a-01", "part a", "  Tarn   A-01 ", "window", "möwe", "MÖWE"]
)
def test_a_lot_is_found_by_name_code_part_maker_and_place(member, text):
    resin = ResinFactory(shop=member.shop, name="Tarn 90")
    lot = LotFactory(shop=member.shop, resin=resin, code="A-01", maker="Möwe", place="by the window")
    assert list(Lot.objects.of(member.shop).found(text)) == [lot]


@pytest.mark.parametrize("text", ["tarn 91", "a-02", "tarn window %", "part b", "_arn"])
def test_what_no_lot_is_called_finds_none(member, lot, text):
    assert not Lot.objects.of(member.shop).found(text).exists()


def test_no_word_finds_all(member, lot):
    assert list(Lot.objects.of(member.shop).found(" ")) == [lot]


def test_lots_are_found_under_the_new_name_of_their_resin(member, lot):
    actions.change_resin(member, lot.resin, {"name": "Fen 12"}, at=AT)
    assert list(Lot.objects.found("fen 12")) == [lot]
    assert not Lot.objects.found("tarn").exists()


def test_lots_are_found_under_the_new_grade_of_their_supply(member):
    discs = SupplyFactory(shop=member.shop, kind="abrasive", name="discs", grade="400", grade_system="CAMI")
    lot = SupplyLotFactory(shop=member.shop, supply=discs)
    actions.change_supply(member, discs, {"grade_system": "P"}, at=AT)
    assert list(Lot.objects.found("p400")) == [lot]


def test_lots_are_found_under_the_new_name_of_their_wood(member):
    lot = WoodLotFactory(shop=member.shop)
    actions.change_species(member, lot.species, {"name": "Mooreiche"}, at=AT)
    assert list(Lot.objects.found("mooreiche")) == [lot]


# the ticket


def test_a_ticket_is_changed_and_what_it_said_is_told(member, lot):
    kept = actions.change_lot(member, lot, {"place": "By the window", "code": "A-07"}, at=AT)
    assert (kept.place, kept.code) == ("By the window", "A-07")
    assert list(Lot.objects.found("a-07 window")) == [lot]
    assert (told().verb, told().before) == ("changed the ticket of", {"place": "", "code": "A-01"})


def test_a_ticket_that_says_what_it_said_leaves_no_line(member, lot):
    actions.change_lot(member, lot, {"place": ""}, at=AT)
    assert not Event.objects.exists()


def test_a_lot_gets_a_photo(member, lot):
    picture = pictures.take_in(photo(), member, at=AT)
    assert actions.change_lot(member, lot, {}, at=AT, picture=picture).picture == picture
    assert told().after == {"photo": "a new one"}


# opening


def test_opening_keeps_when_how_it_looked_and_until_when(member, lot):
    values = {"opened_on": date(2026, 3, 9), "condition": "darkened", "use_by": date(2026, 9, 9), "note": "x"}
    kept = actions.open_lot(member, lot, values, at=AT)
    assert {name: getattr(kept, name) for name in values} == values
    assert (told().verb, told().target_label) == ("opened", "A-01 Tarn 90, part A")


def test_opening_may_say_no_more_than_the_day_and_the_look(member, lot):
    actions.open_lot(member, lot, {"opened_on": AT.date(), "condition": "fine"}, at=AT)
    assert Lot.objects.get().note == ""


# enough, low, gone


def test_a_level_is_told_from_what_to_what(member):
    lot = SupplyLotFactory(shop=member.shop)
    assert actions.set_level(member, lot, "gone", at=AT).level == "gone"
    assert (told().before, told().after) == ({"level": "enough"}, {"level": "gone"})


def test_the_same_level_twice_leaves_no_line(member):
    actions.set_level(member, SupplyLotFactory(shop=member.shop), "enough", at=AT)
    assert not Event.objects.exists()


def test_a_counted_lot_has_no_level(member, lot):
    with pytest.raises(Refused, match="A-01 is counted: write a line of what is left"):
        actions.set_level(member, lot, "low", at=AT)


# off the shelf and back


def test_off_the_shelf_and_back_is_told_once_each(member, lot):
    for act in (actions.take_off, actions.take_off, actions.put_back, actions.put_back):
        act(member, lot, at=AT)
    assert list(Lot.objects.here()) == [lot]
    assert [event.verb for event in Event.objects.order_by("pk")] == [
        "took off the shelf",
        "put back on the shelf",
    ]


def test_the_ledger_of_what_was_taken_off_stays(member, lot):
    actions.take_off(member, lot, at=AT)
    assert list(Lot.objects.off()) == [lot]
    assert Movement.objects.filter(lot=lot).count() == 1


# the list of supplies


def test_a_supply_goes_on_the_list_and_its_label_is_told(member):
    supply = actions.add_supply(
        member, {"kind": "finish", "name": "Hardwax oil", "unit": "ml", "pack": 750.0, "note": ""}, at=AT
    )
    assert list(Supply.objects.of(member.shop).kept()) == [supply]
    assert (told().verb, told().after["pack"], "note" in told().after) == ("added the supply", 750.0, False)


def test_a_supply_off_the_list_and_back_is_told_once_each(member):
    supply = SupplyFactory(shop=member.shop)
    for removed in (True, True, False, False):
        actions.remove_supply(member, supply, removed=removed, at=AT)
    assert list(Supply.objects.kept()) == [supply]
    assert [event.verb for event in Event.objects.order_by("pk")] == [
        "took off the list",
        "put back on the list",
    ]


def test_the_same_number_may_stand_on_the_list_in_both_systems(member):
    for system in ("P", "CAMI"):
        SupplyFactory(shop=member.shop, kind="abrasive", name="discs", grade="400", grade_system=system)
    assert [str(supply) for supply in Supply.objects.order_by("pk")] == ["discs P400", "discs CAMI 400"]


# woods


def test_a_wood_of_the_shops_own_is_added_and_changed(member):
    wood = actions.add_species(member, {"name": "bog oak", "source": ""}, at=AT)
    actions.change_species(member, wood, {"specific_gravity": 0.7, "source": "from memory"}, at=AT)
    assert Species.objects.get().specific_gravity == 0.7
    assert [event.verb for event in Event.objects.order_by("pk")] == ["added the wood", "changed the wood"]


def test_a_wood_that_stays_as_it_was_leaves_no_line(member):
    wood = SpeciesFactory(shop=member.shop, name="pear")
    actions.change_species(member, wood, {"name": "pear"}, at=AT)
    assert not Event.objects.exists()
