"""A route as a maker goes it: dates laid out, a step changed and taken back, work begun, done and skipped."""

import pytest

from projects.actions import plan
from projects.models import Step
from tests.browser.walker import Walker, let_in
from tests.factories import AT, Bench

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1360, "height": 900}


@pytest.fixture
def bench(transactional_db):
    """A shop in which a project was just begun."""
    bench = Bench()
    bench.project = plan.begin_project(
        bench.member, title="Stair window", due_on=None, resin=bench.resin, at=AT
    )
    return bench


@pytest.fixture
def walker(page, context, live_server, client, bench):
    """A maker who is signed in."""
    let_in(context, client, bench.member.user, live_server.url)
    return Walker(page, live_server.url)


def lay_out(walker, bench):
    walker.open(f"/s/{bench.shop.key}/projects/{bench.project.key}/steps/")
    walker.press("Lay out from now", "/steps/")
    walker.page.wait_for_selector("text=laid out all dates")
    walker.look("steps")


def change(walker):
    walker.page.locator("li", has_text="Test cuts").get_by_role("link", name="Change").click()
    walker.page.wait_for_url("**/steps/*-*/")
    walker.look("a step")
    walker.press("Take it out of the route", "/steps/")
    with walker.page.expect_navigation():  # to the same address, so that its name says nothing
        walker.press("Take it back", "/steps/")
    walker.page.locator("li", has_text="Test cuts").get_by_role("link", name="Change").wait_for()
    walker.follow("Add a step", "/new/")
    walker.look("a step more")
    walker.page.go_back()


def work(walker):
    walker.follow("Take it to the bench", "/bench/*/")
    walker.look("a whole step")
    with walker.page.expect_navigation():
        walker.press("Begin", "/bench/*/")
    walker.page.get_by_role("button", name="Done", exact=True).wait_for()
    walker.press("Done", "/bench/*/")
    walker.page.wait_for_selector("text=On to: Wait for what was bought")
    walker.follow("On to: Wait for what was bought", "/bench/*/")
    walker.press("It starts now", "/bench/*/")
    walker.page.wait_for_selector(".clock")
    walker.look("a whole step, waiting")
    walker.follow("Skip it", "/skip/")
    walker.look("skip")
    walker.type("why", "it was on the shelf")
    walker.press("Skip it", "/bench/*-*/")
    walker.page.wait_for_selector("text=it was on the shelf")


def say_what_it_is(walker, bench):
    walker.open(f"/s/{bench.shop.key}/projects/{bench.project.key}/piece/")
    walker.look("piece")
    walker.type("customer", "Maud Wray")
    with walker.page.expect_navigation():  # to the same address, so that its name says nothing
        walker.press("Keep these facts", "/piece/")
    walker.open(f"/s/{bench.shop.key}/projects/?search=WRAY")
    walker.page.wait_for_selector("text=Stair window")
    walker.look("projects")


def main_act_is_in_sight(walker, bench):
    """At the size of a phone nobody has to scroll to the act."""
    for path in ("now/", "bench/", "projects/", f"projects/{bench.project.key}/steps/"):
        walker.open(f"/s/{bench.shop.key}/{path}")
        box = walker.page.locator(".btn.main").first.bounding_box()
        foot = walker.page.locator(".foot-nav").bounding_box()
        assert box["y"] + box["height"] <= foot["y"], path


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_route_is_laid_out_changed_and_gone(walker, bench, size):
    walker.page.set_viewport_size(size)
    lay_out(walker, bench)
    change(walker)
    work(walker)
    say_what_it_is(walker, bench)
    if size == PHONE:
        main_act_is_in_sight(walker, bench)
    states = bench.project.steps.in_order().values_list("state", flat=True)[:3]
    assert list(states) == [Step.State.DONE, Step.State.SKIPPED, Step.State.TO_DO]
    assert walker.faults == []
    assert walker.said == []
