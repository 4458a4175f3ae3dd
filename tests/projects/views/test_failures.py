import pytest

from projects.models import Failure, LogEntry
from tests.factories import Bench
from tests.projects.pages import FRAGMENT, act, at, no_photo, photo, said_at, typed_in, words_of
from tests.projects.room import Room
from workshop.models import Event, Picture

pytestmark = pytest.mark.django_db


def list_page(bench):
    return at("failures", bench.shop, bench.project.key)


def new_page(bench):
    return at("failure-new", bench.shop, bench.project.key)


def remove_page(room):
    return at("failure-remove", room.shop, room.project.key, room.failure.key)


def typed(**changed):
    return {
        "kind": "soft",
        "where": "Along one edge",
        "severity": "repair",
        "pour": "",
        "done": "",
        **changed,
    }


def a_pour(bench):
    bench.weigh_b(bench.meet(humidity_percent=61.0), grams=142)
    return bench.pour(minutes=10, depth_mm=13)


# --- the list ---


def test_without_failures_the_page_says_what_it_is_for(signed_in):
    bench = Bench()
    words = words_of(signed_in(bench.member).get(list_page(bench)))
    assert "Nothing went wrong" in words
    assert new_page(bench).encode() in signed_in(bench.member).get(list_page(bench)).content


def test_a_failure_is_shown_with_what_was_said_of_it(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(new_page(bench), act(**typed(done="Scraped")))
    words = words_of(client.get(list_page(bench)))
    assert "tacky or soft wants repair Along one edge Done: Scraped Ines" in words
    assert "Not from a pour: no cup stands beside it." in words


def test_the_facts_of_its_cup_stand_beside_a_failure(signed_in):
    bench = Bench()
    pour = a_pour(bench)
    client = signed_in(bench.member)
    client.post(new_page(bench), act(**typed(pour=str(pour.pk))))
    words = words_of(client.get(list_page(bench)))
    assert f"A 314.5 g from {bench.lot_a.code} , B 142 g from {bench.lot_b.code}" in words
    assert "Ratio clear B 0.3 % off" in words
    assert "Parts met to pour 10 min of 2:07 h pot life, shorter in so big a cup" in words
    assert "Pour 1 on Block A 10 Mar 10:10" in words  # 09:10 UTC in Berlin


def test_a_photo_is_shown_beside_its_failure(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(new_page(bench), act(**typed(), photo=photo()))
    content = client.get(list_page(bench)).content.decode()
    assert f"/pictures/{Picture.objects.get().key}/small.jpg" in content


# --- a new one ---


def test_the_page_offers_the_last_pour_and_its_facts(signed_in):
    bench = Bench()
    pour = a_pour(bench)
    response = signed_in(bench.member).get(new_page(bench))
    assert typed_in(response)["pour"] == str(pour.pk)
    assert f"A 314.5 g from {bench.lot_a.code}" in words_of(response)


def test_a_failure_leads_to_the_list(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(), photo=photo()))
    assert (response.status_code, response["Location"]) == (302, list_page(bench))
    failure = Failure.objects.get()
    assert (failure.kind, failure.where, failure.severity) == ("soft", "Along one edge", "repair")
    assert failure.entry.entry_pictures.count() == 1


def test_a_script_is_led_to_the_list(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed()), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, list_page(bench))


def test_a_failure_sent_twice_is_recorded_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed())
    for _ in range(2):
        assert client.post(new_page(bench), {**sent, "photo": photo()}).status_code == 302
    assert Failure.objects.count() == LogEntry.objects.count() == Picture.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "said", "sentence"),
    [
        ("kind", "", "This field is required."),
        ("kind", "ugly", "Select a valid choice."),
        ("where", " ", "This field is required."),
        ("where", "x" * 301, "at most 300 characters"),
        ("severity", "", "This field is required."),
        ("pour", "999999", "Select a valid choice."),
        ("done", "x" * 1001, "at most 1000 characters"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(signed_in, field, said, sentence):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(**{field: said})))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert not Failure.objects.exists()


def test_a_bad_photo_gives_a_sentence_at_its_field_and_keeps_all_that_was_typed(signed_in):
    bench = Bench()
    pour = a_pour(bench)
    sent = typed(kind="haze", where="In the middle", severity="lost", pour=str(pour.pk), done="Warmed it")
    response = signed_in(bench.member).post(new_page(bench), act(**sent, photo=no_photo()))
    assert response.status_code == 422
    assert said_at(response, "photo")
    assert {name: typed_in(response)[name] for name in sent} == sent
    assert not Failure.objects.exists()


def test_a_bad_photo_can_be_replaced_by_a_good_one_in_the_same_act(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**typed())
    shown = typed_in(client.post(new_page(bench), {**sent, "photo": no_photo()}))
    assert shown["key"] == sent["key"]
    client.post(new_page(bench), {**sent, "photo": photo()})
    assert Failure.objects.get().entry.entry_pictures.count() == 1


def test_a_pour_of_another_project_is_no_choice(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(new_page(bench), act(**typed(pour=str(a_pour(Bench()).pk))))
    assert response.status_code == 422
    assert "Select a valid choice." in said_at(response, "pour")


# --- off the page and back ---


def test_a_failure_taken_off_the_page_can_be_brought_back(signed_in):
    room = Room()
    client = signed_in(room.member)
    response = client.post(remove_page(room), {"removed": "yes"}, follow=True)
    assert "Along one edge" not in words_of(response)
    assert "“tacky or soft” was taken off this page. Bring it back" in words_of(response)
    response = client.post(remove_page(room), {"removed": "no"}, follow=True)
    assert "Along one edge" in words_of(response)


def test_a_failure_taken_off_twice_is_taken_off_once(signed_in):
    room = Room()
    client = signed_in(room.member)
    for _ in range(2):
        assert client.post(remove_page(room), {"removed": "yes"}).status_code == 302
    assert Event.objects.filter(target_key=room.failure.key, verb="removed").count() == 1


def test_a_failure_of_another_project_is_no_such_page(signed_in):
    room, other = Room(), Room()
    address = at("failure-remove", room.shop, other.project.key, room.failure.key)
    assert signed_in(room.member).post(address, {"removed": "yes"}).status_code == 404
