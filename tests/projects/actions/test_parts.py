import pytest

from projects.actions import links, parts, plan, route, work
from projects.models import CheckItem
from tests.factories import AT, MachineFactory, key, moment
from tests.projects.actions.test_links import Linked
from tests.projects.actions.test_route import told
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


def split(way, title, count=2):
    return parts.split_step(way.member, way.step(title), count, at=AT)


def join(way, title):
    return parts.join_steps(way.member, way.step(title), at=AT)


def minutes(way):
    return [step.minutes for step in route.in_place(way.project)]


# --- split ---


def test_a_step_in_three_parts_shares_its_time():
    way = Linked()
    split(way, "glue", 3)
    assert way.titles() == ["saw", "glue, part 1", "glue, part 2", "glue, part 3", "sand"]
    assert minutes(way) == [60, 20, 20, 20, 60]
    assert told(way.step("glue, part 1")) == ["split the step"]


def test_minutes_that_do_not_divide_are_not_lost():
    assert (parts.even(50, 3), sum(parts.even(61, 7))) == ([17, 17, 16], 61)


def test_parts_have_the_hands_machine_and_checklist_of_the_whole():
    way = Linked()
    saw = MachineFactory(shop=way.shop)
    route.change_step(way.member, way.step("saw"), {"machine": saw, "people": 2}, at=AT)
    route.add_check(way.member, way.step("saw"), "Blade sharp", at=AT)
    second = split(way, "saw")[1]
    assert (second.machine, second.people) == (saw, 2)
    assert [item.text for item in second.checks.all()] == ["Blade sharp"]


def test_the_first_part_waits_and_the_last_is_waited_for():
    way = Linked()
    way.link("saw", "glue", open_min=5)
    way.link("glue", "sand", open_min=9)
    split(way, "glue")
    assert way.pairs() == [("saw", "glue, part 1", 5, None), ("glue, part 2", "sand", 9, None)]


def test_a_split_is_taken_back_with_its_links():
    way = Linked()
    way.link("glue", "sand", open_min=9)
    split(way, "glue", 4)
    way.undo()
    assert (way.titles(), minutes(way)) == (["saw", "glue", "sand"], [60, 60, 60])
    assert way.pairs() == [("glue", "sand", 9, None)]


@pytest.mark.parametrize("count", [1, 13])
def test_so_many_parts_are_refused(count):
    way = Linked()
    with pytest.raises(Refused, match="2 to 12 parts"):
        split(way, "glue", count)


def test_a_step_shorter_than_its_parts_is_refused():
    way = Linked()
    route.change_step(way.member, way.step("glue"), {"minutes": 2}, at=AT)
    with pytest.raises(Refused, match="each part needs a minute"):
        split(way, "glue", 3)


def test_a_step_that_was_begun_is_not_split():
    way = Linked()
    work.tell(way.member, way.step("saw"), "began", key=key(), moment=moment())
    with pytest.raises(Refused, match="“saw” is under way.*can't be split"):
        split(way, "saw")


def test_what_goes_by_itself_is_not_split():
    way = Linked()
    route.change_step(way.member, way.step("glue"), {"mode": "passive"}, at=AT)
    with pytest.raises(Refused, match="“glue” goes by itself"):
        split(way, "glue")


# --- join ---


def test_two_steps_become_one_with_the_time_of_both():
    way = Linked()
    join(way, "saw")
    assert (way.titles(), minutes(way)) == (["saw; glue", "sand"], [120, 60])
    assert told(way.step("saw; glue")) == ["joined the step"]


def test_parts_of_one_step_joined_have_its_name_again():
    way = Linked()
    split(way, "glue")
    join(way, "glue, part 1")
    assert (way.titles(), minutes(way)) == (["saw", "glue", "sand"], [60, 60, 60])


def test_joined_steps_have_each_line_once():
    way = Linked()
    for title, text in (("saw", "Mask on"), ("glue", "Mask on"), ("glue", "Foil under it")):
        route.add_check(way.member, way.step(title), text, at=AT)
    assert [item.text for item in join(way, "saw").checks.all()] == ["Mask on", "Foil under it"]


def test_joined_steps_wait_for_what_both_waited_for():
    way = Linked(("oil", "saw", "glue", "sand"))
    way.link("oil", "saw", open_min=1)
    way.link("oil", "glue", open_min=2)
    way.link("saw", "glue", open_min=3)
    way.link("glue", "sand", open_min=4)
    join(way, "saw")
    assert way.pairs() == [("oil", "saw; glue", 2, None), ("saw; glue", "sand", 4, None)]
    way.undo()
    assert way.titles() == ["oil", "saw", "glue", "sand"]
    assert len(way.pairs()) == 4


def test_a_join_is_taken_back_with_time_and_checklist():
    way = Linked()
    route.add_check(way.member, way.step("glue"), "Foil under it", at=AT)
    join(way, "saw")
    way.undo()
    assert (way.titles(), minutes(way)) == (["saw", "glue", "sand"], [60, 60, 60])
    assert not CheckItem.objects.filter(step=way.step("saw")).exists()


def test_different_kinds_of_work_stay_two_steps():
    way = Linked()
    route.change_step(way.member, way.step("glue"), {"kind": "glue_up"}, at=AT)
    with pytest.raises(Refused, match="different kinds of work"):
        join(way, "saw")


def test_the_last_step_has_none_to_join():
    with pytest.raises(Refused, match="No step follows “sand”"):
        join(Linked(), "sand")


def test_a_step_is_not_joined_with_one_that_was_begun():
    way = Linked()
    work.tell(way.member, way.step("glue"), "began", key=key(), moment=moment())
    with pytest.raises(Refused, match="can't be joined"):
        join(way, "saw")


def test_a_line_ticked_on_a_joined_step_is_not_lost():
    way = Linked()
    item = route.add_check(way.member, way.step("saw"), "Mask on", at=AT)
    plan.tick(way.member, item, True, at=AT)
    join(way, "saw")
    assert CheckItem.objects.get(pk=item.pk).ticked_at == AT


def test_history_keeps_of_a_window_what_says_something():
    assert links.said({"open_min": 5, "close_min": None, "hard": False, "law": "wall"}) == {"open_min": 5}
