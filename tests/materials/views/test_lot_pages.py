"""A lot's ticket changed, a lot opened, marked, taken off and put back."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from materials.models import Lot
from tests.factories import (
    AT,
    LotFactory,
    MemberFactory,
    ResinFactory,
    SupplyLotFactory,
    WoodLotFactory,
    key,
)
from tests.projects.pages import act, no_photo, photo, said_at, typed_in, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory(shop__zone="Europe/Berlin")


@pytest.fixture
def lot(member):
    resin = ResinFactory(shop=member.shop, name="Tarn 90", shelf_months_open=6)
    return LotFactory(shop=member.shop, resin=resin, code="A-01", received_on=date(2026, 1, 5))


def url_of(lot, page=""):
    return f"/s/{lot.shop.key}/shelf/lots/{lot.key}/{page}"


def send(client, lot, page, **typed):
    return client.post(url_of(lot, page), act(**typed))


# the lot's page


def test_the_page_says_all_that_the_ticket_says(signed_in, member, lot):
    Lot.objects.update(
        maker="Tarn works", place="by the window", note="dented", cost="12.50", condition="darkened"
    )
    words = words_of(signed_in(member).get(url_of(lot)))
    for said in ("Maker Tarn works", "Stands by the window", "Note dented", "Cost 12.50 EUR"):
        assert said in words


@pytest.mark.parametrize(
    ("condition", "sentence"),
    [
        ("crystallised", "warmed gently, as its sheet says, and stirred until it is clear"),
        ("darkened", "Darkened B gives the casting its colour. Mix a test cup first"),
        ("thickened", "Mix a test cup first; what stays soft goes out"),
    ],
)
def test_how_it_looked_comes_with_what_to_do(signed_in, member, lot, condition, sentence):
    Lot.objects.update(condition=condition)
    words = words_of(signed_in(member).get(url_of(lot)))
    assert sentence in words
    assert "(common practice, no source)" in words


def test_what_looks_fine_needs_no_advice(signed_in, member, lot):
    Lot.objects.update(condition="fine")
    assert "common practice" not in words_of(signed_in(member).get(url_of(lot)))


def test_a_bottle_that_is_open_too_long_says_so(signed_in, member, lot):
    Lot.objects.update(opened_on=date(2020, 1, 5))
    words = words_of(signed_in(member).get(url_of(lot)))
    assert "is open since 5 Jan 2020; its sheet says 6 months." in words


def test_a_leftover_shows_its_length_first(signed_in, member):
    lot = WoodLotFactory(
        shop=member.shop, kind="leftover", unit="pieces", grams=2, length_mm=412, strip_mm=2, gap_mm=2,
        phase_mm=0.6, came_from="031 Stair window",
    )  # fmt: skip
    words = words_of(signed_in(member).get(url_of(lot)))
    assert "412 mm long, and 2 alike on hand" in words
    assert "First line from the marked edge 0.6 mm From 031 Stair window" in words


def test_what_is_not_counted_has_a_level_and_no_ledger(signed_in, member):
    words = words_of(signed_in(member).get(url_of(SupplyLotFactory(shop=member.shop))))
    assert "enough At a glance ; it is not counted." in words
    assert "In and out" not in words


def test_a_line_for_what_is_not_counted_is_refused_with_a_sentence(signed_in, member):
    lot = SupplyLotFactory(shop=member.shop, code="K-01")
    response = send(signed_in(member), lot, "", kind="use", amount="2", why="")
    assert response.status_code == 422
    assert "K-01 is not counted: say whether there is enough." in words_of(response)
    assert not lot.movements.exists()


# its ticket


def ticket(**more):
    return {"code": "A-01", "received_on": "2026-01-05", **more}


def test_a_ticket_is_shown_as_it_reads(signed_in, member, lot):
    Lot.objects.update(place="by the window", use_by=date(2027, 3, 1))
    found = typed_in(signed_in(member).get(url_of(lot, "ticket/")))
    assert (found["code"], found["place"], found["use_by"]) == ("A-01", "by the window", "2027-03-01")


def test_a_ticket_is_changed(signed_in, member, lot):
    response = send(
        signed_in(member), lot, "ticket/", **ticket(code="A-07", place="cellar", cost="12,50", photo=photo())
    )
    assert response.headers["Location"] == url_of(lot)
    kept = Lot.objects.get()
    assert (kept.code, kept.place, str(kept.cost), kept.picture.width) == ("A-07", "cellar", "12.50", 64)


def test_without_a_new_photo_the_kept_one_stays(signed_in, member, lot):
    client = signed_in(member)
    send(client, lot, "ticket/", **ticket(photo=photo()))
    send(client, lot, "ticket/", **ticket(note="x"))
    assert Lot.objects.get().picture is not None


def test_a_bundles_sizes_can_be_put_right(signed_in, member):
    lot = WoodLotFactory(shop=member.shop, code="W-01")
    sizes = {"thickness_mm": "1.9 mm", "width_mm": "25", "length_mm": "1 in"}
    send(signed_in(member), lot, "ticket/", **ticket(code="W-01", **sizes))
    lot.refresh_from_db()
    assert (lot.thickness_mm, lot.width_mm, lot.length_mm) == (1.9, 25, 25.4)


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("code", "", "This field is required."),
        ("code", "b-02", "There is something with the code “b-02” already."),
        ("received_on", "", "This field is required."),
        ("opened_on", "2026-01-04", "opened before it came in"),
        ("use_by", "never", "Enter a valid date."),
        ("cost", "dear", "This is no sum of money."),
        ("note", "x" * 301, "at most 300 characters"),
    ],
)
def test_bad_input_for_a_ticket_gets_a_sentence_and_stays(signed_in, member, lot, field, text, sentence):
    LotFactory(shop=member.shop, code="B-02")
    response = send(signed_in(member), lot, "ticket/", **ticket(**{field: text}))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response)[field] == text
    assert not Event.objects.exists()


def test_what_is_no_photo_changes_nothing(signed_in, member, lot):
    response = send(signed_in(member), lot, "ticket/", **ticket(code="A-07", photo=no_photo()))
    assert response.status_code == 422
    assert Lot.objects.get().code == "A-01"


def test_a_ticket_sent_twice_is_changed_once(signed_in, member, lot):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert send(client, lot, "ticket/", **ticket(key=sent, note="x")).status_code == 302
    assert Event.objects.count() == 1


# opening it


def opening(**more):
    return {"opened_on": "2026-03-09", "condition": "fine", "use_by": "", "note": "", **more}


def test_the_earlier_date_of_label_and_sheet_is_proposed(signed_in, member, lot):
    today = timezone.localdate(timezone=member.shop.tz)
    Lot.objects.update(use_by=today + timedelta(30))
    found = typed_in(signed_in(member).get(url_of(lot, "open/")))
    assert (found["opened_on"], found["use_by"]) == (str(today), str(today + timedelta(30)))


def test_a_lot_is_opened(signed_in, member, lot):
    response = send(signed_in(member), lot, "open/", **opening(condition="crystallised", use_by="2026-09-09"))
    assert response.headers["Location"] == url_of(lot)
    kept = Lot.objects.get()
    assert (str(kept.opened_on), kept.condition, str(kept.use_by)) == (
        "2026-03-09",
        "crystallised",
        "2026-09-09",
    )


def test_how_it_looks_can_be_said_later(signed_in, member, lot):
    Lot.objects.update(opened_on=date(2026, 2, 1))
    found = typed_in(signed_in(member).get(url_of(lot, "open/")))
    assert found["opened_on"] == "2026-02-01"


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("opened_on", "", "This field is required."),
        ("opened_on", "2026-01-04", "It would have been opened before it came in."),
        ("opened_on", "2199-01-01", "This day is still to come."),
        ("condition", "rotten", "Select a valid choice."),
        ("condition", "", "This field is required."),
        ("use_by", "soon", "Enter a valid date."),
    ],
)
def test_bad_input_on_opening_gets_a_sentence(signed_in, member, lot, field, text, sentence):
    response = send(signed_in(member), lot, "open/", **opening(**{field: text}))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert Lot.objects.get().condition == ""


def test_opening_sent_twice_is_told_once(signed_in, member, lot):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert send(client, lot, "open/", **opening(key=sent)).status_code == 302
    assert Event.objects.count() == 1


# enough, low, gone


@pytest.mark.parametrize("level", ["enough", "low", "gone"])
def test_a_level_is_set(signed_in, member, level):
    lot = SupplyLotFactory(shop=member.shop)
    assert send(signed_in(member), lot, "level/", level=level).headers["Location"] == url_of(lot)
    assert Lot.objects.get().level == level


@pytest.mark.parametrize("level", ["", "half"])
def test_no_other_level_is_taken(signed_in, member, level):
    lot = SupplyLotFactory(shop=member.shop)
    assert send(signed_in(member), lot, "level/", level=level).status_code == 422
    assert Lot.objects.get().level == "enough"


def test_a_level_for_what_is_counted_is_refused_with_a_sentence(signed_in, member, lot):
    response = send(signed_in(member), lot, "level/", level="low")
    assert response.status_code == 422
    assert "A-01 is counted: write a line of what is left." in words_of(response)


# off the shelf and back


def test_a_lot_is_taken_off_and_put_back(signed_in, member, lot):
    client = signed_in(member)
    send(client, lot, "off/", removed="yes")
    assert "off the shelf Since" in (words := words_of(client.get(url_of(lot))))
    assert "Put it back on the shelf" in words
    send(client, lot, "off/", removed="no")
    assert Lot.objects.get().removed_at is None


def test_taken_off_sent_twice_is_told_once(signed_in, member, lot):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert send(client, lot, "off/", key=sent, removed="yes").status_code == 302
    assert Event.objects.count() == 1


def test_the_same_key_to_take_off_and_put_back_is_refused(signed_in, member, lot):
    client, sent = signed_in(member), str(key())
    send(client, lot, "off/", key=sent, removed="yes")
    response = send(client, lot, "off/", key=sent, removed="no")
    assert response.status_code == 422
    assert "This was already sent, with other figures." in words_of(response)


def test_a_viewer_sees_nothing_to_press(signed_in, member, lot):
    viewer = MemberFactory(shop=member.shop, role="viewer")
    words = words_of(signed_in(viewer).get(url_of(lot)))
    assert "Change its ticket" not in words
    assert "Take it off the shelf" not in words


@pytest.mark.parametrize("page", ["ticket/", "open/", "level/", "off/"])
def test_a_stranger_changes_nothing(signed_in, lot, page):
    typed = {**ticket(code="X"), **opening(), "level": "low", "removed": "yes"}
    assert send(signed_in(MemberFactory()), lot, page, **typed).status_code == 404
    assert Lot.objects.get().code == "A-01"


@pytest.mark.parametrize(("page", "queries"), [("ticket/", 4), ("open/", 4)])
def test_its_forms_ask_the_database_four_times(
    signed_in, member, lot, page, queries, django_assert_num_queries
):
    client = signed_in(member)
    with django_assert_num_queries(queries):  # session, user, member and shop, lot
        client.get(url_of(lot, page))


def test_a_lot_that_was_taken_off_says_no_more_about_its_date(signed_in, member, lot):
    Lot.objects.update(opened_on=date(2020, 1, 5), removed_at=AT)
    assert "is open since" not in words_of(signed_in(member).get(url_of(lot)))
