import pytest

from projects.actions import links, route
from projects.models import RouteChange, StepLink
from tests.factories import AT, BlockFactory, StepFactory
from tests.projects.actions.test_route import Way, told
from workshop.models import Event
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


class Linked(Way):
    """A route whose steps are linked."""

    def link(self, before, after, **values):
        return links.link(self.member, self.step(before), self.step(after), values, at=AT)

    def pairs(self):
        rows = StepLink.objects.of_project(self.project)
        return [(row.before.title, row.after.title, row.open_min, row.close_min) for row in rows]


def test_a_step_waits_for_another_within_a_window():
    way = Linked()
    way.link("saw", "sand", open_min=60, close_min=240, hard=True)
    assert way.pairs() == [("saw", "sand", 60, 240)]
    assert StepLink.objects.get().hard
    assert told(way.step("sand")) == ["linked"]


def test_the_same_two_steps_linked_again_have_the_new_window():
    way = Linked()
    way.link("saw", "sand", open_min=60)
    way.link("saw", "sand", open_min=90)
    assert way.pairs() == [("saw", "sand", 90, None)]
    way.undo()
    assert way.pairs() == [("saw", "sand", 60, None)]
    way.undo()
    assert way.pairs() == []


def test_the_same_link_again_changes_nothing():
    way = Linked()
    way.link("saw", "sand", open_min=60)
    way.link("saw", "sand", open_min=60)
    assert RouteChange.objects.count() == 1


WINDOW = {"open_min": 60, "close_min": 240, "hard": False, "at_c": None, "law": "wall"}


class Changed(Linked):
    """Sand waits an hour for saw; the window is changed."""

    def __init__(self):
        super().__init__()
        self.row = self.link("saw", "sand", open_min=60)

    def change(self, before="saw", **values):
        before = self.step(before) if isinstance(before, str) else before
        return links.change_link(self.member, self.row, before, {**WINDOW, **values}, at=AT)


def test_a_window_is_changed_and_taken_back():
    way = Changed()
    way.change(open_min=90, close_min=600, hard=True, at_c=23.0, law="ten_degree")
    row = StepLink.objects.get()
    assert (row.open_min, row.close_min, row.hard, row.at_c, row.law) == (90, 600, True, 23.0, "ten_degree")
    way.undo()
    row = StepLink.objects.get()
    assert (row.key, row.open_min, row.close_min, row.hard, row.at_c, row.law) == (
        way.row.key, 60, None, False, None, "wall",
    )  # fmt: skip


def test_history_says_what_a_window_was_and_became():
    way = Changed()
    way.change(open_min=90, law="ten_degree", at_c=23.0)
    assert told(way.step("sand")) == ["linked", "changed the wait"]
    event = Event.objects.get(verb="changed the wait")
    assert event.before == {"open_min": 60, "close_min": None, "at_c": None, "law": "hours as they are"}
    assert event.after == {"open_min": 90, "close_min": 240, "at_c": 23.0, "law": "hours follow the warmth"}


def test_a_window_left_as_it_is_changes_nothing():
    way = Changed()
    way.change(close_min=None)
    assert (RouteChange.objects.count(), told(way.step("sand"))) == (1, ["linked"])


def test_a_step_waits_for_another_one_instead_and_it_is_taken_back():
    way = Changed()
    way.change("glue")
    assert way.pairs() == [("glue", "sand", 60, 240)]
    way.undo()
    assert way.pairs() == [("saw", "sand", 60, None)]


def test_a_changed_link_that_makes_a_circle_is_refused_and_stays():
    way = Linked()
    row = way.link("saw", "glue", open_min=60)
    with pytest.raises(Refused, match="wait for each other: glue → sand → glue"):
        links.change_link(way.member, row, way.step("sand"), WINDOW, at=AT)
    assert way.pairs() == [("saw", "glue", 60, None)]


def test_a_link_is_not_changed_into_one_that_is_there():
    way = Changed()
    way.link("glue", "sand", open_min=5)
    with pytest.raises(Refused, match="“sand” waits for “glue” already"):
        way.change("glue")
    assert RouteChange.objects.count() == 2


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"close_min": 30}, "close before it opens"),
        ({"close_min": None, "hard": True}, "Say when it closes"),
        ({"law": "ten_degree"}, "need the warmth"),
    ],
)
def test_a_window_that_nobody_can_meet_is_refused(values, sentence):
    way = Changed()
    with pytest.raises(Refused, match=sentence):
        way.change(**values)
    assert way.pairs() == [("saw", "sand", 60, None)]


def test_a_link_is_not_changed_to_itself_or_to_another_project():
    way, other = Changed(), Linked()
    with pytest.raises(Refused, match="can't wait for itself"):
        way.change("sand")
    with pytest.raises(Refused, match="different projects"):
        way.change(other.step("saw"))


def test_a_link_taken_off_comes_back_with_its_key():
    way = Linked()
    row = way.link("saw", "sand", open_min=60)
    links.unlink(way.member, row, at=AT)
    assert way.pairs() == []
    way.undo()
    assert StepLink.objects.get().key == row.key


def test_a_circle_is_refused_naming_its_steps():
    way = Linked()
    with pytest.raises(Refused, match="wait for each other: saw → glue → sand → saw"):
        way.link("sand", "saw")
    assert way.pairs() == []


def test_a_step_stands_behind_what_it_waits_for_in_another_block_too():
    way = Linked()
    other = BlockFactory(shop=way.shop, project=way.project, position=1)
    StepFactory(shop=way.shop, block=other, position=3, kind="other", title="cast")
    with pytest.raises(Refused, match="“glue” waits for “cast”, so it must stand behind it"):
        way.link("cast", "glue")


def test_a_step_is_not_moved_in_front_of_what_it_waits_for():
    way = Linked()
    way.link("glue", "sand")
    with pytest.raises(Refused, match="These steps would wait for each other: glue → sand → glue"):
        route.move_step(way.member, way.step("sand"), -1, at=AT)
    assert way.titles() == ["saw", "glue", "sand"]


def test_a_step_can_not_wait_for_itself():
    way = Linked()
    with pytest.raises(Refused, match="can't wait for itself"):
        way.link("saw", "saw")


def test_a_step_of_another_project_is_not_waited_for():
    way, other = Linked(), Linked()
    with pytest.raises(Refused, match="different projects"):
        links.link(way.member, other.step("saw"), way.step("sand"), {}, at=AT)


def test_a_window_that_closes_before_it_opens_is_refused():
    way = Linked()
    with pytest.raises(Refused, match="close before it opens"):
        way.link("saw", "sand", open_min=60, close_min=30)


def test_a_link_of_a_removed_step_comes_back_with_it():
    way = Linked()
    way.link("saw", "sand")
    route.remove_step(way.member, way.step("saw"), at=AT)
    assert not StepLink.objects.standing().exists()
    way.undo()
    assert StepLink.objects.standing().count() == 1
