"""A resin and its sheet: taken down once, read often, changed with care."""

import re

import pytest

from materials.models import Resin
from tests.factories import AT, Bench, LotFactory, MemberFactory, ResinFactory, key
from tests.projects.pages import act, said_at, typed_in, words_of
from workshop.models import Event

pytestmark = pytest.mark.django_db
FIELDS = re.compile(r'<(?:div|fieldset) class="field( wide-field)?.*?name="(\w+)"', re.DOTALL)
FRAGMENT = {"HX-Request": "true"}
FIRST = {
    "name": "Tarn 90",
    "parts_a": "100",
    "parts_b": "45",
    "pot_minutes": "90 min",
    "recoat_open_h": "4 h",
    "recoat_close_h": "14 h",
    "demould_h": "24 h",
    "max_depth_mm": "25 mm",
}
REST = {
    "basis": "mass",
    "use": "casting",
    "maker": "",
    "density_a_g_ml": "1.12",
    "density_b_g_ml": "0.98",
    "pot_mass_g": "100 g",
    "pot_c": "25 °C",
    "pot_meaning": "viscosity",
    "depth_c": "25 °C",
    "recoat_c": "25 °C",
    "min_c": "",
    "max_c": "",
    "refractive_index": "1.55",
    "ratio_tolerance_percent": "2 %",
}


@pytest.fixture
def member():
    return MemberFactory()


def new(member):
    return f"/s/{member.shop.key}/shelf/resins/new/"


def url_of(resin):
    return f"/s/{resin.shop.key}/shelf/resins/{resin.key}/"


def add(client, member, **more):
    return client.post(new(member), act(**{**FIRST, **REST, **more}))


# a new one


def test_what_most_sheets_say_is_there_already(signed_in, member):
    found = typed_in(signed_in(member).get(new(member)))
    wanted = {"density_a_g_ml": "1.12 g/ml", "pot_mass_g": "100 g", "pot_c": "25 °C", "basis": "mass"}
    assert {name: found[name] for name in wanted} == wanted


def rows_of(page):
    """The fields of a form in its rows of two, as its grid lays them: a wide one has a row of its own."""
    rows = []
    for grid in page.split('<div class="fields">')[1:]:
        half = False
        for wide, name in FIELDS.findall(grid):
            if half and not wide:
                rows[-1].append(name)
            else:
                rows.append([name])
            half = not wide and not half
    return rows


def test_figures_that_belong_together_share_a_row(signed_in, member):
    page = signed_in(member).get(new(member)).content.decode()
    together = [
        ["parts_a", "parts_b"],
        ["pot_mass_g", "pot_c"],
        ["recoat_open_h", "recoat_close_h"],
        ["demould_h", "recoat_c"],
        ["density_a_g_ml", "density_b_g_ml"],
        ["second_pot_mass_g", "second_pot_c"],
        ["min_c", "max_c"],
        ["shelf_months_closed", "shelf_months_open"],
    ]
    assert [row for row in rows_of(page) if row in together] == together


def test_a_resin_is_taken_down_and_its_bottles_come_next(signed_in, member):
    response = add(signed_in(member), member)
    resin = Resin.objects.get()
    assert response.headers["Location"] == f"/s/{member.shop.key}/shelf/bottles/?resin={resin.key}"
    assert (
        resin.name,
        resin.parts_a,
        resin.parts_b,
        resin.pot_minutes,
        resin.demould_h,
        resin.max_depth_mm,
    ) == (
        "Tarn 90",
        100,
        45,
        90,
        24,
        25,
    )


def test_what_the_sheet_does_not_say_stays_unknown(signed_in, member):
    add(signed_in(member), member, recoat_open_h="", recoat_close_h="", demould_h="", max_depth_mm="")
    resin = Resin.objects.get()
    assert (resin.recoat_open_h, resin.recoat_close_h, resin.demould_h, resin.max_depth_mm) == (None,) * 4


@pytest.mark.parametrize(
    ("field", "text", "kept"),
    [
        ("parts_b", "45,5", 45.5),
        ("pot_minutes", "6 h", 360),
        ("demould_h", "2 d", 48),
        ("max_depth_mm", "1 in", 25.4),
        ("density_a_g_ml", "1120 kg/m³", 1.12),
        ("density_b_g_ml", "8.2 lb/gal", 0.98258),
        ("pot_c", "77 °F", 25),
        ("pot_mass_g", "1 lb", 453.59237),
        ("ratio_tolerance_percent", "3", 3),
        ("basis", "volume", "volume"),
        ("use", "coating", "coating"),
        ("pot_meaning", "gel", "gel"),
        ("maker", " Tarn ", "Tarn"),
    ],
)
def test_a_figure_is_kept_as_it_was_meant(signed_in, member, field, text, kept):
    add(signed_in(member), member, **{field: text})
    found = getattr(Resin.objects.get(), field)
    assert found == (kept if isinstance(kept, str) else pytest.approx(kept, rel=1e-5))


