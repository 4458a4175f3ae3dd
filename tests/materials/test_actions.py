"""What comes onto the shelf: lots, resins from their sheets, and the woods of the handbook."""

import pytest

from materials import actions
from materials.actions import TooLittle
from materials.models import Lot, Resin, Species
from tests.factories import AT, MemberFactory, ResinFactory, SpeciesFactory
from workshop.models import Event

# receiving


@pytest.mark.django_db
def test_what_came_in_is_on_hand():
    member = MemberFactory()
    resin = ResinFactory(shop=member.shop)
    values = {
        "kind": "resin",
        "resin": resin,
        "part": "A",
        "code": "A-01",
        "unit": "g",
        "received_on": AT.date(),
    }
    lot = actions.receive(member, values, 1250.5, at=AT)
    assert lot.on_hand == 1250.5


@pytest.mark.django_db
def test_what_came_in_is_in_history():
    member = MemberFactory()
    species = SpeciesFactory(shop=member.shop, name="black walnut")
    values = {"kind": "wood", "species": species, "code": "W-01", "unit": "strips", "received_on": AT.date()}
    actions.receive(member, values, 60, at=AT)
    event = Event.objects.get(verb="received")
    assert (event.target_label, event.after) == ("W-01 black walnut", {"amount": 60})


@pytest.mark.django_db
def test_nothing_can_not_come_in():
    member = MemberFactory()
    values = {"kind": "wood", "species": SpeciesFactory(shop=member.shop), "code": "W-01", "unit": "strips"}
    with pytest.raises(TooLittle, match="less than a thousandth"):
        actions.receive(member, {**values, "received_on": AT.date()}, 0.0004, at=AT)
    assert not Lot.objects.exists()


# resins and woods


@pytest.mark.django_db
def test_a_new_resin_is_in_history():
    resin = actions.add_resin(
        MemberFactory(),
        {
            "name": "Tarn 90",
            "parts_a": 100,
            "parts_b": 45,
            "density_a_g_ml": 1.1,
            "density_b_g_ml": 1,
            "pot_minutes": 90,
        },
        at=AT,
    )
    event = Event.objects.about(resin.key).get()
    assert (event.verb, event.target_label, event.after["parts_b"]) == ("added", "Tarn 90", 45)


@pytest.mark.django_db
def test_a_changed_sheet_keeps_what_was_before():
    resin = ResinFactory(pot_minutes=90)
    actions.change_resin(MemberFactory(shop=resin.shop), resin, {"pot_minutes": 60, "parts_a": 100}, at=AT)
    event = Event.objects.get()
    assert (event.before, event.after) == ({"pot_minutes": 90}, {"pot_minutes": 60})
    assert Resin.objects.get().pot_minutes == 60


@pytest.mark.django_db
def test_a_sheet_kept_as_it_was_is_no_history():
    resin = ResinFactory()
    actions.change_resin(MemberFactory(shop=resin.shop), resin, {"parts_a": 100}, at=AT)
    assert not Event.objects.exists()


@pytest.mark.django_db
def test_a_new_shop_finds_each_wood_of_the_handbook_with_its_source():
    from materials.science.reference import load

    member = MemberFactory()
    actions.furnish(member.shop, member, AT)
    copied = {wood.name: wood for wood in Species.objects.of(member.shop)}
    for row in load.species():
        wood = copied.pop(row.name)
        assert (wood.reference, wood.radial, wood.tangential, wood.source) == (
            row.handbook_name,
            row.radial_per_percent,
            row.tangential_per_percent,
            row.source,
        )
    assert copied == {}


@pytest.mark.django_db
def test_no_wood_comes_without_a_source():
    member = MemberFactory()
    actions.furnish(member.shop, member, AT)
    assert not Species.objects.filter(source="").exists()
