"""What comes in beside bottles and bundles: sawn stock, leftovers, tape, finishes, paper."""

import pytest

from materials.models import Lot
from tests.factories import AT, MemberFactory, SpeciesFactory, SupplyFactory, key
from tests.projects.pages import act, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


@pytest.fixture
def species(member):
    return SpeciesFactory(shop=member.shop, name="black walnut")


def shelf(member):
    return f"/s/{member.shop.key}/shelf/"


def page_in(member, what, more=""):
    return f"{shelf(member)}in/{what}{more}"


# sawn stock and leftovers


def send_wood(client, of, kind, **more):
    sizes = {"thickness_mm": "30", "width_mm": "180", "length_mm": "2.4 m", "pieces": "3", "cost": ""}
    typed = act(species=of.pk, code="S-01", **{**sizes, **more})
    return client.post(f"/s/{of.shop.key}/shelf/in/{kind}/", typed)


def test_sawn_stock_comes_in_by_the_piece(signed_in, member, species):
    assert send_wood(signed_in(member), species, "sawn").headers["Location"] == shelf(member)
    lot = Lot.objects.get()
    assert (lot.kind, lot.unit, lot.on_hand, lot.length_mm) == ("sawn", "pieces", 3, 2400)


STRIPES = {"strip_mm": "2", "gap_mm": "1.5", "phase_mm": "0.6", "came_from": "031 Stair window"}


def test_a_leftover_keeps_its_stripes_and_where_it_came_from(signed_in, member, species):
    send_wood(signed_in(member), species, "leftover", length_mm="412", pieces="1", **STRIPES)
    lot = Lot.objects.get()
    assert (lot.kind, lot.strip_mm, lot.gap_mm, lot.phase_mm) == ("leftover", 2, 1.5, 0.6)
    assert (lot.came_from, lot.length_mm, lot.on_hand) == ("031 Stair window", 412, 1)


def test_a_leftover_whose_first_line_nobody_measured_is_kept_too(signed_in, member, species):
    send_wood(signed_in(member), species, "leftover", **{**STRIPES, "phase_mm": ""})
    assert Lot.objects.get().phase_mm is None


@pytest.mark.parametrize(
    ("kind", "field", "text", "sentence"),
    [
        ("sawn", "pieces", "0", "More than 0 is needed."),
        ("sawn", "length_mm", "", "This field is required."),
        ("leftover", "strip_mm", "", "This field is required."),
        ("leftover", "gap_mm", "-1", "0\u00a0mm or more"),
        ("leftover", "phase_mm", "4 mm", "within one strip and one gap of the end"),
    ],
)
def test_bad_input_about_wood_gets_a_sentence_and_stays(
    signed_in, member, species, kind, field, text, sentence
):
    response = send_wood(signed_in(member), species, kind, **{**STRIPES, field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response).get(field) == text
    assert not Lot.objects.exists()


# tape, finishes, paper


def send_supply(client, supply, **more):
    address = f"/s/{supply.shop.key}/shelf/in/{supply.kind}/?supply={supply.key}"
    return client.post(address, act(**{"code": "K-01", "cost": "", "use_by": "", **more}))


def test_without_one_on_the_list_it_is_put_there_first(signed_in, member):
    words = words_of(signed_in(member).get(page_in(member, "consumable/")))
    assert "Say once what it is and how it is counted" in words


def test_the_only_one_of_its_kind_is_not_asked_about(signed_in, member):
    SupplyFactory(shop=member.shop, name="Release tape")
    SupplyFactory(shop=member.shop, kind="finish", unit="ml")
    response = signed_in(member).get(page_in(member, "consumable/"))
    assert "There is now" in words_of(response)


def test_of_several_it_is_asked_which(signed_in, member):
    for name in ("Release tape", "Mould wax"):
        SupplyFactory(shop=member.shop, name=name)
    words = words_of(signed_in(member).get(page_in(member, "consumable/")))
    assert "Which one? Mould wax Release tape" in words


def test_another_one_than_the_only_one_can_be_asked_for(signed_in, member):
    SupplyFactory(shop=member.shop)
    assert "Which one?" in words_of(signed_in(member).get(page_in(member, "consumable/", "?supply=which")))


@pytest.mark.parametrize("which", ["removed", "theirs", "of another kind"])
def test_a_supply_that_is_not_on_the_list_here_is_not_taken(signed_in, member, which):
    others = {
        "removed": {"shop": member.shop, "removed_at": AT},
        "theirs": {},
        "of another kind": {"shop": member.shop, "kind": "finish"},
    }
    supply = SupplyFactory(**others[which])
    address = page_in(member, "consumable/", f"?supply={supply.key}")
    response = signed_in(member).post(address, act(code="K-01", level="enough"))
    assert response.status_code == 422
    assert not Lot.objects.exists()


@pytest.mark.parametrize("level", ["enough", "low"])
def test_tape_comes_in_at_a_glance(signed_in, member, level):
    tape = SupplyFactory(shop=member.shop)
    assert send_supply(signed_in(member), tape, level=level).status_code == 302
    lot = Lot.objects.get()
    assert (lot.kind, lot.unit, lot.level, lot.movements.count()) == ("consumable", "level", level, 0)


@pytest.mark.parametrize(
    ("kind", "unit", "amount", "on_hand"),
    [("finish", "ml", "0.75 l", 750), ("finish", "g", "1 kg", 1000), ("abrasive", "pieces", "50", 50),
     ("consumable", "m", "33,5", 33.5)],
)  # fmt: skip
def test_what_is_counted_comes_in_in_its_own_unit(signed_in, member, kind, unit, amount, on_hand):
    supply = SupplyFactory(shop=member.shop, kind=kind, unit=unit)
    send_supply(signed_in(member), supply, amount=amount)
    lot = Lot.objects.get()
    assert (lot.kind, lot.unit, lot.on_hand, lot.supply) == (kind, unit, on_hand, supply)


@pytest.mark.parametrize(
    ("unit", "amount", "sentence"),
    [("pieces", "2.5", "A whole number is needed."), ("ml", "50 g", "is no unit for this"),
     ("ml", "", "This field is required."), ("m", "0", "More than 0 is needed.")],
)  # fmt: skip
def test_bad_input_about_a_supply_gets_a_sentence(signed_in, member, unit, amount, sentence):
    response = send_supply(signed_in(member), SupplyFactory(shop=member.shop, unit=unit), amount=amount)
    assert response.status_code == 422
    assert sentence in said_at(response, "amount")


def test_a_supply_sent_twice_comes_in_once(signed_in, member):
    client, sent, tape = signed_in(member), str(key()), SupplyFactory(shop=member.shop)
    for _ in range(2):
        assert send_supply(client, tape, key=sent, level="enough").status_code == 302
    assert Lot.objects.count() == 1


@pytest.mark.parametrize("supplies", [2, 30])
def test_asking_which_costs_the_same_however_long_the_list_is(
    signed_in, member, supplies, django_assert_num_queries
):
    SupplyFactory.create_batch(supplies, shop=member.shop)
    client = signed_in(member)
    with django_assert_num_queries(6):  # session, user, member and shop, the only one?, count, list
        client.get(page_in(member, "consumable/"))