def test_a_new_resin_is_in_history(signed_in, member):
    add(signed_in(member), member)
    event = Event.objects.get()
    assert (event.verb, event.target_label, event.actor) == ("added", "Tarn 90", member)


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        ("name", "", "This field is required."),
        ("name", "x" * 81, "at most 80 characters"),
        ("parts_a", "0", "0 is too little: 0.01 or more."),
        ("parts_a", "-100", "−100 is too little: 0.01 or more."),
        ("parts_b", "", "This field is required."),
        ("parts_b", "45 g", "“g” is no unit for this."),
        ("parts_b", "0.4", "One part is more than 200 times the other. Look at the sheet again."),
        ("pot_minutes", "0", "0\u00a0min is too little: 1\u00a0min or more."),
        ("pot_minutes", "90 g", "“g” is no unit for this. Known are min, h, d, s."),
        ("pot_minutes", "90 d", "is too much: 2\u202f880\u00a0min or less."),
        ("recoat_open_h", "0", "0\u00a0h is too little: 0.1\u00a0h or more."),
        ("recoat_close_h", "4 h", "The window would close before it opens."),
        ("recoat_close_h", "3 h", "The window would close before it opens."),
        ("demould_h", "-1", "is too little"),
        ("max_depth_mm", "25 g", "“g” is no unit for this."),
        ("max_depth_mm", "0", "0\u00a0mm is too little: 0.1\u00a0mm or more."),
        ("density_a_g_ml", "112", "is too much: 2.5\u00a0g/ml or less."),
        ("density_b_g_ml", "0,098", "is too little: 0.7\u00a0g/ml or more."),
        ("pot_mass_g", "", "This field is required."),
        ("pot_c", "77", "77\u00a0°C is too much: 45\u00a0°C or less."),
        ("max_c", "10 °C", "This must be warmer than the lowest temperature."),
        ("refractive_index", "15.5", "is too much: 1.8 or less."),
        ("ratio_tolerance_percent", "0", "More than 0\u00a0% is needed."),
        ("basis", "weight", "Select a valid choice."),
        ("use", "", "This field is required."),
    ],
)
def test_bad_input_gets_a_sentence_and_stays(signed_in, member, field, text, sentence):
    response = add(signed_in(member), member, **{"min_c": "15", field: text})
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response).get(field, text) == text
    assert not Resin.objects.exists()


def test_swapped_units_are_noticed(signed_in, member):
    """Depth typed as a time and a time as a depth."""
    response = add(signed_in(member), member, max_depth_mm="24 h", demould_h="25 mm")
    assert "“h” is no unit for this." in said_at(response, "max_depth_mm")
    assert "“mm” is no unit for this." in said_at(response, "demould_h")


@pytest.mark.parametrize(("field", "opened"), [("density_a_g_ml", True), ("name", False)])
def test_the_rest_of_the_sheet_is_open_when_something_in_it_is_wrong(signed_in, member, field, opened):
    response = add(signed_in(member), member, **{field: ""})
    assert (b"<details open>" in response.content) is opened


@pytest.mark.parametrize("name", ["Tarn 90", "TARN 90", " tarn 90 "])
def test_a_name_is_there_once(signed_in, member, name):
    ResinFactory(shop=member.shop, name="Tarn 90")
    response = add(signed_in(member), member, name=name)
    assert said_at(response, "name") == f"There is a resin called “{name.strip()}” already."


def test_another_shop_may_have_the_same_resin(signed_in, member):
    ResinFactory(name="Tarn 90")
    assert add(signed_in(member), member).status_code == 302


def test_a_resin_sent_twice_is_taken_down_once_and_answered_twice(signed_in, member):
    """The second sending must not be told that the name is taken: it took it."""
    client, sent = signed_in(member), str(key())
    answers = [add(client, member, key=sent).headers.get("Location") for _ in range(2)]
    assert answers[0] == answers[1] is not None
    assert Resin.objects.count() == 1


def test_with_script_the_answer_is_where_to_go(signed_in, member):
    response = signed_in(member).post(new(member), act(**FIRST, **REST), headers=FRAGMENT)
    assert (response.status_code, "HX-Redirect" in response.headers) == (204, True)


def test_a_stranger_takes_nothing_down(signed_in, member):
    assert add(signed_in(MemberFactory()), member).status_code == 404
    assert not Resin.objects.exists()


# one that is there


@pytest.fixture
def resin(member):
    return ResinFactory(
        shop=member.shop, name="Tarn 90", pot_minutes=90, max_depth_mm=25, recoat_open_h=4, recoat_close_h=14
    )


def change(client, resin, **more):
    return client.post(url_of(resin), act(**{**FIRST, **REST, **more}))


def test_the_page_shows_the_sheet(signed_in, member, resin):
    found = typed_in(signed_in(member).get(url_of(resin)))
    assert {name: found[name] for name in FIRST} == FIRST


