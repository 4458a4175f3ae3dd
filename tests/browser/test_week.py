"""The week as a maker plans it: a plan made, taken, put back; the week seen each way, and on paper."""

import pytest
from django.conf import settings

from projects.actions import plan
from projects.models import Plan, Step
from tests.browser.walker import Walker
from tests.factories import AT, Bench

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1360, "height": 900}


@pytest.fixture
def bench(transactional_db):
    """A shop in which two projects were just begun."""
    bench = Bench()
    for title in ("Stair window", "Hall lantern"):
        plan.begin_project(bench.member, title=title, due_on=None, resin=bench.resin, at=AT)
    return bench


@pytest.fixture
def walker(page, context, live_server, client, bench):
    """A maker who is signed in."""
    client.force_login(bench.member.user, backend=settings.AUTHENTICATION_BACKENDS[-1])
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
    return Walker(page, live_server.url)


def make_and_take(walker, bench):
    walker.open(f"/s/{bench.shop.key}/week/")
    walker.page.wait_for_selector("text=What would help most")
    walker.look("week without dates")
    walker.press("Make a plan", "/week/plan/*/")
    walker.look("a plan")
    walker.press("Take this plan", "/week/")
    walker.page.wait_for_selector("text=These are the dates now.")
    assert not Step.objects.filter(planned_start=None, project__title="Hall lantern").exists()


def see_each_way(walker, bench, size):
    walker.page.wait_for_selector("text=Where these days come from")
    walker.look("week")
    for word in ("Day", "Six weeks", "Week"):
        with walker.page.expect_navigation():
            walker.page.locator(".week-head").get_by_role("link", name=word, exact=True).click()
        walker.page.wait_for_selector("text=Where these days come from")
        walker.look(word)
    if size == DESK:
        for word in ("By project", "By hands and machine", "As a list"):
            with walker.page.expect_navigation():
                walker.page.get_by_role("link", name=word, exact=True).click()
            walker.page.wait_for_selector("text=Where these days come from")
            walker.look(word)


def put_back(walker, bench):
    walker.open(f"/s/{bench.shop.key}/week/")
    with walker.page.expect_navigation():  # to the same address, so that its name says nothing
        walker.press("Put the former dates back", "/week/")
    walker.page.wait_for_selector("text=have no date yet")
    walker.press("Make a plan", "/week/plan/*/")
    walker.press("Drop it", "/week/")
    assert set(Plan.objects.values_list("dropped_at", flat=True)) != {None}


def shown(walker):
    """Which of picture and list are seen."""
    return [walker.page.locator(part).first.is_visible() for part in (".weekfig", ".week-list")]


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_week_is_planned_taken_and_put_back(walker, bench, size):
    walker.page.set_viewport_size(size)
    make_and_take(walker, bench)
    assert shown(walker) == ([True, False] if size == DESK else [False, True])
    see_each_way(walker, bench, size)
    put_back(walker, bench)
    assert walker.faults == []
    assert walker.said == []


def test_on_paper_the_picture_of_a_week_lies_on_one_sheet(walker, bench):
    walker.open(f"/s/{bench.shop.key}/week/")
    walker.page.emulate_media(media="print")
    walker.page.set_viewport_size({"width": 720, "height": 1000})
    assert shown(walker) == [True, False]
    assert not walker.page.locator(".week-head").is_visible()
    box = walker.page.locator(".weekpic").bounding_box()
    assert box["height"] < 148 / 25.4 * 96 + 1


def test_on_a_phone_the_act_of_the_week_is_in_sight(walker, bench):
    walker.page.set_viewport_size(PHONE)
    walker.open(f"/s/{bench.shop.key}/week/")
    act = walker.page.get_by_role("button", name="Make a plan").bounding_box()
    assert act["y"] + act["height"] <= walker.page.locator(".foot-nav").bounding_box()["y"]
