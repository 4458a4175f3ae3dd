"""The list of supplies: put on, changed, taken off and put back; a grade always with its system."""

import pytest

from materials.models import Supply
from tests.factories import AT, MemberFactory, SupplyFactory, SupplyLotFactory, key
from tests.projects.pages import act, said_at, typed_in, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


def list_of(member, more=""):
    return f"/s/{member.shop.key}/shelf/supplies/{more}"


def add(client, member, kind="consumable", **more):
    usual = {"name": "Release tape", "unit": "level", "pack": "", "lead_days": "", "maker": "", "note": ""}
    own = {
        "finish": {"unit": "ml", "recoat_c": "20 °C"},
        "abrasive": {"unit": "pieces", "grade": "P400", "name": "Discs"},
    }
    return client.post(list_of(member, f"new/{kind}/"), act(**{**usual, **own.get(kind, {}), **more}))


# the list


def test_an_empty_list_says_what_it_is_for(signed_in, member):
    assert "what is bought again and again" in words_of(signed_in(member).get(list_of(member)))


def test_the_list_shows_what_each_label_says(signed_in, member):
    SupplyFactory(
        shop=member.shop, kind="finish", name="Hardwax oil", unit="ml", pack=750, lead_days=4,
        coverage_m2_l=24, penetrating=True,
    )  # fmt: skip
    words = words_of(signed_in(member).get(list_of(member)))
    assert "in ml, a pack holds 750 ml, 4 days on the road, a litre covers 24 m², soaks in" in words


def test_another_shops_supplies_are_on_its_own_list(signed_in, member):
    SupplyFactory(name="Theirs")
    assert "Theirs" not in words_of(signed_in(member).get(list_of(member)))


def test_a_long_list_has_pages(signed_in, member):
    for number in range(41):
        SupplyFactory(shop=member.shop, name=f"tape {number:02d}")
    client = signed_in(member)
    assert "tape 40" not in words_of(client.get(list_of(member)))
    assert "tape 40" in words_of(client.get(list_of(member, "?page=2")))


@pytest.mark.parametrize("supplies", [1, 30])
def test_the_list_asks_the_same_however_long_it_is(signed_in, member, supplies, django_assert_num_queries):
    SupplyFactory.create_batch(supplies, shop=member.shop)
    client = signed_in(member)
    with django_assert_num_queries(5):  # session, user, member and shop, count, list
        client.get(list_of(member))


# putting on


def test_what_was_put_on_the_list_comes_in_next(signed_in, member):
    response = add(signed_in(member), member)
    supply = Supply.objects.get()
    came_in = f"/s/{member.shop.key}/shelf/in/consumable/?supply={supply.key}"
    assert (response.headers["Location"], supply.name) == (came_in, "Release tape")


def test_a_finish_keeps_what_its_tin_says(signed_in, member):
    add(
        signed_in(member), member, "finish", name="Hardwax oil", pack="0.75 l", lead_days="4",
        coverage_m2_l="24", recoat_h="18 h", recoat_close_h="24 h", recoat_c="73.4 °F", penetrating="on",
    )  # fmt: skip
    supply = Supply.objects.get()
    assert (supply.pack, supply.lead_days, supply.coverage_m2_l) == (750, 4, 24)
    assert (supply.recoat_h, supply.recoat_close_h, supply.recoat_c) == (18, 24, pytest.approx(23))
    assert supply.penetrating


@pytest.mark.parametrize(
    ("typed", "system", "kept"),
    [
        ("P400", "", ("400", "P")),
        ("p 400", "", ("400", "P")),
        ("CAMI 400", "", ("400", "CAMI")),
        ("400", "P", ("400", "P")),
        ("400", "CAMI", ("400", "CAMI")),
        ("P3000", "", ("3000", "P")),
        ("P400", "P", ("400", "P")),
    ],
)
def test_a_grade_is_kept_with_its_system(signed_in, member, typed, system, kept):
    add(signed_in(member), member, "abrasive", grade=typed, grade_system=system)
    supply = Supply.objects.get()
    assert (supply.grade, supply.grade_system) == kept


@pytest.mark.parametrize(
    ("typed", "system", "sentence"),
    [
        ("400", "", '"400" could be P400 or CAMI 400, whose grains differ: say which.'),
        ("P401", "", "No table knows the grade “P401”. Look at the back of the paper."),
        ("401", "P", "No table knows the grade “401”."),
        ("P400", "CAMI", "P400 is no grade of CAMI. Choose the system it stands in."),
        ("fine", "", "No table knows the grade “fine”."),
        ("", "", "This field is required."),
        ("²", "P", "No table knows the grade"),
    ],
)
def test_a_grade_that_could_be_two_or_is_none_gets_a_sentence(signed_in, member, typed, system, sentence):
    response = add(signed_in(member), member, "abrasive", grade=typed, grade_system=system)
    assert response.status_code == 422
    assert sentence in said_at(response, "grade")
    assert typed_in(response)["grade"] == typed
    assert not Supply.objects.exists()


