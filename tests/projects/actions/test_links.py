import pytest

from projects.actions import links, route
from projects.models import RouteChange, StepLink
from tests.factories import AT, BlockFactory, StepFactory
from tests.projects.actions.test_route import Way, told
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
