"""A resin's fit and its cups in the browser: the job's bar, what came out of it, every page looked at."""

import pytest
from django.urls import reverse
from django.utils import timezone

from materials.fit import cup_tests
from tests.browser.walker import Walker, let_in
from tests.factories import AT, CupTestFactory, MemberFactory, ResinFactory
from tests.materials.fit.room import fitted
from workshop import jobs
from workshop.models import Job


@pytest.fixture
def owner(transactional_db):
    return MemberFactory(shop__name="Tallow Yard")


@pytest.fixture
def walker(page, live_server, client, context, owner):
    """Ines, signed in."""
    let_in(context, client, owner.user, live_server.url)
    return Walker(page, live_server.url)


def address(name, row):
    return reverse(f"materials:{name}", args=[row.shop.key, row.key])


def begun(owner):
    """A cup test whose fit a worker has begun."""
    test = CupTestFactory(resin=ResinFactory(shop=owner.shop))
    test.job = Job.objects.create(
        shop=owner.shop, created_at=AT, created_by=owner.user, member=owner, kind=cup_tests.KIND,
        title="Fitting Tarn to its cup", state="running", total=4, arguments={"test": str(test.key)},
        moved_at=timezone.now(),
    )  # fmt: skip
    test.save()
    return test


def test_the_bar_of_a_fit_follows_it_and_gives_way_to_what_came_out(walker, owner):
    test = begun(owner)
    walker.open(address("cup-test", test))
    bar = walker.page.locator(".job-bar svg")
    assert bar.get_attribute("aria-label") == "Fitting Tarn to its cup: 0 of 4 done."
    running = jobs.Running(test.job, attempt=1)
    running.report(2, "Looking for its safe side.")
    walker.page.get_by_text("Looking for its safe side. 2 of 4 done.").wait_for()
    done = fitted(test.resin)
    type(test).objects.filter(pk=test.pk).update(fitted=done.fitted, residual_percent=2.0)
    running.finish({})
    walker.page.get_by_role("heading", name="Before and after").wait_for()
    assert not walker.page.locator(".job").count()
    assert walker.said == []


def test_a_fit_that_fails_says_why_and_asks_no_more(walker, owner):
    test = begun(owner)
    walker.open(address("cup-test", test))
    jobs.Running(test.job, attempt=1).fail("The cup did not warm.")
    walker.page.get_by_text("The cup did not warm.").wait_for()
    assert walker.page.get_by_role("button", name="Start it again").is_visible()
    assert not walker.page.locator("[hx-trigger='every 1s']").count()


@pytest.mark.parametrize("size", [pytest.param((390, 844), id="phone"), pytest.param((1360, 900), id="desk")])
def test_every_page_of_cups_can_be_read(walker, owner, size):
    walker.page.set_viewport_size({"width": size[0], "height": size[1]})
    resin = ResinFactory(shop=owner.shop, pot_minutes=40)
    test, under_way = fitted(resin), begun(owner)
    pages = {
        "fit": address("resin-fit", resin),
        "new": address("cup-test-new", resin),
        "list": address("cup-tests", resin),
        "test": address("cup-test", test),
        "under way": address("cup-test", under_way),
    }
    for name, place in pages.items():
        walker.open(place)
        walker.look(name)
    walker.open(address("resin", resin))
    walker.page.get_by_role("heading", name="The deepest pour at once").wait_for()
    walker.look("resin")
    assert walker.faults == []
    assert walker.said == []
