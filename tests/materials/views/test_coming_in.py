"""Bottles and bundles coming in."""

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from materials.models import Lot, Movement
from tests.factories import AT, LotFactory, MemberFactory, ResinFactory, SpeciesFactory, key
from tests.projects.pages import act, no_photo, photo, said_at, typed_in, words_of
from workshop.models import Picture, Receipt

pytestmark = pytest.mark.django_db
FRAGMENT = {"HX-Request": "true"}


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


def shelf(member):
    return f"/s/{member.shop.key}/shelf/"


# bottles


def bottles(of, **more):
    return act(
        **{
            "resin": of.pk, "amount_a_g": "2 kg", "amount_b_g": "900", "code_a": "A-01", "code_b": "B-01",
            "use_by": "2027-03-01", "cost": "80", **more,
        }
    )  # fmt: skip


@pytest.fixture
def resin(member):
    return ResinFactory(shop=member.shop, name="Tarn 90")


def send_bottles(client, of, **more):
    return client.post(f"/s/{of.shop.key}/shelf/bottles/", bottles(of, **more))


def kept():
    return {lot.code: lot for lot in Lot.objects.all()}


def test_without_a_resin_no_bottle_can_come(signed_in, member):
    assert "Say first which resin it is." in words_of(signed_in(member).get(shelf(member) + "bottles/"))


def test_free_codes_are_proposed(signed_in, member, resin):
    LotFactory(shop=member.shop, code="A-01")
    LotFactory(shop=member.shop, code="A-03")
    found = typed_in(signed_in(member).get(shelf(member) + "bottles/"))
    assert (found["code_a"], found["code_b"]) == ("A-04", "B-01")


@pytest.mark.parametrize("which", ["first", "second", "none", "nonsense", "another shop's"])
def test_the_resin_of_the_address_is_chosen_else_the_newest(signed_in, member, resin, which):
    newer = ResinFactory(shop=member.shop)
    asked = {"first": resin.key, "second": newer.key, "nonsense": "x", "another shop's": ResinFactory().key}
    found = typed_in(signed_in(member).get(f"{shelf(member)}bottles/?resin={asked.get(which, '')}"))
    assert found["resin"] == str(resin.pk if which == "first" else newer.pk)


def test_a_kit_becomes_two_bottles(signed_in, member, resin):
    response = send_bottles(signed_in(member), resin)
    assert response.headers["Location"] == shelf(member)
    assert {code: (lot.part, lot.on_hand, str(lot.use_by)) for code, lot in kept().items()} == {
        "A-01": ("A", 2000, "2027-03-01"),
        "B-01": ("B", 900, "2027-03-01"),
    }


def test_one_part_may_come_alone(signed_in, member, resin):
    send_bottles(signed_in(member), resin, amount_b_g="")
    assert set(kept()) == {"A-01"}


@pytest.mark.parametrize(
    ("cost", "shares"),
    [("80", ["40.00", "40.00"]), ("12,55", ["6.28", "6.27"]), ("0.01", ["0.00", "0.01"]), ("", [None, None])],
)
def test_a_kits_cost_is_shared_to_the_cent(signed_in, member, resin, cost, shares):
    send_bottles(signed_in(member), resin, cost=cost)
    found = [lot.cost for lot in Lot.objects.order_by("code")]
    assert [None if share is None else str(share) for share in found] == shares


def test_a_bottle_that_comes_alone_bears_the_whole_cost(signed_in, member, resin):
    send_bottles(signed_in(member), resin, amount_b_g="", cost="12.55")
    assert str(Lot.objects.get().cost) == "12.55"


def test_bottles_come_in_on_the_shops_day(signed_in, member, resin):
    send_bottles(signed_in(member), resin)
    assert Lot.objects.first().received_on == timezone.localdate(timezone=member.shop.tz)


