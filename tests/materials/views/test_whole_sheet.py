"""All that a resin's data sheet may say beyond the first lines, and the sheet itself."""

import pytest

from materials.models import Resin
from tests.factories import MemberFactory, key
from tests.materials.views.test_resins import FIRST, REST, add, url_of
from tests.projects.pages import act, said_at, typed_in
from tests.workshop.photos import pdf
from workshop.models import Document, Event

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


# all that a sheet may say


MORE = {
    "viscosity_pa_s": ("500 mPa·s", 0.5),
    "cup_peak_c": ("120 °C", 120),
    "depth_c": ("68 °F", 20),
    "full_cure_h": ("7 d", 168),
    "max_humidity_percent": ("75", 75),
    "pack_g": ("1.45 kg", 1450),
    "lead_days": ("3", 3),
    "shelf_months_closed": ("24", 24),
    "shelf_months_open": ("6", 6),
}


@pytest.mark.parametrize("field", sorted(MORE))
def test_a_further_figure_of_the_sheet_is_kept_and_shown(signed_in, member, field):
    text, kept = MORE[field]
    client = signed_in(member)
    add(client, member, **{field: text})
    resin = Resin.objects.get()
    assert getattr(resin, field) == pytest.approx(kept)
    assert typed_in(client.get(url_of(resin)))[field]


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("max_humidity_percent", "101", "is too much"),
        ("pack_g", "0", "More than 0\u00a0g is needed."),
        ("lead_days", "-1", "greater than or equal to 0"),
        ("shelf_months_open", "1.5", "Enter a whole number."),
        ("viscosity_pa_s", "0", "is too little"),
        ("cup_peak_c", "900 °C", "is too much"),
    ],
)
def test_a_further_figure_that_cannot_be_gets_a_sentence_in_the_open_fold(
    signed_in, member, field, text, sentence
):
    response = add(signed_in(member), member, **{field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert "<details open>" in response.content.decode()


SECOND = {"second_pot_minutes": "25 min", "second_pot_mass_g": "500 g", "second_pot_c": "25 °C"}


def test_a_second_pot_life_is_kept_whole(signed_in, member):
    add(signed_in(member), member, **SECOND)
    resin = Resin.objects.get()
    assert (resin.second_pot_minutes, resin.second_pot_mass_g, resin.second_pot_c) == (25, 500, 25)


@pytest.mark.parametrize("missing", sorted(SECOND))
def test_a_second_pot_life_in_parts_is_asked_for_whole(signed_in, member, missing):
    response = add(signed_in(member), member, **{**SECOND, missing: ""})
    assert response.status_code == 422
    assert said_at(response, missing) == "Time, mass and warmth belong together: fill in all three, or none."
    assert not Resin.objects.exists()


# the sheet itself


def change_sheet(client, resin, **more):
    return client.post(url_of(resin), act(**{**FIRST, **REST, "name": resin.name, **more}))


def test_the_sheet_itself_is_kept_with_the_resin(signed_in, member):
    client = signed_in(member)
    add(client, member, sheet=pdf(name="Tarn 90.pdf"))
    resin = Resin.objects.get()
    assert resin.sheet.name == "Tarn 90.pdf"
    assert f"/documents/{resin.sheet.key}.pdf" in client.get(url_of(resin)).content.decode()


def test_a_resin_changed_without_a_new_sheet_keeps_the_old_one(signed_in, member):
    client = signed_in(member)
    add(client, member, sheet=pdf())
    before = Resin.objects.get()
    change_sheet(client, before, maker="Tarn works")
    after = Resin.objects.get()
    assert (after.maker, after.sheet) == ("Tarn works", before.sheet)


def test_a_new_sheet_takes_the_place_of_the_old_one_and_is_told(signed_in, member):
    client = signed_in(member)
    add(client, member, sheet=pdf(name="old.pdf"))
    change_sheet(client, Resin.objects.get(), sheet=pdf(name="new.pdf", content=b"%PDF-1.7 newer"))
    assert Resin.objects.get().sheet.name == "new.pdf"
    event = Event.objects.latest("pk")
    assert (event.before["sheet"], event.after["sheet"]) == ("old.pdf", "new.pdf")


def test_a_sheet_can_be_taken_away(signed_in, member):
    client = signed_in(member)
    add(client, member, sheet=pdf())
    change_sheet(client, Resin.objects.get(), no_sheet="on")
    assert Resin.objects.get().sheet is None


def test_what_is_no_pdf_gets_a_sentence_and_changes_nothing(signed_in, member):
    response = add(signed_in(member), member, sheet=pdf(content=b"<html>"))
    assert response.status_code == 422
    assert "This file is no PDF." in said_at(response, "sheet")
    assert not Resin.objects.exists()


def test_a_sheet_sent_twice_is_kept_once(signed_in, member):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert add(client, member, key=sent, sheet=pdf()).status_code == 302
    assert Document.objects.count() == 1
