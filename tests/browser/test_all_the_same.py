"""A slip of a digit on a phone: asked about once, mended or done all the same, looked at by day and night."""

import pytest
from django.conf import settings

from projects.models import LogEntry, Pour
from tests.browser.walker import Walker
from tests.factories import Bench, key
from tests.projects.pages import ago

PHONE = {"width": 390, "height": 844}
SLIP = "130\u00a0mm is 10 times"
DEED = "It is in the mould"


@pytest.fixture
def bench(transactional_db):
    """A cup that is mixed and weighed, and a block of 13 mm that waits for it."""
    from projects.actions import bench as acts

    bench = Bench()
    made = acts.parts_meet(
        bench.member, bench.step, key=key(), moment=ago(5), resin=bench.resin, cup=bench.cup()
    )
    acts.weigh(bench.member, bench.step, made, "B", 142.0, key=key(), moment=ago(4))
    return bench


@pytest.fixture
def walker(page, context, live_server, client, bench):
    """A maker who is signed in, with a phone, at the pour."""
    client.force_login(bench.member.user, backend=settings.AUTHENTICATION_BACKENDS[-1])
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
    page.set_viewport_size(PHONE)
    walker = Walker(page, live_server.url)
    walker.open(f"/s/{bench.shop.key}/bench/{bench.step.key}/pour/")
    return walker


def in_sight(walker, selector):
    """Whether something is on the screen as it stands."""
    box = walker.page.locator(selector).bounding_box()
    return 0 <= box["y"] < PHONE["height"]


def test_a_nought_too_many_is_asked_about_and_mended(walker):
    walker.type("depth_mm", "130")
    walker.type("text", "Calm")
    walker.ask(DEED, SLIP)
    walker.page.wait_for_function("document.activeElement.matches('.asks')")
    assert (walker.page.input_value("#id_depth_mm"), walker.page.input_value("#id_text")) == ("130", "Calm")
    assert in_sight(walker, ".asks")
    assert in_sight(walker, f"button:has-text('{DEED}')")
    walker.type("depth_mm", "13")
    walker.press(DEED, "/photo/")
    assert Pour.objects.get().depth_mm == 13
    assert "all_the_same" not in LogEntry.objects.get(kind="pour").detail
    assert (walker.faults, walker.said) == ([], [])


def test_a_deep_pour_is_poured_all_the_same_with_its_reason(walker, bench):
    walker.type("depth_mm", "130")
    walker.ask(DEED, SLIP)
    walker.look("asked")
    walker.ask(DEED, "Choose why")
    walker.choose("It is a test casting")
    walker.type("why_words", "a tall test")
    walker.look("answered")
    walker.press(DEED, "/photo/")
    assert LogEntry.objects.get(kind="pour").detail["all_the_same"]["why"] == (
        "It is a test casting. a tall test"
    )
    walker.open(f"/s/{bench.shop.key}/projects/{bench.project.key}/log/")
    walker.page.wait_for_selector("text=It is a test casting. a tall test")
    walker.look("log")
    assert (walker.faults, walker.said) == ([], [])


def test_what_was_asked_is_answered_by_keys_alone(walker):
    walker.type("depth_mm", "130")
    walker.page.keyboard.press("Enter")
    walker.page.wait_for_selector(".asks")
    walker.page.locator(".asks input[type=radio]").first.focus()
    walker.page.keyboard.press("Space")
    walker.page.keyboard.press("Enter")
    walker.page.wait_for_url("**/photo/")
    assert Pour.objects.get().depth_mm == 130
