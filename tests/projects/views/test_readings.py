import pytest

from materials.models import Reading
from projects.models import LogEntry
from tests.factories import Bench, BundleFactory, ShopFactory
from tests.projects.pages import FRAGMENT, act, at, said_at, typed_in, words_of
from workshop.models import Shop

pytestmark = pytest.mark.django_db


def doors(bench):
    """The three pages on which a reading can be written."""
    return {
        "shop": at("reading-new", bench.shop),
        "project": at("project-reading", bench.shop, bench.project.key),
        "step": at("act-reading", bench.shop, bench.step.key),
    }


@pytest.mark.parametrize("door", ["shop", "project", "step"])
def test_first_it_is_asked_what_was_measured(signed_in, door):
    bench = Bench()
    page = signed_in(bench.member).get(doors(bench)[door]).content.decode()
    assert all(f'href="?kind={kind}"' in page for kind in Reading.Kind.values)


@pytest.mark.parametrize("kind", Reading.Kind.values)
def test_each_kind_has_a_page_with_its_unit(signed_in, kind):
    bench = Bench()
    response = signed_in(bench.member).get(doors(bench)["shop"], {"kind": kind})
    assert response.status_code == 200
    assert Reading.UNITS[Reading.Kind(kind)] in words_of(response)


@pytest.mark.parametrize("kind", Reading.Kind.values)
def test_each_kind_can_be_written_down(signed_in, kind):
    bench = Bench()
    response = signed_in(bench.member).post(f"{doors(bench)['shop']}?kind={kind}", act(value="12"))
    assert response.status_code == 302
    assert (Reading.objects.get().kind, Reading.objects.get().value) == (kind, 12)


@pytest.mark.parametrize("kind", ["thickness", "width", "length", "mass"])
def test_nothing_is_no_measure_of_a_thing(signed_in, kind):
    bench = Bench()
    response = signed_in(bench.member).post(f"{doors(bench)['shop']}?kind={kind}", act(value="0"))
    assert response.status_code == 422
    assert "is too little" in words_of(response)
    assert not Reading.objects.exists()