@pytest.mark.parametrize(
    ("kind", "field", "text", "sentence"),
    [
        ("consumable", "name", "", "This field is required."),
        ("consumable", "unit", "barrels", "Select a valid choice."),
        ("consumable", "lead_days", "soon", "Enter a whole number."),
        ("consumable", "lead_days", "-1", "greater than or equal to 0"),
        ("finish", "pack", "0", "More than 0\u00a0ml is needed."),
        ("finish", "pack", "5 pieces", "is no unit for this"),
        ("finish", "coverage_m2_l", "0", "0 is too little"),
    ],
)
def test_bad_input_for_the_list_gets_a_sentence_and_stays(signed_in, member, kind, field, text, sentence):
    response = add(signed_in(member), member, kind, **{field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response).get(field, text) == text
    assert not Supply.objects.exists()


def test_a_window_that_closes_before_it_opens_gets_a_sentence(signed_in, member):
    response = add(signed_in(member), member, "finish", recoat_h="24 h", recoat_close_h="18 h")
    assert said_at(response, "recoat_close_h") == "The window would close before it opens."


def test_what_is_not_counted_has_no_pack(signed_in, member):
    add(signed_in(member), member, pack="6")
    assert Supply.objects.get().pack is None


def test_the_same_name_twice_gets_a_sentence(signed_in, member):
    SupplyFactory(shop=member.shop, name="release TAPE")
    response = add(signed_in(member), member)
    assert said_at(response, "name") == "This is on the list already."


def test_the_same_number_in_the_other_system_is_another_paper(signed_in, member):
    client = signed_in(member)
    for grade in ("P400", "CAMI 400"):
        assert add(client, member, "abrasive", grade=grade).status_code == 302


def test_put_on_the_list_twice_it_stands_there_once(signed_in, member):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert add(client, member, key=sent).status_code == 302
    assert Supply.objects.count() == 1


def test_a_kind_that_there_is_not_is_no_page(signed_in, member):
    assert signed_in(member).get(list_of(member, "new/wood/")).status_code == 404


# changing


def change(client, supply, **more):
    typed = {"name": supply.name, "unit": supply.unit, "pack": "", "lead_days": "", "maker": "", "note": ""}
    return client.post(f"/s/{supply.shop.key}/shelf/supplies/{supply.key}/", act(**{**typed, **more}))


def test_a_label_is_changed_and_told(signed_in, member):
    supply = SupplyFactory(shop=member.shop, name="tape")
    assert change(signed_in(member), supply, lead_days="2").headers["Location"] == list_of(member)
    assert Supply.objects.get().lead_days == 2
    assert Event.objects.get().after == {"lead_days": 2}


def test_its_own_name_is_not_taken_by_itself(signed_in, member):
    assert change(signed_in(member), SupplyFactory(shop=member.shop)).status_code == 302


def test_a_kept_grade_is_shown_and_stays(signed_in, member):
    supply = SupplyFactory(shop=member.shop, kind="abrasive", unit="pieces", grade="400", grade_system="CAMI")
    client = signed_in(member)
    found = typed_in(client.get(f"/s/{member.shop.key}/shelf/supplies/{supply.key}/"))
    assert (found["grade"], found["grade_system"]) == ("400", "CAMI")
    assert change(client, supply, grade="400", grade_system="CAMI").status_code == 302


def test_its_page_shows_what_stands_on_the_shelf_of_it(signed_in, member):
    lot = SupplyLotFactory(shop=member.shop, code="K-07")
    words = words_of(signed_in(member).get(f"/s/{member.shop.key}/shelf/supplies/{lot.supply.key}/"))
    assert "On the shelf K-07 enough" in words


@pytest.mark.parametrize("lots", [1, 20])
def test_its_page_asks_the_same_however_much_there_is(signed_in, member, lots, django_assert_num_queries):
    supply = SupplyFactory(shop=member.shop, unit="pieces")
    SupplyLotFactory.create_batch(lots, shop=member.shop, supply=supply, grams=5)
    client = signed_in(member)
    with django_assert_num_queries(5):  # session, user, member and shop, supply, lots
        client.get(f"/s/{member.shop.key}/shelf/supplies/{supply.key}/")


# off the list and back


def take_off(client, supply, **more):
    return client.post(f"/s/{supply.shop.key}/shelf/supplies/{supply.key}/remove/", act(**more))


def test_a_supply_is_taken_off_the_list_and_put_back(signed_in, member):
    client, supply = signed_in(member), SupplyFactory(shop=member.shop, name="old tape")
    take_off(client, supply, removed="yes")
    assert "old tape" not in words_of(client.get(list_of(member)))
    assert "old tape" in words_of(client.get(list_of(member, "?off")))
    take_off(client, supply, removed="no")
    assert "old tape" in words_of(client.get(list_of(member)))


def test_lots_of_what_was_taken_off_the_list_stay_on_the_shelf(signed_in, member):
    lot = SupplyLotFactory(shop=member.shop, supply__removed_at=AT, code="K-07")
    assert "K-07" in words_of(signed_in(member).get(f"/s/{member.shop.key}/shelf/"))
    assert lot.supply.removed_at


def test_a_stranger_takes_nothing_off(signed_in, member):
    supply = SupplyFactory(shop=member.shop)
    assert take_off(signed_in(MemberFactory()), supply, removed="yes").status_code == 404
    assert Supply.objects.get().removed_at is None
