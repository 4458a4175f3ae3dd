"""The same act again within minutes, under another key: asked about, since Back and a press look just so."""

from datetime import timedelta

import pytest
from django.urls import reverse

from materials.models import Movement
from projects.actions import take_back
from projects.models import LogEntry
from tests.factories import LotFactory, MemberFactory, SupplyFactory, key, moment
from tests.projects.pages import act, at, photo, typed_in, words_of
from tests.projects.room import Room
from workshop.models import Receipt

pytestmark = pytest.mark.django_db

QUESTION = "You wrote exactly this at "
# where the page stands, where it is sent, and what is typed beyond what stands in its fields
ACTS = {
    "act-strips": {"count": "5"},
    "act-seal": {"steady_or_falling": "yes", "temp_c": "20"},
    "act-mould": {"taped": "on"},
    "act-glue-up": {"pieces": "4", "temp_c": "20", "asked": "unticked", "why": "They come later"},
    "act-coat": {"temp_c": "20"},
    "act-demould": {"length_mm": "600 mm", "asked": "empty", "why": "The pour was not written down"},
    "pour": {},
    "project-new": {"title": "Stair window", "purpose": "piece"},
    "failure-new": {"kind": "soft", "where": "Edge", "severity": "repair"},
    "lesson-new": {"sentence": "Bottles warm", "step_kind": "pour"},
}


@pytest.fixture
def room():
    return Room()


@pytest.fixture
def maker(signed_in, room):
    return signed_in(room.member)


def note(client, room, text="Comb too tight", **more):
    """A line for the log, as a form sends it."""
    return client.post(at("note", room.shop, room.project.key), act(**{"note-text": text}, **more))


def notes(room):
    return LogEntry.objects.filter(project=room.project, text="Comb too tight").count()


def again_of(response):
    """The answer that the question's button carries."""
    return response.content.decode().split('name="again" value="')[1].split('"')[0]


def test_the_same_again_is_asked_about_and_not_written(maker, room):
    note(maker, room)
    answer = note(maker, room)
    assert answer.status_code == 422
    assert QUESTION in words_of(answer)
    assert typed_in(answer)["note-text"] == "Comb too tight"
    assert notes(room) == 1


def test_the_question_says_when_by_the_shops_clock(maker, room):
    note(maker, room)
    at_shop = Receipt.objects.get().created_at.astimezone(room.shop.tz)
    assert f"You wrote exactly this at {at_shop:%H:%M}. Was it done twice?" in words_of(note(maker, room))


def test_yes_a_second_time_writes_it(maker, room):
    note(maker, room)
    yes = again_of(note(maker, room))
    assert note(maker, room, again=yes).status_code == 302
    assert notes(room) == 2


def test_a_third_time_is_asked_about_again(maker, room):
    note(maker, room)
    yes = again_of(note(maker, room))
    note(maker, room, again=yes)
    assert note(maker, room, again=yes).status_code == 422
    assert notes(room) == 2


def test_a_second_time_that_is_sent_twice_is_written_once(maker, room):
    note(maker, room)
    yes, sent = again_of(note(maker, room)), str(key())
    for _ in range(2):
        assert note(maker, room, again=yes, key=sent).status_code == 302
    assert notes(room) == 2


def test_after_ten_minutes_nobody_asks(maker, room):
    note(maker, room)
    long_ago = Receipt.objects.get().created_at - timedelta(minutes=10, seconds=1)
    Receipt.objects.update(created_at=long_ago)
    assert note(maker, room).status_code == 302


def test_other_words_are_no_question(maker, room):
    note(maker, room)
    assert note(maker, room, text="Comb too loose").status_code == 302


def test_what_was_taken_back_is_no_first_time(maker, room):
    where = room.address("act-demould")
    typed = typed_in(maker.get(where)) | ACTS["act-demould"]
    assert maker.post(where, {**typed, "key": str(key())}).status_code == 302
    entry = LogEntry.objects.get(kind="demould")
    take_back.take_back(room.member, entry, "Wrong figure", key=key(), moment=moment(90))
    assert QUESTION not in words_of(maker.post(where, {**typed, "key": str(key())}))


