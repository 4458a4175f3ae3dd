"""Pages that tie steps of a route together, take them apart, and keep whole routes."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from projects.actions import links, plan, route, routes, work
from projects.models import PanelDesign, Project, Route, Step, StepLink
from tests.factories import (
    AT,
    Bench,
    MemberFactory,
    StepFactory,
    design,
    key,
)
from tests.projects.pages import FRAGMENT, act, ago, at, said_at, typed_in, words_of

pytestmark = pytest.mark.django_db


class Way(Bench):
    """A project with three steps of hands, and the pages about them."""

    def __init__(self):
        super().__init__()
        self.saw, self.sand = (
            StepFactory(shop=self.shop, block=self.block, kind="other", title=title, position=place)
            for place, title in enumerate(("Saw", "Sand"), start=1)
        )

    def page(self, name="steps", *steps):
        return at(name, self.shop, self.project.key, *(step.key for step in steps))

    def titles(self):
        return [step.title for step in route.in_place(self.project)]


@pytest.fixture
def way():
    return Way()


@pytest.fixture
def maker(signed_in, way):
    return signed_in(way.member)


# --- parts ---


def test_a_step_is_split_and_joined_again(maker, way):
    assert typed_in(maker.get(way.page("step-split", way.saw)))["parts"] == "2"
    assert maker.post(way.page("step-split", way.saw), act(parts="3"))["Location"] == way.page()
    assert way.titles() == ["Pour Block A", "Saw, part 1", "Saw, part 2", "Saw, part 3", "Sand"]
    assert "Join it with “Saw, part 2”" in words_of(maker.get(way.page("step-change", way.saw)))
    maker.post(way.page("step-join", way.saw), act())
    assert way.titles() == ["Pour Block A", "Saw", "Saw, part 3", "Sand"]
    maker.post(way.page("step-undo"), act())
    maker.post(way.page("step-undo"), act())
    assert way.titles() == ["Pour Block A", "Saw", "Sand"]


@pytest.mark.parametrize("parts", ["1", "13", "2.5", "some", ""])
def test_what_is_no_number_of_parts_is_said_at_its_field(maker, way, parts):
    response = maker.post(way.page("step-split", way.saw), act(parts=parts))
    assert response.status_code == 422
    assert said_at(response, "parts")
    assert typed_in(response)["parts"] == parts


def test_a_split_sent_twice_is_done_once(maker, way):
    sent = act(parts="2")
    for _ in range(2):
        maker.post(way.page("step-split", way.saw), sent)
    assert len(way.titles()) == 4


def test_a_step_begun_meanwhile_is_not_split(maker, way):
    work.tell(way.member, way.saw, "began", key=key(), moment=ago(5))
    assert "Split it" not in words_of(maker.get(way.page("step-change", way.saw)))
    response = maker.post(way.page("step-split", way.saw), act(parts="2"))
    assert response.status_code == 422
    assert "“Saw” is under way. What has happened stays, so it can't be split." in words_of(response)


def test_different_kinds_of_work_are_not_offered_to_be_joined(maker, way):
    Step.objects.filter(pk=way.sand.pk).update(kind="sand")
    assert "Join it with" not in words_of(maker.get(way.page("step-change", way.saw)))
    assert maker.post(way.page("step-join", way.saw), act()).status_code == 422


# --- links ---


def link(way, **more):
    sent = {"before": way.step.pk, "opens": "4 h", "closes": "14 h", "law": "wall", "at_c": ""}
    return act(**{**sent, **more})


def test_a_step_waits_within_a_window(maker, way):
    response = maker.post(way.page("step-link", way.sand), link(way, hard="on", law="ten_degree", at_c="23"))
    assert response["Location"] == way.page("step-change", way.sand)
    row = StepLink.objects.get()
    assert (row.open_min, row.close_min, row.hard, row.law, row.at_c) == (240, 840, True, "ten_degree", 23)
    said = "4 h to 14 h after “Pour Block A”"
    assert f"{said}, at 23 °C" in words_of(maker.get(way.page("step-change", way.sand))).replace("\xa0", " ")
    assert f"{said}, hard" in words_of(maker.get(way.page())).replace("\xa0", " ")


@pytest.mark.parametrize(
    ("opens", "closes", "said"),
    [
        ("", "", "after “Pour Block A”"),
        ("4 h", "", "4 h after “Pour Block A”"),
        ("", "14 h", "within 14 h of “Pour Block A”"),
    ],
)
def test_a_window_is_said_as_people_say_it(maker, way, opens, closes, said):
    maker.post(way.page("step-link", way.sand), link(way, opens=opens, closes=closes))
    assert said in words_of(maker.get(way.page("step-link", way.sand))).replace("\xa0", " ")


@pytest.mark.parametrize(
    ("field", "more", "sentence"),
    [
        ("before", {"before": ""}, "This field is required."),
        ("opens", {"opens": "a while"}, "40 min or 6 h"),
        ("closes", {"closes": "3 h"}, "close before it opens"),
        ("closes", {"closes": "", "hard": "on"}, "Say when it closes"),
        ("at_c", {"law": "ten_degree"}, "Say at which warmth"),
        ("at_c", {"at_c": "23"}, "Hours as they are need no warmth."),
        ("at_c", {"law": "ten_degree", "at_c": "warm"}, "not understood"),
        ("law", {"law": "moon"}, "Select a valid choice."),
    ],
)
def test_what_is_wrong_with_a_window_is_said_at_its_field(maker, way, field, more, sentence):
    response = maker.post(way.page("step-link", way.sand), link(way, **more))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert not StepLink.objects.exists()


def test_a_circle_is_named_and_what_was_typed_stays(maker, way):
    response = maker.post(way.page("step-link", way.step), link(way, before=way.sand.pk))
    assert response.status_code == 422
    said = "These steps would wait for each other: Pour Block A → Saw → Sand → Pour Block A."
    assert said in words_of(response)
    assert typed_in(response)["opens"] == "4 h"


def test_a_step_of_another_project_can_not_be_waited_for(maker, way):
    response = maker.post(way.page("step-link", way.sand), link(way, before=StepFactory(shop=way.shop).pk))
    assert response.status_code == 422
    assert "Select a valid choice." in said_at(response, "before")


def test_a_link_is_taken_off_once_and_comes_back(maker, way):
    row = links.link(way.member, way.step, way.sand, {}, at=AT)
    sent = act()
    url = at("step-unlink", way.shop, way.project.key, way.sand.key, row.key)
    for _ in range(2):
        assert maker.post(url, sent)["Location"] == way.page("step-change", way.sand)
    assert not StepLink.objects.exists()
    assert maker.post(url, act()).status_code == 404
    maker.post(way.page("step-undo"), act())
    assert StepLink.objects.get().key == row.key


# --- links changed ---


class Waits:
    """Sand waits 4 h to 14 h for the pour; the page that changes it."""

    def __init__(self, way):
        self.way = way
        self.row = links.link(way.member, way.step, way.sand, {"open_min": 240, "close_min": 840}, at=AT)
        self.url = at("step-link-change", way.shop, way.project.key, way.sand.key, self.row.key)

    def window(self):
        row = StepLink.objects.get(pk=self.row.pk)
        return (row.before_id, row.open_min, row.close_min, row.hard, row.law, row.at_c)


@pytest.fixture
def waits(way):
    return Waits(way)


def test_the_page_of_a_wait_begins_with_its_window(maker, waits):
    assert waits.url in maker.get(waits.way.page("step-change", waits.way.sand)).content.decode()
    found = typed_in(maker.get(waits.url))
    assert (found["before"], found["opens"], found["closes"]) == (str(waits.way.step.pk), "4 h", "14 h")
    assert (found["law"], found["at_c"], "hard" in found) == ("wall", "", False)


def test_a_wait_is_changed_and_taken_back(maker, waits):
    way = waits.way
    sent = link(way, opens="5 h", closes="9:30 h", hard="on", law="ten_degree", at_c="23")
    assert maker.post(waits.url, sent)["Location"] == way.page("step-change", way.sand)
    assert waits.window() == (way.step.pk, 300, 570, True, "ten_degree", 23)
    maker.post(way.page("step-undo"), act())
    assert waits.window() == (way.step.pk, 240, 840, False, "wall", None)


def test_a_wait_changed_twice_by_the_same_press_is_changed_once(maker, waits):
    sent = link(waits.way, opens="5 h")
    for _ in range(2):
        assert maker.post(waits.url, sent).status_code == 302
    assert waits.way.project.route_changes.count() == 2  # linked, changed


def test_a_change_sent_again_after_the_wait_was_taken_off_is_answered(maker, waits):
    sent = link(waits.way, opens="5 h")
    maker.post(waits.url, sent)
    links.unlink(waits.way.member, waits.row, at=AT)
    assert maker.post(waits.url, sent).status_code == 302
    assert maker.get(waits.url).status_code == 404
    assert maker.post(waits.url, link(waits.way)).status_code == 404


@pytest.mark.parametrize(
    ("field", "more", "sentence"),
    [
        ("closes", {"closes": "3 h"}, "close before it opens"),
        ("closes", {"closes": "", "hard": "on"}, "Say when it closes"),
        ("opens", {"opens": "-2 h"}, "too little"),
        ("closes", {"closes": "4000 h"}, "too much"),
        ("at_c", {"law": "ten_degree"}, "Say at which warmth"),
    ],
)
def test_what_is_wrong_with_a_changed_window_is_said_at_its_field(maker, waits, field, more, sentence):
    response = maker.post(waits.url, link(waits.way, **more))
    assert response.status_code == 422
    assert sentence in said_at(response, field)
    assert waits.window()[1:3] == (240, 840)


def test_a_changed_wait_that_makes_a_circle_is_named_and_what_was_typed_stays(maker, way):
    row = links.link(way.member, way.step, way.saw, {"open_min": 60}, at=AT)
    url = at("step-link-change", way.shop, way.project.key, way.saw.key, row.key)
    response = maker.post(url, link(way, before=way.sand.pk, opens="5 h"))
    assert response.status_code == 422
    assert "These steps would wait for each other: Saw → Sand → Saw." in words_of(response)
    assert typed_in(response)["opens"] == "5 h"
    assert StepLink.objects.get().before == way.step


def test_the_page_of_a_wait_comes_as_a_fragment(maker, waits):
    assert maker.get(waits.url, **FRAGMENT).status_code == 200


def test_a_wait_of_another_step_is_not_found(maker, waits):
    way = waits.way
    assert (
        maker.get(at("step-link-change", way.shop, way.project.key, way.saw.key, waits.row.key)).status_code
        == 404
    )


def test_a_changed_wait_asks_as_often_however_long_the_route(maker, waits):
    before = asked(maker, waits.url)
    for place in range(3, 9):
        step = StepFactory(
            shop=waits.way.shop, block=waits.way.block, kind="other", title=f"s{place}", position=place
        )
        links.link(waits.way.member, waits.way.step, step, {"open_min": 5}, at=AT)
    assert asked(maker, waits.url) == before


def test_a_step_taken_up_again_says_what_ran_ahead(maker, way):
    for step in (way.saw, way.sand):
        work.tell(way.member, step, "done", key=key(), moment=ago(5))
    maker.post(at("step-reopen", way.shop, way.saw.key), act())
    words = words_of(maker.get(at("bench-step", way.shop, way.saw.key)))
    assert "out of order “Sand” behind it was begun already. What has happened stays." in words
    work.tell(way.member, way.saw, "done", key=key(), moment=ago(-5))
    assert "out of order" not in words_of(maker.get(at("bench-step", way.shop, way.saw.key)))


# --- offers ---


def deepen(way):
    plan.keep_block(way.member, way.block, {"finished_mm": 90}, at=AT)


def test_the_design_offers_steps_and_they_are_put_in(maker, way):
    deepen(way)
    page = maker.get(way.page())
    assert "What the design asks for" in words_of(page)
    [offer] = page.context["offers"]
    url = at("step-offer", way.shop, way.project.key, offer.code)
    assert maker.post(url, act())["Location"] == way.page()
    assert way.titles()[:2] == ["Pour Block A", "Pour block A, pour 2"]
    assert "What the design asks for" not in words_of(maker.get(way.page()))


def test_an_offer_that_is_gone_says_so(maker, way):
    response = maker.post(at("step-offer", way.shop, way.project.key, "coats"), act())
    assert response.status_code == 422
    assert "The design asks for that no more." in words_of(response)


def test_a_viewer_is_offered_nothing(signed_in, way):
    deepen(way)
    viewer = MemberFactory(shop=way.shop, role="viewer")
    assert "What the design asks for" not in words_of(signed_in(viewer).get(way.page()))


# --- a glue-up in parts ---


def test_a_glue_up_is_taken_apart_by_rows_rings_or_quarters(maker, way):
    design(way.member, way.project)
    assert "Glue up in parts" in words_of(maker.get(way.page()))
    words = words_of(maker.get(way.page("glue-parts")))
    assert "17 s a piece: the usual (common practice, no source), until five glue-ups" in words
    response = maker.post(way.page("glue-parts"), act(way="quarters", open_min="60 min"))
    assert response["Location"] == way.page()
    assert [title for title in way.titles() if title.startswith("Glue up, upper left")]
    maker.post(way.page("step-undo"), act())
    assert way.titles() == ["Pour Block A", "Saw", "Sand"]


def test_the_bench_begins_with_the_part_and_its_pieces(maker, way):
    step = StepFactory(shop=way.shop, block=way.block, kind="glue_up", title="Glue up, rows 1–2: 48 pieces")
    found = typed_in(maker.get(at("act-glue-up", way.shop, step.key)))
    assert (found["part"], found["pieces"]) == ("rows 1–2", "48")


@pytest.mark.parametrize(("field", "typed"), [("way", "moons"), ("open_min", "0"), ("open_min", "soon")])
def test_what_makes_no_parts_is_said_at_its_field(maker, way, field, typed):
    design(way.member, way.project)
    sent = {"way": "rows", "open_min": "40 min", field: typed}
    response = maker.post(way.page("glue-parts"), act(**sent))
    assert response.status_code == 422
    assert field == "way" or said_at(response, field)


def test_without_a_design_there_is_nothing_to_take_apart(maker, way):
    assert not PanelDesign.objects.exists()
    assert "No panel is designed yet." in words_of(maker.get(way.page("glue-parts")))
    assert maker.post(way.page("glue-parts"), act(way="rows", open_min="40 min")).status_code == 422


# --- routes ---


def test_a_route_is_kept_and_a_project_begins_with_it(maker, way):
    assert "route" not in typed_in(maker.get(at("project-new", way.shop)))
    response = maker.post(way.page("route-keep"), act(name=" Our way "))
    assert response["Location"] == at("routes", way.shop)
    kept = Route.objects.get()
    assert kept.name == "Our way"
    assert "Our way 3 steps" in words_of(maker.get(at("routes", way.shop)))
    sent = act(title="Next", due_on="", purpose="piece", route=str(kept.pk))
    maker.post(at("project-new", way.shop), sent)
    begun = Project.objects.get(title="Next")
    assert [step.title for step in route.in_place(begun)] == way.titles()


def test_a_project_begins_with_the_usual_steps_where_no_route_is_chosen(maker, way):
    routes.keep_route(way.member, way.project, "Ours", at=AT)
    maker.post(at("project-new", way.shop), act(title="Next", due_on="", purpose="piece", route=""))
    assert Project.objects.get(title="Next").steps.count() > 30


def test_a_route_of_another_shop_can_not_be_chosen(maker, way):
    other = Way()
    routes.keep_route(way.member, way.project, "Ours", at=AT)
    foreign = routes.keep_route(other.member, other.project, "Theirs", at=AT)
    response = maker.post(
        at("project-new", way.shop), act(title="Next", due_on="", purpose="piece", route=str(foreign.pk))
    )
    assert response.status_code == 422
    assert "Theirs" not in words_of(maker.get(at("routes", way.shop)))


def test_a_route_is_taken_off_and_brought_back(maker, way):
    kept = routes.keep_route(way.member, way.project, "Ours", at=AT)
    url = at("route-remove", way.shop, kept.key)
    assert maker.post(url, act())["Location"] == at("routes", way.shop)
    words = words_of(maker.get(at("routes", way.shop)))
    assert "“Ours” was taken off the list." in words
    assert "No route is kept yet" in words
    maker.post(url, act(removed="no"))
    assert "Ours 3 steps" in words_of(maker.get(at("routes", way.shop)))


def test_a_name_taken_meanwhile_is_said_on_the_list(maker, way):
    kept = routes.keep_route(way.member, way.project, "Ours", at=AT)
    routes.remove_route(way.member, kept, at=AT, removed=True)
    routes.keep_route(way.member, way.project, "Ours", at=AT)
    response = maker.post(at("route-remove", way.shop, kept.key), act(removed="no"))
    assert response.status_code == 422
    assert "There is a route “Ours” again by now." in words_of(response)


def test_a_route_needs_a_name(maker, way):
    response = maker.post(way.page("route-keep"), act(name="  "))
    assert (response.status_code, said_at(response, "name")) == (422, "This field is required.")


# --- all of them ---


@pytest.mark.parametrize("name", ["step-split", "step-link"])
def test_pages_of_a_step_come_as_fragments(maker, way, name):
    assert maker.get(way.page(name, way.saw), **FRAGMENT).status_code == 200


def asked(client, url):
    client.get(url)  # what is asked once only
    with CaptureQueriesContext(connection) as seen:
        client.get(url)
    return len(seen)


@pytest.mark.parametrize(
    ("name", "of_step"),
    [("steps", False), ("step-change", True), ("step-link", True), ("step-split", True),
     ("glue-parts", False), ("route-keep", False), ("routes", None)],
)  # fmt: skip
def test_a_page_asks_as_often_however_long_the_route(maker, way, name, of_step):
    design(way.member, way.project)
    routes.keep_route(way.member, way.project, "Ours 0", at=AT)
    for before in (way.step, way.saw):
        links.link(way.member, before, way.sand, {"open_min": 5}, at=AT)
    url = at("routes", way.shop) if of_step is None else way.page(name, *([way.sand] if of_step else []))
    before = asked(maker, url)
    for place in range(3, 9):
        step = StepFactory(shop=way.shop, block=way.block, kind="other", title=f"s{place}", position=place)
        links.link(way.member, way.step, step, {"open_min": 5}, at=AT)
        routes.keep_route(way.member, way.project, f"Ours {place}", at=AT)
    assert asked(maker, url) == before