def test_the_page_shows_ratio_and_bottles(signed_in, member, resin):
    LotFactory(shop=member.shop, resin=resin, code="A-01", grams=500)
    words = words_of(signed_in(member).get(url_of(resin)))
    assert "A-01 part A 500 g" in words
    assert "100 : 45 A to B by mass. The sheet says 100 : 45 by mass." in words


def test_a_ratio_by_volume_is_shown_by_mass_too(signed_in, member):
    """2 : 1 by volume at 1.2 and 1.0 g/ml are 2.4 : 1 by mass, 100 : 41.7. Hand calculation."""
    resin = ResinFactory(
        shop=member.shop, parts_a=2, parts_b=1, basis="volume", density_a_g_ml=1.2, density_b_g_ml=1.0
    )
    words = words_of(signed_in(member).get(url_of(resin)))
    assert "100 : 41.7 A to B by mass. The sheet says 2 : 1 by volume." in words


LONE = (
    "A pot life is all that this sheet says of its heat, so the check before a pour can at best say caution."
)


def test_a_sheet_with_a_pot_life_alone_is_told_which_figure_helps_most(signed_in, member):
    resin = ResinFactory(shop=member.shop, max_depth_mm=None)
    words = words_of(signed_in(member).get(url_of(resin)))
    assert LONE in words
    assert "What helps most is the deepest pour of neat resin" in words


@pytest.mark.parametrize(
    "sheet",
    [
        {"max_depth_mm": 25},
        {"max_depth_mm": None, "second_pot_minutes": 200, "second_pot_c": 15},
        {"max_depth_mm": None, "cup_peak_c": 120},
    ],
)
def test_with_one_more_figure_nothing_is_said_of_a_lone_pot_life(signed_in, member, sheet):
    resin = ResinFactory(shop=member.shop, **sheet)
    assert LONE not in words_of(signed_in(member).get(url_of(resin)))


def test_a_changed_sheet_is_kept_with_what_it_was(signed_in, member, resin):
    response = change(signed_in(member), resin, pot_minutes="60")
    assert response.headers["Location"] == url_of(resin)
    event = Event.objects.get()
    assert (event.verb, event.before, event.after) == (
        "changed",
        {"pot_minutes": 90.0},
        {"pot_minutes": 60.0},
    )


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_sheet_kept_as_it_is_shown_changes_nothing(signed_in, member, resin, units):
    """Also figures that are shown rounded: 25 mm are 0.984 in."""
    Resin.objects.filter(pk=resin.pk).update(density_a_g_ml=1.12345, refractive_index=1.5487, min_c=13.33)
    member.shop.units = units
    member.shop.save()
    client = signed_in(member)
    found = typed_in(client.get(url_of(resin)))
    assert (
        client.post(url_of(resin), act(**{name: found[name] for name in {**FIRST, **REST}})).status_code
        == 302
    )
    assert not Event.objects.exists()


def test_a_cup_mixed_before_keeps_the_sheet_it_was_mixed_by(signed_in):
    bench = Bench(name="Tarn 90")
    cup = bench.meet()
    change(signed_in(bench.member), bench.resin, parts_b="30", ratio_tolerance_percent="5")
    cup.refresh_from_db()
    assert (cup.parts_a, cup.parts_b, cup.tolerance_percent) == (100, 45, 2)


def test_its_own_name_is_not_taken(signed_in, member, resin):
    assert change(signed_in(member), resin).status_code == 302


def test_another_resins_name_is_taken(signed_in, member, resin):
    ResinFactory(shop=member.shop, name="Tarn Coat")
    response = change(signed_in(member), resin, name="tarn coat")
    assert said_at(response, "name") == "There is a resin called “tarn coat” already."


def test_bad_input_changes_nothing(signed_in, member, resin):
    response = change(signed_in(member), resin, pot_minutes="soon", parts_b="30")
    assert response.status_code == 422
    assert (typed_in(response)["pot_minutes"], typed_in(response)["parts_b"]) == ("soon", "30")
    assert Resin.objects.get().parts_b == 45


def test_a_change_sent_twice_is_one_line_of_history(signed_in, member, resin):
    client, sent = signed_in(member), str(key())
    for _ in range(2):
        assert change(client, resin, key=sent, pot_minutes="60").status_code == 302
    assert Event.objects.count() == 1


def test_a_removed_resin_is_no_such_page(signed_in, member, resin):
    Resin.objects.update(removed_at=AT)
    assert signed_in(member).get(url_of(resin)).status_code == 404


@pytest.mark.parametrize("bottles", [1, 20])
def test_the_page_asks_the_same_of_the_database_however_many_bottles_there_are(
    signed_in, member, resin, bottles, django_assert_num_queries
):
    LotFactory.create_batch(bottles, shop=member.shop, resin=resin)
    client = signed_in(member)
    with django_assert_num_queries(5):  # session, user, member and shop, resin, bottles
        client.get(url_of(resin))