def test_somebody_elses_same_words_are_no_question(signed_in, room):
    note(signed_in(room.member), room)
    assert note(signed_in(MemberFactory(shop=room.shop)), room).status_code == 302


def test_a_double_tap_is_answered_as_ever(maker, room):
    sent = str(key())
    for _ in range(2):
        assert note(maker, room, key=sent).status_code == 302
    assert notes(room) == 1


def test_what_was_refused_is_no_first_time(maker, room):
    assert note(maker, room, text="").status_code == 422
    assert note(maker, room).status_code == 302


@pytest.mark.parametrize("name", ACTS)
def test_each_act_of_the_bench_asks(maker, room, name):
    where = room.address(name)
    typed = typed_in(maker.get(where)) | ACTS[name]
    first = maker.post(where, {**typed, "key": str(key())})
    assert first.status_code == 302
    answer = maker.post(where, {**typed, "key": str(key())})
    assert answer.status_code == 422
    assert QUESTION in words_of(answer)


def test_a_cup_asks(maker, room, monkeypatch):
    monkeypatch.setattr("projects.check.unkept.stops", lambda *rest, **warmth: [])
    typed = {
        "a_g": "300", "room_c": "20", "lot_a": room.lot_a.pk, "lot_b": room.lot_b.pk, "wanted_a_g": "300",
        "humidity_percent": "",
    }  # fmt: skip
    where = at("mix", room.shop, room.step.key)
    answers = [maker.post(where, act(**typed)) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 422]
    assert QUESTION in words_of(answers[1])


def test_two_readings_that_are_rightly_equal_are_asked_about_once(maker, room):
    where = at("reading-new", room.shop) + "?kind=temperature"
    typed = {"value": "19.5", "text": ""}
    maker.post(where, act(**typed))
    asked = maker.post(where, act(**typed))
    assert asked.status_code == 422
    assert maker.post(where, act(**typed, again=again_of(asked))).status_code == 302


def test_the_same_figure_of_another_kind_is_no_question(maker, room):
    """Twenty degrees, then twenty percent: the kind stands in the address alone."""
    where, typed = at("reading-new", room.shop), {"value": "20", "text": ""}
    assert maker.post(where + "?kind=temperature", act(**typed)).status_code == 302
    assert maker.post(where + "?kind=humidity", act(**typed)).status_code == 302


def test_a_line_of_the_ledger_asks(maker, room):
    lot = LotFactory(shop=room.shop, resin=room.resin)
    where = reverse("materials:lot", args=[room.shop.key, lot.key])
    answers = [maker.post(where, act(kind="waste", amount="20 g", why="spilt")) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 422]
    assert Movement.objects.filter(lot=lot, kind="waste").count() == 1


def test_a_line_of_the_shelf_list_asks(maker, room):
    tape = SupplyFactory(shop=room.shop)
    where = at("shelf-list", room.shop, room.project.key)
    answers = [maker.post(where, act(supply=tape.pk, amount="", step="")) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 422]


def test_a_clock_asks(maker, room):
    where = at("clock-new", room.shop)
    answers = [maker.post(where, act(name="glue pot", minutes="20 min", project="")) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 422]


def test_the_same_photo_asks(maker, room):
    where = at("photo", room.shop, room.project.key)
    answers = [maker.post(where, {**act(text="the comb"), "photo": photo()}) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [302, 422]


def test_what_changes_a_row_does_not_ask(maker, room):
    where = at("piece", room.shop, room.project.key)
    typed = {"title": "Fanlight", "purpose": "piece", "due_on": "", "customer": "", "customer_note": ""}
    assert [maker.post(where, act(**typed)).status_code for _ in range(2)] == [302, 302]
