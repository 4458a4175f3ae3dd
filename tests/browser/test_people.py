"""Two people in two browsers: asked in by a link, in the shop, removed; and the pages looked at."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.browser.walker import Walker, let_in
from tests.factories import PASSWORD, MemberFactory, key
from workshop.changes import hours, machines, passwords, people
from workshop.models import Member

SIZES = [pytest.param((390, 844), id="phone"), pytest.param((1360, 900), id="desk")]


@pytest.fixture
def owner(transactional_db):
    """Ines, who owns Tallow Yard."""
    return MemberFactory(shop__name="Tallow Yard", user__email="ines@example.org")


@pytest.fixture
def walker(page, live_server):
    return Walker(page, live_server.url)


def sign_in(client, context, live_server, member):
    """Put a member's session into the browser."""
    let_in(context, client, member.user, live_server.url)


def furnish(owner):
    """A shop with a bit of everything that its pages show."""
    at = timezone.now()
    joris = MemberFactory(shop=owner.shop, role="maker", name="Joris")
    maud = MemberFactory(shop=owner.shop, role="viewer", name="Maud")
    people.remove(owner, maud, at=at, why="moved to the coast")
    people.change_role(owner, joris, "viewer", at=at, why="away for a year")
    link = people.invite(owner, key=key(), role="maker", for_whom="Maud’s brother", at=at)
    hours.set_day(owner, at.date() + timedelta(days=9), [], at=at, note="stocktaking")
    saw = machines.add(owner, "saw", {"name": "the table saw", "kerf_mm": 2.2, "angle_error_deg": 0.1}, at=at)
    machines.retire(owner, machines.add(owner, "scale", {"name": "old scale"}, at=at), retired=True, at=at)
    return joris, link, saw


def pages_of(owner):
    """The addresses of all pages of the shop's people and keeping."""
    joris, link, saw = furnish(owner)
    inside = (
        "", "people/", "people/invite/", f"people/invitations/{link.key}/", f"people/{joris.key}/",
        f"people/{joris.key}/remove/", "leave/", "hours/", "machines/", "machines/new/saw/",
        "machines/new/mould/", f"machines/{saw.key}/", "history/",
    )  # fmt: skip
    return [*(f"/s/{owner.shop.key}/shop/{path}" for path in inside), "/password/", "/shops/", "/shops/new/"]


@pytest.mark.parametrize("size", SIZES)
def test_every_page_of_the_shop_is_fit_to_be_seen(walker, client, context, live_server, owner, size):
    sign_in(client, context, live_server, owner)
    walker.page.set_viewport_size({"width": size[0], "height": size[1]})
    for path in pages_of(owner):
        walker.open(path)
        walker.look(path.replace(str(owner.shop.key), "…"))
    assert (walker.faults, walker.said) == ([], [])


def test_pages_before_the_door_are_fit_to_be_seen(walker, owner):
    from workshop import tokens

    at = timezone.now()
    link = people.invite(owner, key=key(), role="maker", for_whom="", at=at)
    token = passwords.make_link(owner.user, at=at)
    for path in (f"/join/{tokens.of_invitation(link.key)}/", "/password/lost/", f"/password/new/{token}/"):
        walker.open(path)
        walker.look(path[:15])
    assert (walker.faults, walker.said) == ([], [])


def test_a_link_leads_a_stranger_into_the_shop(walker, browser, client, context, live_server, owner):
    sign_in(client, context, live_server, owner)
    walker.open(f"/s/{owner.shop.key}/shop/people/")
    walker.follow("Ask somebody in", "/invite/")
    walker.type("for_whom", "Joris")
    walker.press("Make the link", "/invitations/*/")
    link = walker.page.input_value("#id_link")
    with browser.new_context() as elsewhere:
        other = Walker(elsewhere.new_page(), live_server.url)
        other.page.goto(link)
        other.type("name", "Joris")
        other.type("email", "joris@example.org")
        other.type("password", "resin-and-rain")
        other.press("Open an account and join", "/now/")
        assert Member.objects.get(shop=owner.shop, name="Joris").role == "maker"
        people.remove(owner, Member.objects.get(name="Joris"), at=timezone.now())
        other.page.reload()
        assert "There is nothing here" in other.page.inner_text("main")


def test_a_link_is_copied_with_one_press(walker, client, context, live_server, owner):
    context.grant_permissions(["clipboard-read", "clipboard-write"], origin=live_server.url)
    sign_in(client, context, live_server, owner)
    link = people.invite(owner, key=key(), role="maker", for_whom="", at=timezone.now())
    walker.open(f"/s/{owner.shop.key}/shop/people/invitations/{link.key}/")
    walker.page.get_by_role("button", name="Copy it").click()
    walker.page.get_by_role("button", name="Copied").wait_for()
    assert walker.page.evaluate("navigator.clipboard.readText()") == walker.page.input_value("#id_link")


def test_the_hours_are_kept_and_put_back(walker, client, context, live_server, owner):
    sign_in(client, context, live_server, owner)
    walker.open(f"/s/{owner.shop.key}/shop/hours/")
    walker.type("saturday", "9-12")
    with walker.page.expect_navigation():
        walker.page.get_by_role("button", name="Keep this week").click()
    assert walker.page.input_value("#id_saturday") == "09:00–12:00"
    with walker.page.expect_navigation():
        walker.page.get_by_role("button", name="Put it back").click()
    assert walker.page.input_value("#id_saturday") == "shut"


def test_hours_that_are_none_stay_with_a_sentence(walker, client, context, live_server, owner):
    sign_in(client, context, live_server, owner)
    walker.open(f"/s/{owner.shop.key}/shop/hours/")
    walker.type("saturday", "mornings")
    walker.page.get_by_role("button", name="Keep this week").click()
    walker.page.wait_for_selector("#id_saturday_error")
    assert walker.page.input_value("#id_saturday") == "mornings"


def test_a_new_password_ends_the_other_browser(walker, browser, client, context, live_server, owner):
    sign_in(client, context, live_server, owner)
    with browser.new_context() as elsewhere:
        other = Walker(elsewhere.new_page(), live_server.url)
        other.open("/sign-in/")
        other.type("username", "ines@example.org")
        other.type("password", PASSWORD)
        other.press("Sign in", "/now/")
        walker.open("/password/")
        walker.type("old", PASSWORD)
        walker.type("new", "walnut-beside-pear")
        walker.press("Change the password", "/now/")
        other.open(f"/s/{owner.shop.key}/now/")
        assert "/sign-in/" in other.page.url
