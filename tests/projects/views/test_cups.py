from datetime import timedelta

import pytest
from django.utils import timezone

from materials.models import Batch, Reading
from projects.models import LogEntry, Timer
from tests.factories import AT, Bench, LotFactory, ResinFactory
from tests.projects.pages import FRAGMENT, act, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def nothing_stops(monkeypatch):
    """What stops a cup that nobody checked has tests of its own: check/test_unkept.py."""
    monkeypatch.setattr("projects.check.unkept.stops", lambda *rest, **warmth: [])


def mix_page(bench):
    return at("mix", bench.shop, bench.step.key)


def cup_page(bench, batch):
    return at("cup", bench.shop, bench.step.key, batch.key)


def typed(bench, **changed):
    return {
        "a_g": "314.5 g", "room_c": "20 °C", "humidity_percent": "", "lot_a": str(bench.lot_a.pk),
        "lot_b": str(bench.lot_b.pk), "wanted_a_g": "313.5", **changed,
    }  # fmt: skip


# --- before the parts meet ---


def test_the_page_asks_for_the_a_that_the_block_wants(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(mix_page(bench), {"cups": "1"}))
    # 1022.729 g * 100/145 and * 45/145 (worked in test_advice.py)
    assert "A wanted 705.3 g" in words
    assert "B wanted 317.4 g" in words


def test_in_three_cups_each_takes_a_third(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(mix_page(bench), {"cups": "3"}))
    assert "A wanted 235.1 g" in words  # 705.330 / 3


@pytest.mark.parametrize(("said", "cups"), [("0", 1), ("99", 6), ("9" * 5000, 6)])
def test_any_number_of_cups_that_is_asked_for_gives_a_page(signed_in, said, cups):
    bench = Bench()
    response = signed_in(bench.member).get(mix_page(bench), {"cups": said})
    assert response.context["wanted"].cups == cups


@pytest.mark.parametrize("said", ["", "-2", "two", "²"])
def test_unless_the_maker_says_so_no_cup_is_heavier_than_the_sheets_as_far_as_six_go(signed_in, said):
    bench = Bench()
    bench.resin.pot_mass_g = 300
    bench.resin.save()
    response = signed_in(bench.member).get(mix_page(bench), {"cups": said})
    assert response.context["wanted"].cups == 4  # 1022.729 g in cups of 300 g at most


def test_the_cups_that_are_left_are_as_large_as_the_first(signed_in):
    bench = Bench()
    bench.resin.pot_mass_g = 300
    bench.resin.save()
    page = mix_page(bench)
    whole = signed_in(bench.member).get(page).context["wanted"].mix.mixed_g
    bench.weigh_b(bench.meet(a_g=whole * 100 / 145), grams=whole * 45 / 145)
    assert signed_in(bench.member).get(page).context["wanted"].mix.mixed_g == pytest.approx(whole)


def test_what_is_mixed_already_is_no_longer_wanted(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet(a_g=600), grams=270)
    words = words_of(signed_in(bench.member).get(mix_page(bench), {"cups": "1"}))
    assert "A wanted 105.3 g" in words  # (1022.729 - 870) * 100/145


def test_when_all_is_in_the_mould_a_cup_of_the_sheet_is_offered(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet(a_g=800), grams=360)
    bench.pour()
    assert "A wanted 69 g" in words_of(signed_in(bench.member).get(mix_page(bench)))  # 100 * 100/145


def test_where_nothing_was_measured_the_thermometer_is_to_be_read(signed_in):
    bench = Bench()
    assert typed_in(signed_in(bench.member).get(mix_page(bench)))["room_c"] == ""


def test_what_was_measured_within_two_hours_stands_in_the_field(signed_in):
    bench = Bench()
    bench.meet(room_c=17.5)
    Reading.objects.update(taken_at=timezone.now() - timedelta(minutes=119))
    assert typed_in(signed_in(bench.member).get(mix_page(bench)))["room_c"] == "17.5 °C"


