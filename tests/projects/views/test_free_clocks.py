import pytest

from projects.models import LogEntry, Timer
from tests.factories import Bench, ProjectFactory
from tests.projects.pages import act, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db


def page(bench):
    return at("clock-new", bench.shop)


def step_page(bench):
    return at("act-clock", bench.shop, bench.step.key)


def test_a_clock_is_set_for_the_shop_and_shown_among_the_others(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    response = client.post(page(bench), act(name="Kettle", minutes="1 h"))
    assert response["Location"] == at("clocks", bench.shop)
    assert "Kettle" in words_of(client.get(at("clocks", bench.shop)))


def test_a_clock_of_a_project_names_it(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(page(bench), act(name="Kettle", minutes="10", project=str(bench.project.pk)))
    assert f"Kettle {bench.project}" in words_of(client.get(at("clocks", bench.shop)))


def test_the_project_one_comes_from_is_chosen(signed_in):
    bench = Bench()
    response = signed_in(bench.member).get(page(bench), {"project": bench.project.code})
    assert typed_in(response)["project"] == str(bench.project.pk)


def test_a_project_of_another_shop_is_refused(signed_in):
    bench = Bench()
    sent = act(name="Kettle", minutes="10", project=str(ProjectFactory().pk))
    assert signed_in(bench.member).post(page(bench), sent).status_code == 422


def test_a_clock_set_at_a_step_leads_back_to_it(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(step_page(bench), act(name="Stir again", minutes="10"))
    assert response["Location"] == at("bench-step", bench.shop, bench.step.key)
    assert Timer.objects.get().step == bench.step


@pytest.mark.parametrize("minutes", ["0", "soon", "61 d"])
def test_a_time_that_is_none_keeps_the_name(signed_in, minutes):
    bench = Bench()
    response = signed_in(bench.member).post(page(bench), act(name="Kettle", minutes=minutes))
    assert response.status_code == 422
    assert said_at(response, "minutes")
    assert typed_in(response)["name"] == "Kettle"


def test_a_clock_sent_twice_is_set_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(name="Kettle", minutes="10")
    for _ in range(2):
        client.post(page(bench), sent)
    assert Timer.objects.count() == 1


def test_a_clock_of_nothing_can_be_answered(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(page(bench), act(name="Kettle", minutes="10"))
    own = at("clock-settle", bench.shop, Timer.objects.get().key)
    assert "Ines set it; no rule stands behind it." in words_of(client.get(own))
    client.post(own, act(how="Done"))
    assert LogEntry.objects.get(kind="clock").text == "Kettle: Done"


def test_now_leads_to_a_clock_and_a_reading(signed_in):
    bench = Bench()
    content = signed_in(bench.member).get(at("now", bench.shop)).content.decode()
    assert f'href="{page(bench)}"' in content
    assert f'href="{at("reading-new", bench.shop)}"' in content


def test_now_says_when_a_clock_of_ones_own_rings(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(page(bench), act(name="Kettle", minutes="10"))
    assert "Kettle: rings " in words_of(client.get(at("now", bench.shop)))
