"""History in words: labels for names, units for figures."""

import uuid
from datetime import date

import pytest

from tests.factories import AT, MemberFactory, ResinFactory
from workshop import history, told
from workshop.told import Teller

pytestmark = pytest.mark.django_db


def tell(verb="changed", system="metric", lot_units=None, label="Tarn 90", **more):
    resin = ResinFactory(name="Tarn 90")
    event = history.record(MemberFactory(shop=resin.shop), verb, resin, at=AT, label=label, **more)
    return Teller(system, {resin.key: lot_units} if lot_units else None).tell(event)


@pytest.mark.parametrize(
    ("name", "value", "label", "said"),
    [
        ("day_c", 20.0, "usually by day", "20\u00a0°C"),
        ("gap_mm", 1.5, "gap", "1.5\u00a0mm"),
        ("density_a_g_ml", 1.12, "density of A", "1.12\u00a0g/ml"),
        ("viscosity_pa_s", 0.5, "viscosity", "0.5\u00a0Pa·s"),
        ("day_humidity_percent", 45, "humidity by day", "45\u00a0%"),
        ("pot_minutes", 90, "pot life", "90\u00a0min"),
        ("angle_error_deg", 0.1, "angles are true to", "0.1°"),
        ("demould_h", 24, "out of the mould after", "24\u00a0h"),
        ("strips", 60, "strips", "60"),
        ("day_from", "08:00:00", "day begins", "08:00"),
        ("pot_meaning", "at the mix", "pot meaning", "at the mix"),
        ("penetrating", True, "soaks in", "yes"),
        ("note", "", "note", "–"),
        ("min_c", None, "not colder than", "–"),
        ("radial", 0.00126, "movement across the rings", "0.00126"),
        ("opened_on", "2026-03-02", "opened on", "2 Mar 2026"),
        ("lead_days", 3, "days on the road", "3"),
    ],
)
def test_a_field_is_told_in_words_and_units(name, value, label, said):
    assert tell(after={name: value}).changes == ((label, "", said),)


def test_an_inch_shop_reads_inches():
    assert tell(system="inch", after={"gap_mm": 25.4}).changes == (("gap", "", "1\u00a0in"),)


@pytest.mark.parametrize(
    ("unit", "said"), [("g", "314.5\u00a0g"), ("strips", "314.5\u00a0strips"), (None, "314.5")]
)
def test_thousandths_are_told_in_the_unit_of_their_lot(unit, said):
    line = tell("use", lot_units=unit, after={"thousandths": 314_500})
    assert line.changes == (("amount", "", said),)


def test_a_verb_of_the_ledger_is_told_as_people_say_it():
    assert tell("use").did == "took from"


def test_a_change_tells_from_what_to_what():
    line = tell(before={"day_c": 20}, after={"day_c": 18})
    assert line.changes == (("usually by day", "20\u00a0°C", "18\u00a0°C"),)


def test_what_stayed_as_it_was_is_not_told():
    assert tell(before={"strips": 3, "gap_mm": 1}, after={"strips": 3, "gap_mm": 2}).changes == (
        ("gap", "1\u00a0mm", "2\u00a0mm"),
    )


def test_the_name_of_what_was_added_is_not_told_twice():
    assert tell("added", after={"name": "Tarn 90"}).changes == ()


def test_a_line_without_a_person_is_the_programs():
    resin = ResinFactory()
    event = history.record(None, "brought in", resin, at=AT, label="Tarn 90")
    assert Teller("metric").tell(event).who == "the program"


def test_a_line_stands_under_its_day():
    assert tell().day == date(2026, 3, 10)


def test_other_rooms_say_what_their_lots_are_measured_in(monkeypatch):
    one = uuid.uuid4()
    monkeypatch.setattr(told, "LOT_UNITS", [lambda keys: dict.fromkeys(keys, "g")])
    assert told.lot_units([one]) == {one: "g"}


@pytest.mark.parametrize(
    ("verb", "did"), [("logged timer", "set a clock"), ("logged glue_up", "logged a glue-up")]
)
def test_an_act_is_told_in_words(verb, did):
    assert tell(verb).did == did