def test_what_was_measured_earlier_is_not_taken_for_now(signed_in):
    bench = Bench()
    bench.meet(room_c=17.5)
    Reading.objects.update(taken_at=timezone.now() - timedelta(minutes=121))
    assert typed_in(signed_in(bench.member).get(mix_page(bench)))["room_c"] == ""


def test_without_a_resin_the_page_leads_to_the_block(signed_in):
    bench = Bench()
    type(bench.block).objects.update(resin=None)
    response = signed_in(bench.member).get(mix_page(bench))
    assert "No resin chosen" in words_of(response)
    assert at("block-of", bench.shop, bench.project.key, "A").encode() in response.content


def test_without_a_bottle_of_b_the_page_leads_to_the_shelf(signed_in):
    bench = Bench()
    type(bench.lot_b).objects.filter(pk=bench.lot_b.pk).update(removed_at=AT)
    response = signed_in(bench.member).get(mix_page(bench))
    assert "A bottle is missing" in words_of(response)
    assert f"/s/{bench.shop.key}/shelf/bottles/".encode() in response.content


# --- as one types ---


def test_a_keystroke_gets_b_alone(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(mix_page(bench), typed(bench), **FRAGMENT)
    assert b"<html" not in response.content
    assert "B follows A 141.5 g" in words_of(response)  # 314.5 * 0.45 = 141.525


def test_a_keystroke_says_how_long_such_a_cup_lasts(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(mix_page(bench), typed(bench), **FRAGMENT))
    # 90 * 2^0.5 = 127.3 min
    assert "64 min on the clock from the moment B goes in: half of the sheet’s 2:07 h." in words


def test_a_light_cup_is_not_called_shorter(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(mix_page(bench), typed(bench, a_g="60"), **FRAGMENT))
    assert "pot life from the moment B goes in." in words
    assert "half of the sheet" not in words


def test_an_empty_a_shows_what_is_wanted(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(mix_page(bench), typed(bench, a_g="", cups="1"), **FRAGMENT))
    assert "B wanted 317.4 g" in words


def test_a_keystroke_that_is_wrong_says_so_at_its_field(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(mix_page(bench), typed(bench, a_g="314 mm"), **FRAGMENT)
    assert response.status_code == 200
    assert "“mm” is no unit for this." in said_at(response, "a_g")


def test_a_keystroke_mixes_nothing(signed_in):
    bench = Bench()
    signed_in(bench.member).get(mix_page(bench), typed(bench), **FRAGMENT)
    assert not Batch.objects.exists()


# --- the parts meet ---


def test_the_parts_met_and_the_cup_is_shown(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(mix_page(bench), act(**typed(bench)))
    batch = Batch.objects.get()
    assert (response.status_code, response["Location"]) == (302, cup_page(bench, batch))
    assert (batch.actual_a_g, batch.room_c, batch.lot_a, batch.lot_b) == (314.5, 20, bench.lot_a, bench.lot_b)


def test_a_script_is_led_to_the_cup(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(mix_page(bench), act(**typed(bench)), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, cup_page(bench, Batch.objects.get()))


@pytest.mark.parametrize(("said", "a_g"), [("314,5", 314.5), ("0.3145 kg", 314.5), ("11 oz", 311.844754)])
def test_a_mass_is_read_as_people_type_it(signed_in, said, a_g):
    bench = Bench()
    signed_in(bench.member).post(mix_page(bench), act(**typed(bench, a_g=said)))
    assert Batch.objects.get().actual_a_g == pytest.approx(a_g, abs=1e-6)  # 1 oz is 28.349523125 g


def test_fahrenheit_is_stored_as_celsius(signed_in):
    bench = Bench()
    signed_in(bench.member).post(mix_page(bench), act(**typed(bench, room_c="68 °F")))
    assert Batch.objects.get().room_c == pytest.approx(20, abs=1e-9)


WRONG_CUP = [
    ("a_g", "", "This field is required."),
    ("a_g", "0", "0.01 g or more"),
    ("a_g", "0.0001", "0.01 g or more"),
    ("a_g", "-5", "0.01 g or more"),
    ("a_g", "900 kg", "50 000 g or less"),
    ("a_g", "20 °C", "“°C” is no unit for this."),
    ("a_g", "lots", "“lots” is not understood. Write it like 350 g or 12 oz."),
    ("room_c", "", "Read the thermometer: how long it takes hangs on it."),
    ("room_c", "314 g", "“g” is no unit for this."),
    ("room_c", "200", "200 °C is too much: 60 °C or less."),
    ("room_c", "−40", "−40 °C is too little: −10 °C or more."),
    ("humidity_percent", "0", "0 % is too little: 1 % or more."),
    ("humidity_percent", "120", "120 % is too much: 100 % or less."),
    ("humidity_percent", "20 °C", "“°C” is no unit for this."),
    ("lot_a", "", "This field is required."),
    ("lot_a", "999999", "Select a valid choice."),
]


@pytest.mark.parametrize(("field", "said", "sentence"), WRONG_CUP)
def test_what_is_wrong_with_a_cup_is_said_at_its_field(signed_in, field, said, sentence):
    bench = Bench()
    response = signed_in(bench.member).post(mix_page(bench), act(**typed(bench, **{field: said})))
    assert response.status_code == 422
    assert sentence in " ".join(said_at(response, field).split())
    assert not Batch.objects.exists()


@pytest.mark.parametrize(
    ("field", "said"), [("a_g", "0.0001"), ("a_g", "20 °C"), ("room_c", "200"), ("humidity_percent", "120")]
)
def test_what_was_typed_for_a_cup_is_kept_when_something_is_wrong(signed_in, field, said):
    bench = Bench()
    sent = typed(bench, humidity_percent="55 %") | {field: said}
    found = typed_in(signed_in(bench.member).post(mix_page(bench), act(**sent)))
    assert {name: found[name] for name in sent} == sent


@pytest.mark.parametrize(("field", "said", "sentence"), WRONG_CUP)
def test_a_keystroke_with_any_of_these_gets_an_answer(signed_in, field, said, sentence):
    bench = Bench()
    response = signed_in(bench.member).get(mix_page(bench), typed(bench, **{field: said}), **FRAGMENT)
    assert response.status_code == 200


def test_a_bottle_of_the_other_part_is_no_choice(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(mix_page(bench), act(**typed(bench, lot_a=str(bench.lot_b.pk))))
    assert response.status_code == 422
    assert "Select a valid choice." in said_at(response, "lot_a")


def test_a_bottle_of_another_resin_is_no_choice(signed_in):
    bench = Bench()
    other = LotFactory(shop=bench.shop, resin=ResinFactory(shop=bench.shop), part="A")
    response = signed_in(bench.member).post(mix_page(bench), act(**typed(bench, lot_a=str(other.pk))))
    assert response.status_code == 422
    assert "Select a valid choice." in said_at(response, "lot_a")


def test_the_number_of_cups_is_kept_when_something_is_wrong(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(mix_page(bench), act(**typed(bench, a_g="", cups="3")))
    assert typed_in(response)["cups"] == "3"


# --- sent twice, and from a phone with a wrong clock ---


def test_a_cup_sent_twice_is_mixed_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed(bench))
    answers = [client.post(mix_page(bench), sent) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert Batch.objects.count() == Timer.objects.count() == LogEntry.objects.count() == 1
    assert bench.lot_a.on_hand == 5000 - 314.5


def test_the_same_act_with_another_mass_is_refused_with_a_sentence(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed(bench))
    client.post(mix_page(bench), sent)
    response = client.post(mix_page(bench), {**sent, "a_g": "200 g"})
    assert response.status_code == 422
    assert "This was already sent, with other figures." in words_of(response)
    assert Batch.objects.get().actual_a_g == 314.5


@pytest.mark.parametrize("wrong_by", [timedelta(hours=3), timedelta(days=-400)])
def test_a_phone_with_a_wrong_clock_still_says_how_long_ago_the_parts_met(signed_in, wrong_by):
    bench = Bench()
    sent_at = timezone.now() + wrong_by
    happened_at = sent_at - timedelta(minutes=12)
    moments = {"happened_at": happened_at.isoformat(), "sent_at": sent_at.isoformat()}
    before = timezone.now()
    signed_in(bench.member).post(mix_page(bench), {**act(**typed(bench)), **moments})
    after = timezone.now()
    met_at = Batch.objects.get().met_at
    assert before - timedelta(minutes=12) <= met_at <= after - timedelta(minutes=12)
    assert Timer.objects.get().started_at == met_at


def test_what_the_phones_clock_said_is_kept_beside_it(signed_in):
    bench = Bench()
    sent_at = timezone.now() + timedelta(hours=3)
    moments = {"happened_at": (sent_at - timedelta(minutes=12)).isoformat(), "sent_at": sent_at.isoformat()}
    signed_in(bench.member).post(mix_page(bench), {**act(**typed(bench)), **moments})
    entry = LogEntry.objects.get()
    assert entry.raw_happened_at == sent_at - timedelta(minutes=12)
    assert entry.received_at - entry.happened_at >= timedelta(minutes=12)


def test_without_the_phones_moments_the_arrival_counts(signed_in):
    bench = Bench()
    before = timezone.now()
    signed_in(bench.member).post(mix_page(bench), act(**typed(bench)))
    assert before <= Batch.objects.get().met_at <= timezone.now()


@pytest.mark.parametrize("a_g", ["0.01", "50000"])
def test_the_least_and_the_most_of_a_make_a_cup_that_can_be_shown(signed_in, a_g):
    bench = Bench()
    client = signed_in(bench.member)
    asked = typed_in(client.post(mix_page(bench), act(**typed(bench, a_g=a_g))))["asked"]
    assert asked == "cup_slip"
    client.post(mix_page(bench), act(**typed(bench, a_g=a_g), asked=asked, why="Mixed so on purpose"))
    batch = Batch.objects.get()
    assert client.get(cup_page(bench, batch)).status_code == 200
    assert client.get(at("now", bench.shop)).status_code == 200


# --- cup after cup ---


def test_ten_times_the_wanted_a_is_asked_about(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    said = words_of(client.post(mix_page(bench), act(**typed(bench, a_g="1500", wanted_a_g="150"))))
    assert "g of A is far more than the 150 g wanted for this cup." in said
    assert Batch.objects.count() == 0


def test_a_b_with_a_digit_too_many_is_to_be_typed_again(signed_in):
    bench = Bench()
    batch = bench.weigh_b(bench.meet(), grams=1415)
    page = signed_in(bench.member).get(cup_page(bench, batch))
    said = words_of(page)
    assert "Was B 141.5 g? A digit or a point looks wrong" in said
    assert "Type B again" in said
    assert "Add " not in said
    assert b'href="?change=B"' in page.content


def test_a_cup_leads_to_the_next_one_while_more_is_wanted(signed_in):
    bench = Bench()
    batch = bench.weigh_b(bench.meet(a_g=60.0), grams=27.0)
    assert "Mix the next cup first" in words_of(signed_in(bench.member).get(cup_page(bench, batch)))


def test_the_model_of_the_sheet_stands_beside_the_clock_of_a_heavy_cup(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    said = words_of(client.get(mix_page(bench), {"a_g": "314.5", "room_c": "20"}, **FRAGMENT))
    assert "it is fitted to the sheet, and no cup of yours stands behind it" in said
