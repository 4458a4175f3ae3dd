import pytest

from projects.actions import bench as acts
from projects.models import LogEntry
from tests.factories import AT, Bench, key, moment
from tests.projects.pages import FRAGMENT, act, at, no_photo, photo, said_at, typed_in, words_of
from workshop.models import Picture

pytestmark = pytest.mark.django_db


def page(bench):
    return at("log", bench.shop, bench.project.key)


def note_page(bench):
    return at("note", bench.shop, bench.project.key)


def photo_page(bench):
    return at("photo", bench.shop, bench.project.key)


def noted(bench, text, minutes=0):
    return acts.add_note(bench.member, key=key(), moment=moment(minutes), project=bench.project, text=text)


# --- the river ---


def test_an_empty_log_says_what_will_stand_there(signed_in):
    bench = Bench()
    assert "Nothing happened yet" in words_of(signed_in(bench.member).get(page(bench)))


def test_the_log_shows_the_newest_on_top_whenever_it_arrived(signed_in):
    bench = Bench()
    for text, minutes in [("second", 10), ("third", 20), ("first", 0)]:
        noted(bench, text, minutes)
    texts = [entry.text for entry in signed_in(bench.member).get(page(bench)).context["page"]]
    assert texts == ["third", "second", "first"]


def test_the_log_shows_when_what_and_who_by_the_clock_on_the_wall(signed_in):
    bench = Bench()
    noted(bench, "Comb too tight")
    words = words_of(signed_in(bench.member).get(page(bench)))
    assert "Tuesday 10 March 2026 10:00 note Comb too tight Ines" in words  # 09:00 UTC in Berlin


def test_the_log_shows_all_that_happened_at_the_bench(signed_in):
    bench = Bench()
    bench.weigh_b(bench.meet())
    bench.pour()
    words = words_of(signed_in(bench.member).get(page(bench)))
    for said in (
        "parts met Cup 1 of",
        "weighed Cup 1: 142 g of B weighed",
        "poured Pour 1 on Block A: 456.5 g",
    ):
        assert said in words


def test_a_removed_entry_is_not_shown(signed_in):
    bench = Bench()
    noted(bench, "Comb too tight")
    LogEntry.objects.update(removed_at=AT)
    assert "Nothing happened yet" in words_of(signed_in(bench.member).get(page(bench)))


def test_the_log_of_another_project_is_not_shown(signed_in):
    bench = Bench()
    noted(Bench(), "Comb too tight")
    assert "Nothing happened yet" in words_of(signed_in(bench.member).get(page(bench)))


def test_a_long_log_is_read_page_by_page(signed_in):
    bench = Bench()
    for minutes in range(31):
        noted(bench, "Warmth", minutes)
    client = signed_in(bench.member)
    assert [len(client.get(page(bench), {"page": number}).context["page"]) for number in (1, 2)] == [30, 1]


# --- a line ---


def test_a_line_is_written_into_the_log(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(note_page(bench), act(**{"note-text": "Comb too tight"}))
    assert (response.status_code, response["Location"]) == (302, page(bench))
    assert LogEntry.objects.get().text == "Comb too tight"


def test_a_script_is_led_to_the_log(signed_in):
    bench = Bench()
    response = signed_in(bench.member).post(note_page(bench), act(**{"note-text": "Tight"}), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, page(bench))


def test_a_line_sent_twice_is_written_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(**{"note-text": "Comb too tight"})
    for _ in range(2):
        assert client.post(note_page(bench), sent).status_code == 302
    assert LogEntry.objects.count() == 1


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("", "This field is required."),
        (" \n ", "This field is required."),
        ("x" * 1001, "at most 1000 characters"),
    ],
    ids=["nothing", "blank", "too long"],
)
def test_a_line_that_is_wrong_is_said_at_its_field_and_kept(signed_in, said, sentence):
    bench = Bench()
    response = signed_in(bench.member).post(note_page(bench), act(**{"note-text": said}))
    assert response.status_code == 422
    assert sentence in said_at(response, "note-text")
    assert typed_in(response)["note-text"].strip() == said.strip()
    assert not LogEntry.objects.exists()


def test_a_line_that_is_wrong_leaves_the_log_beside_it(signed_in):
    bench = Bench()
    noted(bench, "Comb too tight")
    response = signed_in(bench.member).post(note_page(bench), act(**{"note-text": ""}))
    assert "Comb too tight" in words_of(response)


# --- a photo ---


def test_a_photo_is_shown_in_the_log_with_what_it_shows(signed_in):
    bench = Bench()
    client = signed_in(bench.member)
    client.post(photo_page(bench), act(photo=photo(), text="The comb"))
    picture = Picture.objects.get()
    content = client.get(page(bench)).content.decode()
    assert f'src="/s/{bench.shop.key}/pictures/{picture.key}/small.jpg" alt="The comb"' in content


def test_a_photo_sent_twice_is_kept_once(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(text="The comb")
    for _ in range(2):
        assert client.post(photo_page(bench), {**sent, "photo": photo()}).status_code == 302
    assert LogEntry.objects.count() == Picture.objects.count() == 1


def test_the_same_act_with_another_photo_is_refused_with_a_sentence(signed_in):
    bench = Bench()
    client, sent = signed_in(bench.member), act(text="The comb")
    client.post(photo_page(bench), {**sent, "photo": photo()})
    response = client.post(photo_page(bench), {**sent, "photo": photo(size=(10, 10))})
    assert response.status_code == 422
    assert "This was already sent, with other figures." in words_of(response)
    assert Picture.objects.count() == 1


@pytest.mark.parametrize("upload", [no_photo, lambda: ""], ids=["no photo", "nothing"])
def test_what_is_no_photo_gives_a_sentence_at_its_field_and_keeps_what_was_typed(signed_in, upload):
    bench = Bench()
    response = signed_in(bench.member).post(photo_page(bench), act(photo=upload(), text="The comb"))
    assert response.status_code == 422
    assert said_at(response, "photo")
    assert typed_in(response)["text"] == "The comb"
    assert not LogEntry.objects.exists()