def test_bottles_sent_late_came_when_they_were_pressed(signed_in, member, resin):
    """The phone was without network for three days."""
    now = timezone.now()
    times = {"happened_at": (now - timedelta(days=3)).isoformat(), "sent_at": now.isoformat()}
    send_bottles(signed_in(member), resin, **times)
    assert Lot.objects.first().received_on == timezone.localdate(
        now - timedelta(days=3), timezone=member.shop.tz
    )


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("amount_a_g", "0", "More than 0\u00a0g is needed."),
        ("amount_a_g", "-5 kg", "More than 0\u00a0g is needed."),
        ("amount_a_g", "2 ml", "“ml” is no unit for this."),
        ("amount_a_g", "two", "is not understood. Write it like 350 g or 12 oz."),
        ("amount_b_g", "99999999 kg", "is too much: 1\u202f000\u202f000\u00a0g or less."),
        ("code_a", "", "This field is required."),
        ("code_a", "x" * 21, "at most 20 characters"),
        ("code_b", "a-01", "A and B need codes of their own."),
        ("use_by", "soon", "Enter a valid date."),
        ("use_by", "2027-02-30", "Enter a valid date."),
        ("cost", "-1", "This can't be less than 0."),
        ("cost", "cheap", "This is no sum of money. Write it like 12.50."),
        ("resin", "0", "Select a valid choice."),
        ("resin", "9" * 30, "Select a valid choice."),
        ("resin", "", "This field is required."),
    ],
)
def test_bad_input_about_bottles_gets_a_sentence_and_stays(signed_in, member, resin, field, text, sentence):
    response = send_bottles(signed_in(member), resin, **{field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response).get(field, text) == text
    assert not Lot.objects.exists()


def test_a_kit_of_nothing_gets_a_sentence(signed_in, member, resin):
    response = send_bottles(signed_in(member), resin, amount_a_g="", amount_b_g=" ")
    assert said_at(response, "amount_a_g") == "Say how much of A or of B came in."


def test_less_than_the_ledger_can_hold_gets_a_sentence(signed_in, member, resin):
    response = send_bottles(signed_in(member), resin, amount_a_g="0.0001 g")
    assert response.status_code == 422
    assert "less than a thousandth; nothing was written" in words_of(response)
    assert not Lot.objects.exists()


def test_a_code_in_use_gets_a_sentence_whatever_its_case(signed_in, member, resin):
    LotFactory(shop=member.shop, code="a-01")
    response = send_bottles(signed_in(member), resin)
    assert said_at(response, "code_a") == "There is something with the code “A-01” already. Take another."


def test_another_shops_resin_can_not_be_chosen(signed_in, member, resin):
    response = send_bottles(signed_in(member), resin, resin=ResinFactory().pk)
    assert "Select a valid choice." in said_at(response, "resin")


def test_a_removed_resin_can_not_be_chosen(signed_in, member, resin):
    removed = ResinFactory(shop=member.shop, removed_at=AT)
    assert send_bottles(signed_in(member), resin, resin=removed.pk).status_code == 422


def test_bottles_sent_twice_come_in_once(signed_in, member, resin):
    client, sent = signed_in(member), str(key())
    answers = [send_bottles(client, resin, key=sent).headers["Location"] for _ in range(2)]
    assert answers == [shelf(member)] * 2
    assert Lot.objects.count() == Movement.objects.count() == 2


def test_the_same_key_with_other_bottles_is_refused_with_a_sentence(signed_in, member, resin):
    client, sent = signed_in(member), str(key())
    send_bottles(client, resin, key=sent)
    response = send_bottles(client, resin, key=sent, code_a="A-02", code_b="B-02")
    assert response.status_code == 422
    assert "This was already sent, with other figures." in words_of(response)
    assert Lot.objects.count() == 2


def test_a_form_that_came_back_keeps_its_key_and_moment(signed_in, member, resin):
    """So that sending it again is the same act, at the time it was first pressed."""
    sent, now = str(key()), timezone.now().isoformat()
    found = typed_in(send_bottles(signed_in(member), resin, key=sent, happened_at=now, amount_a_g="two"))
    assert (found["key"], found["happened_at"], found["sent_at"]) == (sent, now, "")


def test_with_script_the_answer_is_where_to_go(signed_in, member, resin):
    response = signed_in(member).post(shelf(member) + "bottles/", bottles(resin), headers=FRAGMENT)
    assert (response.status_code, response.headers["HX-Redirect"]) == (204, shelf(member))


def test_bottles_leave_a_receipt_that_names_no_figures(signed_in, member, resin):
    send_bottles(signed_in(member), resin)
    assert Receipt.objects.get().answer == {"url": shelf(member)}


def test_a_stranger_brings_nothing_in(signed_in, member, resin):
    assert send_bottles(signed_in(MemberFactory()), resin).status_code == 404
    assert not Lot.objects.exists()


# bundles


@pytest.fixture
def species(member):
    return SpeciesFactory(shop=member.shop, name="black walnut")


def send_bundle(client, of, **more):
    typed = {
        "species": of.pk, "strips": "60", "thickness_mm": "2", "width_mm": "30", "length_mm": "60 cm",
        "code": "W-01", "cost": "", **more,
    }  # fmt: skip
    return client.post(f"/s/{of.shop.key}/shelf/bundle/", act(**typed))


def test_a_bundle_comes_in(signed_in, member, species):
    send_bundle(signed_in(member), species, cost="24,90")
    lot = Lot.objects.get()
    assert (lot.kind, lot.part, lot.what, lot.on_hand) == ("wood", "", "black walnut", 60)
    assert (lot.thickness_mm, lot.width_mm, lot.length_mm, str(lot.cost)) == (2, 30, 600, "24.90")


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("strips", "0", "More than 0 is needed."),
        ("strips", "-1", "More than 0 is needed."),
        ("strips", "2.5", "A whole number is needed."),
        ("strips", "1/2", "A whole number is needed."),
        ("strips", "1000000", "is too much: 100\u202f000 or less."),
        ("strips", "60 mm", "“mm” is no unit for this."),
        ("thickness_mm", "", "This field is required."),
        ("thickness_mm", "0,1", "0.1\u00a0mm is too little: 0.2\u00a0mm or more."),
        ("thickness_mm", "2 g", "“g” is no unit for this."),
        ("width_mm", "0", "More than 0\u00a0mm is needed."),
        ("length_mm", "1 km", "“km” is no unit for this."),
        ("length_mm", "11 m", "11\u202f000\u00a0mm is too much: 10\u202f000\u00a0mm or less."),
        ("code", " ", "This field is required."),
        ("species", "walnut", "Select a valid choice."),
        ("cost", "1.001", "no more than 2 decimal places"),
    ],
)
def test_bad_input_about_a_bundle_gets_a_sentence_and_stays(
    signed_in, member, species, field, text, sentence
):
    response = send_bundle(signed_in(member), species, **{field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response).get(field, text) == text
    assert not Lot.objects.exists()


def test_another_shops_wood_can_not_be_chosen(signed_in, member, species):
    assert send_bundle(signed_in(member), species, species=SpeciesFactory().pk).status_code == 422


def test_a_bundle_sent_twice_comes_in_once(signed_in, member, species):
    client, sent = signed_in(member), str(uuid.uuid4())
    for _ in range(2):
        assert send_bundle(client, species, key=sent).headers["Location"] == shelf(member)
    assert Lot.objects.count() == 1


def test_two_bundles_with_one_code_can_not_both_come(signed_in, member, species):
    client = signed_in(member)
    send_bundle(client, species)
    assert "There is something with the code “W-01” already." in said_at(send_bundle(client, species), "code")


@pytest.mark.parametrize("form", ["bottles/", "bundle/"])
def test_the_forms_of_the_shelf_ask_little_of_the_database(
    signed_in, member, resin, species, form, django_assert_max_num_queries
):
    client = signed_in(member)
    with django_assert_max_num_queries(8):
        client.get(shelf(member) + form)


# what is it?


def page_in(member, what, more=""):
    return f"/s/{member.shop.key}/shelf/in/{what}{more}"


def test_it_is_asked_what_came_in_first(signed_in, member):
    words = words_of(signed_in(member).get(page_in(member, "")))
    for what in ("Bottles of resin", "A bundle of strips", "Sawn stock", "A finish", "A leftover"):
        assert what in words


@pytest.mark.parametrize("kind", ["resin", "wood", "nonsense"])
def test_a_kind_with_no_form_of_its_own_here_is_no_page(signed_in, member, kind):
    assert signed_in(member).get(page_in(member, f"{kind}/")).status_code == 404


# what every ticket can say


def test_a_ticket_can_say_all_there_is_to_say(signed_in, member, resin):
    send_bottles(
        signed_in(member), resin, amount_b_g="", maker="Tarn works", received_on="2026-03-02",
        opened_on="2026-03-05", place="by the window", note="dented", photo=photo(),
    )  # fmt: skip
    lot = Lot.objects.get()
    assert (lot.maker, str(lot.received_on), str(lot.opened_on)) == ("Tarn works", "2026-03-02", "2026-03-05")
    assert (lot.place, lot.note) == ("by the window", "dented")
    assert lot.picture.width == 64


def test_both_bottles_of_a_kit_get_its_photo(signed_in, member, resin):
    send_bottles(signed_in(member), resin, photo=photo())
    assert len({lot.picture for lot in Lot.objects.all()}) == 1
    assert Picture.objects.count() == 1


def test_what_is_no_photo_gets_a_sentence_and_nothing_comes_in(signed_in, member, resin):
    response = send_bottles(signed_in(member), resin, photo=no_photo())
    assert response.status_code == 422
    assert "This file is no photo that can be read here" in said_at(response, "photo")
    assert typed_in(response)["amount_a_g"] == "2 kg"
    assert not Lot.objects.exists()


def test_a_photo_sent_twice_is_taken_in_once(signed_in, member, resin):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert send_bottles(client, resin, key=sent, photo=photo()).status_code == 302
    assert Picture.objects.count() == 1


@pytest.mark.parametrize(
    ("days", "field", "sentence"),
    [
        ({"received_on": "2199-01-01"}, "received_on", "This day is still to come."),
        ({"opened_on": "2199-01-01"}, "opened_on", "This day is still to come."),
        ({"received_on": "2026-03-02", "opened_on": "2026-03-01"}, "opened_on", "opened before it came in"),
        ({"received_on": "2026-03-02", "use_by": "2026-03-01"}, "use_by", "past its date when it came in"),
        ({"use_by": "9999-12-31"}, "use_by", "too far off to be a date on a label"),
    ],
)
def test_days_that_cannot_be_get_a_sentence(signed_in, member, resin, days, field, sentence):
    response = send_bottles(signed_in(member), resin, **days)
    assert response.status_code == 422
    assert sentence in said_at(response, field)


def test_without_a_date_a_bottle_keeps_as_long_as_its_sheet_says(signed_in, member, resin):
    resin.shelf_months_closed = 12
    resin.save()
    send_bottles(signed_in(member), resin, use_by="", received_on="2026-02-28")
    assert {str(lot.use_by) for lot in Lot.objects.all()} == {"2027-02-28"}


def test_a_date_on_the_label_stands_whatever_the_sheet_says(signed_in, member, resin):
    resin.shelf_months_closed = 12
    resin.save()
    send_bottles(signed_in(member), resin, use_by="2027-03-01")
    assert {str(lot.use_by) for lot in Lot.objects.all()} == {"2027-03-01"}


def test_without_a_date_on_label_or_sheet_none_is_made_up(signed_in, member, resin):
    send_bottles(signed_in(member), resin, use_by="")
    assert {lot.use_by for lot in Lot.objects.all()} == {None}
