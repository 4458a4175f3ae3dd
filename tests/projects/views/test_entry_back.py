import pytest

from projects.actions import free_clock, readings
from projects.models import LogEntry
from tests.factories import Bench, key, moment
from tests.projects.pages import FRAGMENT, act, at, said_at, words_of

pytestmark = pytest.mark.django_db


def read(bench, step=True, **to):
    said = {"kind": "temperature", "value": 91.0, "text": ""}
    return readings.take_reading(
        bench.member, said, key=key(), moment=moment(), step=bench.step if step else None, **to
    )


def page(entry):
    return at("entry-back", entry.shop, entry.key)


def test_the_page_says_what_is_taken_back(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(page(read(bench))))
    assert "temperature in the shop: 91 °C" in words.replace("\u00a0", " ")


def test_an_act_is_taken_back_with_its_reason(signed_in):
    bench = Bench()
    entry = read(bench)
    typed = act(why="Wrong figure", text="it was 19")
    response = signed_in(bench.member).post(page(entry), typed)
    assert response.url == at("bench-step", bench.shop, bench.step.key)
    assert LogEntry.objects.get(kind="taken_back").text.startswith("Wrong figure: it was 19. Taken back:")


def test_without_a_reason_it_asks_for_one_and_keeps_the_words(signed_in):
    bench = Bench()
    entry = read(bench)
    response = signed_in(bench.member).post(page(entry), act(text="it was 19"))
    assert response.status_code == 422
    assert "Choose why it is taken back." in said_at(response, "why")
    assert b"it was 19" in response.content
    assert not LogEntry.objects.filter(kind="taken_back").exists()


def test_sent_twice_it_is_taken_back_once(signed_in):
    bench = Bench()
    entry, typed = read(bench), act(why="Wrong figure", text="")
    client = signed_in(bench.member)
    answers = [client.post(page(entry), typed).url for _ in range(2)]
    assert answers == [at("bench-step", bench.shop, bench.step.key)] * 2
    assert LogEntry.objects.filter(kind="taken_back").count() == 1


def test_what_was_taken_back_is_refused_a_second_time_with_a_sentence(signed_in):
    bench = Bench()
    entry = read(bench)
    client = signed_in(bench.member)
    client.post(page(entry), act(why="Wrong figure", text=""))
    response = client.post(page(entry), act(why="Wrong figure", text=""), **FRAGMENT)
    assert (response.status_code, "taken it back already" in words_of(response)) == (422, True)


def test_a_reading_of_a_project_leads_back_to_its_log(signed_in):
    bench = Bench()
    entry = read(bench, step=False, project=bench.project)
    response = signed_in(bench.member).post(page(entry), act(why="Wrong figure", text=""))
    assert response.url == at("log", bench.shop, bench.project.key)


def test_a_clock_of_the_shop_leads_back_to_its_river(signed_in):
    bench = Bench()
    clock = free_clock.set_clock(bench.member, name="kettle", minutes=10, key=key(), moment=moment())
    response = signed_in(bench.member).post(page(clock.entry), act(why="Wrong figure", text=""))
    assert response.url == at("river", bench.shop)


def test_a_note_is_not_taken_back_here(signed_in):
    from projects.actions import bench as acts

    bench = Bench()
    note = acts.add_note(bench.member, key=key(), moment=moment(), project=bench.project, text="Calm")
    assert signed_in(bench.member).get(page(note)).status_code == 404


def test_an_act_of_another_shop_is_not_there(signed_in):
    entry = read(Bench())
    assert signed_in(Bench().member).get(page(entry)).status_code == 404


def test_the_log_leads_to_taking_an_act_back(signed_in):
    bench = Bench()
    entry = read(bench)
    content = signed_in(bench.member).get(at("log", bench.shop, bench.project.key)).content.decode()
    assert page(entry) in content


def test_an_act_that_was_taken_back_is_not_offered_to_be_brought_back(signed_in):
    from projects.actions import take_back

    bench = Bench()
    take_back.take_back(bench.member, read(bench), "Wrong figure", key=key(), moment=moment(5))
    assert "Bring it back" not in words_of(
        signed_in(bench.member).get(at("log", bench.shop, bench.project.key))
    )


def test_the_page_costs_the_same_whatever_hangs_on_the_act(signed_in, django_assert_num_queries):
    bench = Bench()
    entry = read(bench)
    client = signed_in(bench.member)
    client.get(page(entry))
    with django_assert_num_queries(5):
        client.get(page(entry))
