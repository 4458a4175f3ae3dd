"""Machines: added, changed, out of use and back."""

import pytest

from tests.factories import AT, MachineFactory, MemberFactory
from tests.projects.pages import act, said_at, typed_in, words_of
from workshop.forms.machines import FIGURES_OF
from workshop.models import Event, Machine

pytestmark = pytest.mark.django_db


@pytest.fixture
def maker():
    return MemberFactory(role="maker")


def at(member, path=""):
    return f"/s/{member.shop.key}/shop/machines/{path}"


def test_no_machine_is_said_to_be_none(signed_in, maker):
    assert "No machine yet" in words_of(signed_in(maker).get(at(maker)))


def test_a_saw_is_added_with_its_figures(signed_in, maker):
    sent = act(name="the table saw", kerf_mm="2.2", gauge_max_deg="60", angle_error_deg="0,1°")
    response = signed_in(maker).post(at(maker, "new/saw/"), sent)
    assert response.headers["Location"] == at(maker)
    saw = Machine.objects.get()
    assert (saw.kind, saw.kerf_mm, saw.gauge_max_deg, saw.angle_error_deg) == ("saw", 2.2, 60, 0.1)
    assert saw.length_error_mm is None


def test_an_inch_shop_types_inches(signed_in, maker):
    type(maker.shop).objects.update(units="inch")
    signed_in(maker).post(at(maker, "new/saw/"), act(name="saw", kerf_mm="3/32"))
    assert Machine.objects.get().kerf_mm == pytest.approx(2.38125)  # 3/32 of 25.4 mm


@pytest.mark.parametrize("kind", Machine.Kind.values)
def test_each_kind_asks_for_its_own_figures_only(signed_in, maker, kind):
    found = typed_in(signed_in(maker).get(at(maker, f"new/{kind}/")))
    asked = {name for names in FIGURES_OF.values() for name in names} & found.keys()
    assert asked == set(FIGURES_OF[kind])


def test_a_kind_that_is_none_is_no_page(signed_in, maker):
    assert signed_in(maker).get(at(maker, "new/lathe/")).status_code == 404


def test_a_machine_sent_twice_is_one(signed_in, maker):
    client, sent = signed_in(maker), act(name="the scale", scale_step_g="0.1 g")
    client.post(at(maker, "new/scale/"), sent)
    client.post(at(maker, "new/scale/"), sent)
    assert Machine.objects.count() == 1


@pytest.mark.parametrize(
    ("kind", "name", "text", "sentence"),
    [
        ("saw", "name", "", "This field is required."),
        ("saw", "kerf_mm", "0", "More than 0\u00a0mm is needed"),
        ("saw", "kerf_mm", "30", "30\u00a0mm is too much: 20\u00a0mm or less"),
        ("saw", "gauge_max_deg", "91", "91° is too much: 90° or less"),
        ("saw", "angle_error_deg", "1 mm", "“mm” is no unit for this."),
        ("clamps", "amount", "2.5", "A whole number is needed."),
        ("clamps", "amount", "0", "0 is too little: 1 or more."),
    ],
)
def test_a_wrong_figure_gets_a_sentence_and_stays(signed_in, maker, kind, name, text, sentence):
    sent = {"name": "one", "amount": "1", name: text}
    response = signed_in(maker).post(at(maker, f"new/{kind}/"), act(**sent))
    assert response.status_code == 422
    assert sentence in said_at(response, name)
    assert typed_in(response)[name] == text
    assert not Machine.objects.exists()


def test_a_change_is_in_history_with_what_it_was(signed_in, maker):
    saw = MachineFactory(shop=maker.shop, kerf_mm=2.2)
    signed_in(maker).post(at(maker, f"{saw.key}/"), act(name=saw.name, kerf_mm="2.4"))
    event = Event.objects.get()
    assert (event.verb, event.before, event.after) == (
        "changed the machine",
        {"kerf_mm": 2.2},
        {"kerf_mm": 2.4},
    )


def test_the_page_of_a_machine_shows_its_figures(signed_in, maker):
    saw = MachineFactory(shop=maker.shop, kerf_mm=2.2)
    assert typed_in(signed_in(maker).get(at(maker, f"{saw.key}/")))["kerf_mm"] == "2.2 mm"


def test_a_machine_goes_out_of_use_and_comes_back(signed_in, maker):
    saw, client = MachineFactory(shop=maker.shop), signed_in(maker)
    client.post(at(maker, f"{saw.key}/retire/"), act(retired="yes"))
    assert "Bring the table saw back" in words_of(client.get(at(maker)))
    assert not Machine.objects.in_use().exists()
    client.post(at(maker, f"{saw.key}/retire/"), act(retired="no"))
    assert Machine.objects.in_use().get() == saw
    assert [event.verb for event in Event.objects.order_by("pk")] == [
        "retired the machine",
        "brought back the machine",
    ]


def test_out_of_use_twice_is_once(signed_in, maker):
    saw = MachineFactory(shop=maker.shop, retired_at=AT)
    signed_in(maker).post(at(maker, f"{saw.key}/retire/"), act(retired="yes"))
    assert not Event.objects.exists()


def test_another_shops_machine_is_no_page(signed_in, maker):
    assert signed_in(maker).get(at(maker, f"{MachineFactory().key}/")).status_code == 404


def test_a_viewer_reads_without_the_buttons(signed_in, maker):
    MachineFactory(shop=maker.shop, kerf_mm=2.2)
    viewer = MemberFactory(shop=maker.shop, role="viewer")
    words = words_of(signed_in(viewer).get(at(maker)))
    assert "The saw cut takes 2.2 mm" in words
    assert "Add" not in words


@pytest.mark.parametrize("count", [1, 20])
def test_the_list_asks_the_same_of_the_database_however_long(
    signed_in, maker, count, django_assert_num_queries
):
    MachineFactory.create_batch(count, shop=maker.shop)
    client = signed_in(maker)
    with django_assert_num_queries(4):  # session, user, member and shop, machines
        client.get(at(maker))
