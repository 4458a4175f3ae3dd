from datetime import date

import pytest

from projects.actions import bench as acts
from projects.actions import plan
from projects.models import EntryPicture, LogEntry, Project
from tests.factories import AT, Bench, MemberFactory, key, moment
from tests.projects.pages import FRAGMENT, act, at, no_photo, photo, said_at, typed_in, words_of
from workshop import pictures

pytestmark = pytest.mark.django_db
FACTS = {"title": "Fanlight", "due_on": "2026-05-01", "purpose": "piece", "customer": "", "customer_note": ""}


class Place(Bench):
    """A bench and the pages of what its project is."""

    def page(self, name="piece"):
        return at(name, self.shop, self.project.key)

    def row(self):
        return Project.objects.get(pk=self.project.pk)

    def logged_photo(self, minutes=0):
        picture = pictures.take_in(photo(size=(64 + minutes, 48)), self.member, at=AT)
        acts.add_photo(
            self.member, key=key(), moment=moment(minutes), project=self.project, step=None,
            picture=picture, text="The comb",
        )  # fmt: skip
        return picture


@pytest.fixture
def place():
    return Place()


@pytest.fixture
def maker(signed_in, place):
    return signed_in(place.member)


# --- the facts ---


def test_the_page_shows_what_a_project_is(maker, place):
    plan.change_project(place.member, place.project, {"customer": "Wray", "due_on": date(2026, 5, 1)}, at=AT)
    found = typed_in(maker.get(place.page()))
    assert (found["title"], found["customer"], found["due_on"]) == ("Stair window", "Wray", "2026-05-01")


def test_the_facts_are_kept(maker, place):
    response = maker.post(place.page(), act(**FACTS))
    assert response["Location"] == place.page()
    assert (place.row().title, place.row().due_on) == ("Fanlight", date(2026, 5, 1))


def test_a_script_is_led_back_to_the_page(maker, place):
    response = maker.post(place.page(), act(**FACTS), **FRAGMENT)
    assert (response.status_code, response["HX-Redirect"]) == (204, place.page())


def test_facts_sent_twice_are_kept_once(maker, place):
    sent = act(**FACTS)
    assert maker.post(place.page(), sent)["Location"] == maker.post(place.page(), sent)["Location"]


@pytest.mark.parametrize(
    ("field", "said", "sentence"),
    [
        ("title", "", "This field is required."),
        ("due_on", "soon", "Enter a valid date."),
        ("purpose", "x", "Select a valid choice."),
    ],
)
def test_what_is_wrong_is_said_at_its_field(maker, place, field, said, sentence):
    response = maker.post(place.page(), act(**{**FACTS, field: said}))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert typed_in(response)["title"] == ("" if field == "title" else "Fanlight")
    assert place.row().title == "Stair window"


def test_what_is_noted_about_a_customer_is_on_no_other_page(maker, place):
    plan.change_project(
        place.member, place.project, {"customer": "Wray", "customer_note": "pays late"}, at=AT
    )
    assert "pays late" in typed_in(maker.get(place.page()))["customer_note"]
    for name in ("block", "steps", "log", "sheets", "failures"):
        words = words_of(maker.get(place.page(name)))
        assert "pays late" not in words
        assert "Wray" not in words


# --- where it stands ---


@pytest.mark.parametrize(
    ("said", "state"), [("finished", "finished"), ("idea", "idea"), ("planned", "planned")]
)
def test_a_button_says_what_becomes_of_it(maker, place, said, state):
    assert maker.post(place.page("piece-state"), act(state=said))["Location"] == place.page()
    assert place.row().state == state


@pytest.mark.parametrize("said", ["", "set_aside", "under_way", "gone"])
def test_no_other_state_is_set_by_a_button(maker, place, said):
    maker.post(place.page("piece-state"), act(state=said))
    assert place.row().state == "planned"


def test_it_is_set_aside_with_its_reason_and_taken_up_again(maker, place):
    maker.post(place.page("piece-aside"), act(**{"aside-why": "the glass is late"}))
    assert place.row().state == "set_aside"
    words = words_of(maker.get(place.page()))
    assert "set aside the glass is late" in words
    assert "Take it up again" in words
    maker.post(place.page("piece-state"), act(state="again"))
    assert place.row().state == "planned"


def test_without_a_reason_it_is_not_set_aside(maker, place):
    response = maker.post(place.page("piece-aside"), act(**{"aside-why": " "}))
    assert response.status_code == 422
    assert said_at(response, "aside-why") == "This field is required."
    assert place.row().state == "planned"


def test_finishing_twice_is_finishing_once(maker, place):
    sent = act(state="finished")
    for _ in range(2):
        maker.post(place.page("piece-state"), sent)
    assert place.row().state == "finished"


# --- the cover ---


def test_the_photos_of_the_log_can_be_chosen_as_cover(maker, place):
    picture = place.logged_photo()
    item = EntryPicture.objects.get()
    assert maker.get(place.page()).context["photos"][0] == item
    maker.post(place.page("piece-cover"), act(photo=str(item.key)))
    assert place.row().cover == picture


def test_the_cover_can_be_taken_away(maker, place):
    plan.set_cover(place.member, place.project, place.logged_photo(), at=AT)
    maker.post(place.page("piece-cover"), act(photo=""))
    assert place.row().cover is None


@pytest.mark.parametrize("said", ["nonsense", "00000000-0000-4000-8000-000000000000"])
def test_a_photo_that_is_not_in_the_log_is_no_cover(maker, place, said):
    response = maker.post(place.page("piece-cover"), act(photo=said))
    assert response.status_code == 422
    assert "That photo is not in this project’s log." in words_of(response)


def test_a_photo_of_another_project_is_no_cover(maker, place):
    other = Place()
    other.logged_photo()
    sent = act(photo=str(EntryPicture.objects.get().key))
    assert maker.post(place.page("piece-cover"), sent).status_code == 422
    assert place.row().cover is None


def test_another_photo_goes_into_the_log_and_on_the_cover(maker, place):
    sent = act(**{"cover-photo": photo()})
    assert maker.post(place.page("cover-photo"), sent)["Location"] == place.page()
    item = EntryPicture.objects.get()
    assert (item.entry.project, place.row().cover) == (place.project, item.picture)


def test_another_photo_sent_twice_is_taken_once(maker, place):
    sent = act()
    for _ in range(2):
        maker.post(place.page("cover-photo"), {**sent, "cover-photo": photo()})
    assert LogEntry.objects.count() == 1


def test_what_is_no_photo_is_no_cover(maker, place):
    response = maker.post(place.page("cover-photo"), act(**{"cover-photo": no_photo()}))
    assert response.status_code == 422
    assert not LogEntry.objects.exists()


# --- off the list ---


def test_a_project_is_taken_off_the_list(maker, place):
    response = maker.post(place.page("project-remove"), act(removed="yes"))
    assert response["Location"] == at("project-list", place.shop)
    assert place.row().removed_at


def test_a_project_whose_clock_runs_stays_and_says_why(maker, place):
    place.meet()
    response = maker.post(place.page("project-remove"), act(removed="yes"))
    assert response.status_code == 422
    assert "A clock of this project is running." in words_of(response)
    assert place.row().removed_at is None


def test_a_member_of_another_shop_brings_nothing_back(signed_in, place):
    Project.objects.update(removed_at=AT)
    client = signed_in(MemberFactory())
    assert client.post(place.page("project-remove"), act(removed="no")).status_code == 404
