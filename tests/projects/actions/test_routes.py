"""Routes that a shop keeps for later projects."""

import pytest

from projects import advice
from projects.actions import links, plan, route, routes
from projects.models import Route, Step, StepLink
from tests.factories import AT, MachineFactory, MemberFactory, ResinFactory
from tests.projects.actions.test_route import Way, told
from workshop.refusals import Refused

pytestmark = pytest.mark.django_db


def keep(way, name="Our way"):
    return routes.keep_route(way.member, way.project, name, at=AT)


def begin(member, **more):
    return plan.begin_project(member, **{"title": "Next", "due_on": None, "resin": None, "at": AT, **more})


def test_a_project_follows_a_kept_route():
    way = Way()
    saw = MachineFactory(shop=way.shop)
    route.change_step(way.member, way.step("saw"), {"machine": saw, "minutes": 45, "people": 2}, at=AT)
    steps = begin(way.member, route=keep(way)).steps.in_order()
    assert [(step.title, step.minutes) for step in steps] == [("saw", 45), ("glue", 60), ("sand", 60)]
    assert (steps[0].machine, steps[0].people, steps[0].state) == (saw, 2, "to_do")


def test_the_blocks_name_follows_the_block():
    way = Way(("Pour block A",))
    kept = keep(way)
    assert kept.lines[0]["title"] == "Pour {block}"
    [step] = begin(way.member, route=kept).steps.all()
    assert (step.title, step.block.project) == ("Pour block A", step.project)


def test_words_with_braces_stay_as_they_were_written():
    way = Way(("Stack {12} high",))
    assert begin(way.member, route=keep(way)).steps.get().title == "Stack {12} high"


def test_what_follows_the_sheet_has_its_hours():
    member = MemberFactory()
    first = begin(member, resin=ResinFactory(shop=member.shop, demould_h=30))
    kept = routes.keep_route(member, first, "Ours", at=AT)
    slow = begin(member, resin=ResinFactory(shop=member.shop, demould_h=48), route=kept)
    usual = advice.usual_minutes(slow.blocks.get())["cure"]
    assert slow.steps.get(kind="cure").minutes == round(usual) > 48 * 60


def test_links_and_own_lines_come_with_it():
    way = Way()
    window = {"open_min": 60, "close_min": 240, "hard": True}
    links.link(way.member, way.step("saw"), way.step("sand"), window, at=AT)
    route.add_check(way.member, way.step("glue"), "Foil under it", at=AT)
    project = begin(way.member, route=keep(way))
    row = StepLink.objects.of_project(project).get()
    assert (row.before.title, row.after.title) == ("saw", "sand")
    assert (row.open_min, row.close_min, row.hard) == (60, 240, True)
    assert [item.text for item in project.steps.get(title="glue").checks.all()] == ["Foil under it"]


def test_usual_lines_are_not_said_twice():
    member = MemberFactory()
    first = begin(member)
    second = begin(member, route=routes.keep_route(member, first, "Ours", at=AT))
    for one, other in zip(first.steps.in_order(), second.steps.in_order(), strict=True):
        assert [item.text for item in one.checks.all()] == [item.text for item in other.checks.all()]
    assert StepLink.objects.of_project(second).count() == StepLink.objects.of_project(first).count()


def test_what_was_taken_out_is_not_kept():
    way = Way()
    route.remove_step(way.member, way.step("glue"), at=AT)
    assert [line["title"] for line in keep(way).lines] == ["saw", "sand"]


def test_kept_again_under_its_name_it_follows_the_route():
    way = Way()
    first = keep(way)
    keep(way)
    way.add("oil")
    assert (keep(way).pk, Route.objects.count()) == (first.pk, 1)
    assert len(Route.objects.get().lines) == 4
    assert told(first) == ["kept the route", "kept anew the route"]


def test_a_project_without_steps_has_no_route_to_keep():
    way = Way()
    Step.objects.update(removed_at=AT)
    with pytest.raises(Refused, match="no route to keep"):
        keep(way)


def test_a_removed_route_can_be_brought_back():
    way = Way()
    kept = keep(way)
    routes.remove_route(way.member, kept, at=AT, removed=True)
    assert list(Route.objects.kept()) == []
    assert Route.objects.removed_last() == kept
    routes.remove_route(way.member, kept, at=AT, removed=False)
    assert list(Route.objects.kept()) == [kept]


def test_a_name_that_was_taken_meanwhile_keeps_the_old_route_away():
    way = Way()
    kept = keep(way)
    routes.remove_route(way.member, kept, at=AT, removed=True)
    keep(way)
    with pytest.raises(Refused, match="There is a route “Our way” again"):
        routes.remove_route(way.member, kept, at=AT, removed=False)


def test_a_route_is_followed_with_as_many_questions_as_ever(django_assert_max_num_queries):
    member = MemberFactory()
    kept = routes.keep_route(member, begin(member), "Ours", at=AT)
    with django_assert_max_num_queries(18):
        begin(member, route=kept)