def test_a_reading_of_the_shop_leads_to_now(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(f"{doors(bench)['shop']}?kind=humidity", act(value="48"))
    assert response["Location"] == at("now", bench.shop)
    assert LogEntry.objects.get().project is None


def test_a_reading_of_a_project_leads_to_its_log(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(f"{doors(bench)['project']}?kind=mass", act(value="412 g"))
    assert response["Location"] == at("log", bench.shop, bench.project.key)
    assert LogEntry.objects.get().project == bench.project


def test_a_reading_at_a_step_leads_back_to_it(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(f"{doors(bench)['step']}?kind=block", act(value="38"))
    assert response["Location"] == at("bench-step", bench.shop, bench.step.key)
    assert LogEntry.objects.get().step == bench.step


def test_a_reading_may_be_of_a_bundle(signed_in):
    bench = Bench()
    bundle = BundleFactory(shop=bench.shop)
    signed_in(bench.member).post(
        f"{doors(bench)['shop']}?kind=moisture", act(value="8.2", lot=str(bundle.key))
    )
    assert Reading.objects.get().lot == bundle


def test_the_air_is_of_nothing_on_the_shelf(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(doors(bench)["shop"], {"kind": "temperature"})
    assert "lot" not in typed_in(response)


def test_a_shop_in_inches_is_asked_in_inches(signed_in):
    bench = Bench()
    Shop.objects.filter(pk=bench.shop.pk).update(units="inch")
    client, page = signed_in(bench.member), f"{doors(bench)['shop']}?kind=thickness"
    assert "Thickness , in" in words_of(client.get(page))
    client.post(page, act(value="1/16"))
    assert Reading.objects.get().value == pytest.approx(1.5875)


@pytest.mark.parametrize(
    ("kind", "value", "sentence"),
    [
        ("temperature", "warm", "is not understood"),
        ("temperature", "95", "is too much: 60 °C or less"),
        ("hardness", "-3", "is too little: 0 or more"),
        ("humidity", "", "This field is required."),
    ],
)
def test_a_value_that_can_not_be_says_why(signed_in, kind, value, sentence):
    bench = Bench()
    response = signed_in(bench.member).post(f"{doors(bench)['shop']}?kind={kind}", act(value=value))
    assert response.status_code == 422
    assert sentence in said_at(response, "value").replace("\u00a0", " ")


def test_a_kind_that_is_none_asks_for_the_kind_again(signed_in):
    bench = Bench()
    page = f"{doors(bench)['shop']}?kind=weather"
    assert "What was measured?" in words_of(signed_in(bench.member).get(page))
    assert signed_in(bench.member).post(page, act(value="3")).status_code == 422


def test_a_reading_sent_twice_is_written_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(value="48")
    for _ in range(2):
        client.post(f"{doors(bench)['shop']}?kind=humidity", sent)
    assert Reading.objects.count() == 1


def test_a_bundle_of_another_shop_is_not_offered(signed_in):
    bench, other = Bench(), BundleFactory(shop=ShopFactory())
    page = signed_in(bench.member).get(doors(bench)["shop"], {"kind": "mass"}).content.decode()
    assert str(other.key) not in page


# --- several in a row ---


def write(signed_in, bench, kind, value, door="shop", **typed):
    """What comes back when figures of a kind are written down."""
    return signed_in(bench.member).post(f"{doors(bench)[door]}?kind={kind}", act(value=value, **typed))


@pytest.mark.parametrize("typed", ["2.05 1.98 2,01", "2.05; 1.98; 2.01 mm", "2.05\r\n1.98\r\n2.01"])
def test_several_figures_are_readings_of_one_line(signed_in, typed):
    bench = Bench()
    bundle = BundleFactory(shop=bench.shop, thickness_mm=2.0)
    assert write(signed_in, bench, "thickness", typed, lot=str(bundle.key)).status_code == 302
    entry = LogEntry.objects.get()
    rows = entry.readings.order_by("pk")
    assert [(row.value, row.lot) for row in rows] == [(2.05, bundle), (1.98, bundle), (2.01, bundle)]
    assert entry.text == f"thickness: 3 readings: 2.05, 1.98, 2.01\u00a0mm, {bundle.code}"


def test_as_several_are_typed_it_says_what_was_understood(signed_in):
    bench = Bench()
    typed = {"kind": "thickness", "value": "2.05 1.98 2,01"}
    response = signed_in(bench.member).get(doors(bench)["shop"], typed, **FRAGMENT)
    assert words_of(response) == (
        "understood 3 readings: 2.05, 1.98, 2.01 mm "
        "Several at once: with blanks, semicolons or line breaks between them."
    )
    assert "<form" not in response.content.decode()


def test_what_may_be_one_figure_or_two_is_refused_and_stays(signed_in):
    bench = Bench()
    response = write(signed_in, bench, "moisture", "8.2 9, 1")
    assert response.status_code == 422
    assert "“9,” can be half of a figure" in said_at(response, "value")
    assert typed_in(response)["value"] == "8.2 9, 1"
    assert not Reading.objects.exists()


def test_each_of_several_figures_keeps_to_the_limits(signed_in):
    response = write(signed_in, Bench(), "moisture", "8.2 140 9.1")
    assert "140 % is too much: 100 % or less" in said_at(response, "value").replace("\u00a0", " ")


def test_a_kind_that_is_read_once_takes_one_figure(signed_in):
    assert write(signed_in, Bench(), "temperature", "20 21").status_code == 422
    assert not Reading.objects.exists()


# --- slips ---


def test_a_slip_of_the_point_is_asked_about_once(signed_in):
    bench = Bench()
    page = write(signed_in, bench, "thickness", "2.05 20.5", "step")
    assert page.status_code == 422
    assert "20.5 mm is more than the double of a strip as planned: 2 mm." in words_of(page)
    assert not Reading.objects.exists()
    sure = {"asked": "strip", "why": "It is no strip"}
    assert write(signed_in, bench, "thickness", "2.05 20.5", "step", **sure).status_code == 302
    entry = LogEntry.objects.get()
    assert [row.value for row in entry.readings.order_by("pk")] == [2.05, 20.5]
    assert entry.detail["all_the_same"] == {
        "why": "It is no strip",
        "against": ["thickness 20.5\u00a0mm, strips 2\u00a0mm"],
    }


@pytest.mark.parametrize(("figure", "status"), [("30", 302), ("84", 422)])
def test_moisture_above_thirty_percent_is_asked_about(signed_in, figure, status):
    assert write(signed_in, Bench(), "moisture", figure).status_code == status
