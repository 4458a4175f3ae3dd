"""A route as a maker shapes it: a step split, linked, taken back; the route kept and begun with."""

import pytest
from django.conf import settings

from projects.actions import plan, route
from projects.models import Project, StepLink
from tests.browser.walker import Walker
from tests.factories import AT, Bench, design

PHONE, DESK = {"width": 390, "height": 844}, {"width": 1360, "height": 900}


@pytest.fixture
def bench(transactional_db):
    """A shop in which a project with a panel was just begun."""
    bench = Bench()
    bench.project = plan.begin_project(
        bench.member, title="Stair window", due_on=None, resin=bench.resin, at=AT
    )
    design(bench.member, bench.project)
    return bench


@pytest.fixture
def walker(page, context, live_server, client, bench):
    """A maker who is signed in."""
    client.force_login(bench.member.user, backend=settings.AUTHENTICATION_BACKENDS[-1])
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
    return Walker(page, live_server.url)


def titles(bench):
    return [step.title for step in route.in_place(bench.project)]


def change_of(walker, title):
    walker.page.locator("li", has_text=title).get_by_role("link", name="Change").first.click()
    walker.page.wait_for_url("**/steps/*-*/")


def split(walker, bench):
    walker.open(f"/s/{bench.shop.key}/projects/{bench.project.key}/steps/")
    change_of(walker, "Cut the pieces")
    walker.follow("Split it", "/split/")
    walker.look("split")
    walker.press("Split it", "/steps/")
    walker.page.locator("li", has_text="Cut the pieces, part 2").wait_for()
    assert "Cut the pieces, part 2" in titles(bench)


def refused_at_first(walker, deed, then):
    """A window that would close before it opens is refused in words."""
    walker.type("closes", "2 h")
    walker.press(deed, then)
    walker.page.wait_for_selector("text=It would close before it opens")
    assert [line for line in walker.said if "422" not in line] == []  # the browser's own word for it
    walker.said.clear()


def wait_for_another(walker):
    change_of(walker, "Dry fit")
    walker.follow("Let it wait for a step", "/waits/")
    walker.look("waits")
    walker.page.select_option("#id_before", label="Test cuts")
    walker.type("opens", "4 h")
    refused_at_first(walker, "Let it wait", "/waits/")
    walker.type("closes", "14 h")
    walker.press("Let it wait", "/steps/*-*/")
    walker.page.wait_for_selector("text=after “Test cuts”")
    walker.look("a step that waits")


def change_the_wait(walker, bench):
    walker.page.get_by_role("link", name="Change the wait for “Test cuts”").click()
    walker.page.wait_for_url("**/change/")
    walker.look("a wait that is changed")
    refused_at_first(walker, "Keep this window", "/change/")
    walker.type("closes", "9:30 h")
    walker.press("Keep this window", "/steps/*-*/")
    walker.page.wait_for_selector("text=9:30 h after “Test cuts”")
    assert StepLink.objects.get(after__title="Dry fit").close_min == 570


def take_back(walker, bench):
    """First the change of the wait, then the wait, then the split."""
    walker.open(f"/s/{bench.shop.key}/projects/{bench.project.key}/steps/")
    for gone in ("changed how “Dry fit” waits", "let “Dry fit” wait", "split “Cut the pieces”"):
        line = walker.page.locator(".kept", has_text=gone)
        line.get_by_role("button", name="Take it back").click()
        line.wait_for(state="detached")
    assert not StepLink.objects.filter(after__title="Dry fit").exists()
    assert "Cut the pieces, part 2" not in titles(bench)


def glue_in_parts(walker, bench):
    walker.follow("Glue up in parts", "/glue/")
    walker.look("glue in parts")
    walker.choose("Quarters")
    walker.press("Put these parts in", "/steps/")
    walker.page.locator("li", has_text="Glue up, upper left quarter").first.wait_for()
    assert "Glue up, part 1" not in titles(bench)


def keep_it(walker, bench):
    walker.follow("Keep this route for later projects", "/keep/")
    walker.look("keep")
    walker.type("name", "As always")
    walker.press("Keep it", "/projects/routes/")
    walker.unfold("As always")
    walker.look("kept routes")
    walker.press("Take off “As always”", "/projects/routes/")
    walker.page.wait_for_selector("text=was taken off the list")
    walker.press("Bring it back", "/projects/routes/")
    walker.page.wait_for_selector("summary:has-text('As always')")
    walker.open(f"/s/{bench.shop.key}/projects/new/")
    walker.look("new project")
    walker.type("title", "Second window")
    walker.page.select_option("#id_route", label="As always")
    walker.press("Begin it", "/block/")
    second = Project.objects.get(title="Second window")
    assert [step.title for step in route.in_place(second)] == titles(bench)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_a_route_is_shaped_taken_back_and_kept(walker, bench, size):
    walker.page.set_viewport_size(size)
    split(walker, bench)
    wait_for_another(walker)
    change_the_wait(walker, bench)
    take_back(walker, bench)
    glue_in_parts(walker, bench)
    keep_it(walker, bench)
    assert walker.faults == []
    assert walker.said == []
