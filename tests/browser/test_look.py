"""The demo looked at in the browser without pressing anything.

Every kind of page that its links lead to is walked once; the pages a shop lives on are looked at closely:
by day and by night, narrow and wide, with text twice as large, with the system's own colours.
"""

import re
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.management import call_command
from django.test import override_settings
from django.urls import resolve, reverse
from django.utils import timezone
from pytest_django.live_server_helper import LiveServer

from materials.models import Lot
from projects.demo import load
from projects.models import Failure, Project, Step
from tests.browser.walker import NARROWEST

SIZES = {"narrow": (NARROWEST, 640), "phone": (390, 844), "desk": (1360, 900)}
REACHED = {
    "projects:now", "projects:project-list", "projects:project-new", "projects:block", "projects:steps",
    "projects:log", "projects:sheets", "projects:failures", "projects:failure-new", "projects:bench",
    "projects:bench-step", "projects:clock-settle", "projects:lessons", "projects:failure",
    "materials:shelf", "materials:lot", "materials:resin",
    "workshop:shop", "workshop:people", "workshop:hours", "workshop:machines", "workshop:machine",
    "workshop:history",
}  # fmt: skip
"""At least these are led to; what is added later is walked by itself."""


class Reader:
    """Somebody who follows links and presses nothing."""

    def __init__(self, page, origin):
        self.page, self.origin, self.said, self.wrong, self.seen = page, origin, [], [], {}
        page.on("console", lambda message: self.said.append(f"{message.type}: {message.text}"))
        page.on("pageerror", lambda error: self.said.append(f"error: {error}"))

    def look_around(self):
        """In by the first page's button."""
        self.page.goto(self.origin)
        self.page.get_by_role("button", name="Look around the demo").click()
        self.page.wait_for_url("**/now/")
        return self.page.url

    def read_on_from(self, url):
        """Every kind of page that can be reached from one, each with the first address it was met at."""
        waiting = [url]
        while waiting:
            address = waiting.pop(0)
            name = resolve(urlsplit(address).path).view_name
            if name in self.seen:
                continue
            self.seen[name] = address
            waiting += self.read(name, address)

    def read(self, name, address):
        """One page at every size; returns where its links lead."""
        if "text/html" not in self.page.request.get(address).headers["content-type"]:
            return []
        self.page.goto(address)
        for size, (wide, high) in SIZES.items():
            self.page.set_viewport_size({"width": wide, "height": high})
            over = self.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
            if over > 0:
                self.wrong.append(f"{name}, {size}: {over} px too wide ({address})")
        if self.said:
            self.wrong.append(f"{name}: {self.said} ({address})")
            self.said.clear()
        links = self.page.eval_on_selector_all("a[href]", "all => all.map(one => one.href)")
        return [link for link in map(without_words, links) if self.is_of_the_shop(link)]

    def is_of_the_shop(self, link):
        """Whether an address lies below the demo's shop."""
        return link.startswith(f"{self.origin}/s/")


def without_words(link):
    """An address without what comes after ? or #: another page of a list is the same kind of page."""
    return re.split(r"[?#]", link)[0]


PHONE, DESK = SIZES["phone"], SIZES["desk"]
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
TWICE = 32
"""The browser's own text size, in pixels, for those who need it twice as large."""
CLOSELY = [
    "projects:now", "projects:project-list", "projects:panel", "projects:block", "projects:steps",
    "projects:bench", "projects:bench-step", "projects:check", "projects:mix", "projects:failure",
    "projects:failure-new", "projects:lessons", "materials:shelf", "materials:lot", "materials:what-to-buy",
    "projects:week", "workshop:hours", "workshop:parts",
]  # fmt: skip
IN_HAND = [
    "projects:panel", "projects:block", "projects:bench-step", "projects:check", "projects:mix",
    "projects:failure-new", "projects:now", "materials:lot", "materials:lot-ticket", "materials:resin-new",
    "materials:supply-new", "projects:act-strips", "projects:act-demould", "projects:step-new",
]  # fmt: skip
"""Pages with one act, which a hand on a phone must reach without looking for it."""


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker, tmp_path_factory):
    """The demo, loaded once for this file, and a server that shows it: the server and its pictures."""
    media = tmp_path_factory.mktemp("pictures")
    with django_db_blocker.unblock(), override_settings(MEDIA_ROOT=media):
        load.load(timezone.now())
        server = LiveServer("localhost")
        yield server, media
        server.stop()
        call_command("flush", verbosity=0, interactive=False)


@pytest.fixture(autouse=True)
def db(media_of_its_own, settings, demo):
    """The demo and its photos, which stay for all tests of this file instead of going after each."""
    settings.MEDIA_ROOT = demo[1]


@pytest.fixture(scope="module")
def addresses(demo):
    """Where each page stands that is looked at closely."""
    shop = Project.objects.first().shop
    steps = Step.objects.of(shop).filter(project__removed_at=None)
    project, failure = Project.objects.get(state="under_way", code="021"), Failure.objects.of(shop).first()
    pour = steps.filter(kind=Step.Kind.POUR)
    rows = {
        "projects:bench-step": [pour.filter(state="under_way").first().key],
        "projects:mix": [pour.filter(state="under_way").first().key],
        "projects:check": [pour.filter(state="to_do").first().key],
        "projects:act-strips": [steps.filter(kind=Step.Kind.LOAD).last().key],
        "projects:act-demould": [steps.filter(kind=Step.Kind.DEMOULD).last().key],
        "projects:failure": [failure.project.key, failure.key],
        "materials:lot": [Lot.objects.of(shop).filter(kind=Lot.Kind.RESIN).first().key],
        "materials:lot-ticket": [Lot.objects.of(shop).filter(kind=Lot.Kind.RESIN).first().key],
        "materials:supply-new": ["finish"],
    }
    inside = {
        f"projects:{name}": [project.key] for name in ("panel", "block", "steps", "failure-new", "step-new")
    }
    known = {**rows, **inside}
    return {name: reverse(name, args=[shop.key, *known.get(name, [])]) for name in {*CLOSELY, *IN_HAND}}


@pytest.fixture(scope="module")
def reader(demo, browser):
    """Somebody who has come in by the first page's button."""
    reader = Reader(browser.new_page(), demo[0].url)
    reader.look_around()
    yield reader
    reader.page.context.close()


@pytest.fixture(scope="module")
def far_reader(demo, browser_type, browser_type_launch_args):
    """Somebody who has told the browser to show text twice as large."""
    larger = [*browser_type_launch_args["args"], f"--blink-settings=defaultFontSize={TWICE}"]
    browser = browser_type.launch(**{**browser_type_launch_args, "args": larger})
    reader = Reader(browser.new_page(), demo[0].url)
    reader.look_around()
    yield reader
    browser.close()


def opened(reader, address, size=DESK, **media):
    """The reader's page at an address, as large as a screen, with what the system asks for."""
    plain = {"color_scheme": "light", "forced_colors": "none", "reduced_motion": "reduce"}
    reader.page.emulate_media(**{**plain, **media})
    reader.page.set_viewport_size({"width": size[0], "height": size[1]})
    reader.page.goto(reader.origin + address)
    return reader.page


@pytest.mark.parametrize("name", CLOSELY)
def test_a_page_is_no_wider_than_its_screen_and_says_nothing_to_the_console(reader, addresses, name):
    page = opened(reader, addresses[name])
    over = {}
    for size in SIZES.values():
        page.set_viewport_size({"width": size[0], "height": size[1]})
        over[size[0]] = page.evaluate(SIDEWAYS)
    said, reader.said[:] = list(reader.said), []
    assert over == dict.fromkeys(over, 0)
    assert said == []


@pytest.mark.parametrize(("scheme", "size"), [("light", DESK), ("dark", PHONE)])
@pytest.mark.parametrize("name", CLOSELY)
def test_a_page_can_be_read_by_everybody_by_day_and_by_night(reader, addresses, name, scheme, size):
    page = opened(reader, addresses[name], size, color_scheme=scheme)
    found = Axe().run(page, options={"resultTypes": ["violations"]}).response["violations"]
    assert [(fault["id"], node["target"]) for fault in found for node in fault["nodes"]] == []


@pytest.mark.parametrize("name", IN_HAND)
def test_the_act_of_a_page_is_in_sight_on_a_phone(reader, addresses, name):
    page = opened(reader, addresses[name], PHONE)
    act = page.locator(".btn.main")
    assert act.count() == 1
    box, foot = act.bounding_box(), page.locator(".foot-nav").bounding_box()
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= (foot["y"] if foot else PHONE[1])


@pytest.mark.parametrize("wide", [NARROWEST, 640])
@pytest.mark.parametrize("name", CLOSELY)
def test_text_twice_as_large_stays_inside_the_page(far_reader, addresses, name, wide):
    page = opened(far_reader, addresses[name], (wide, 720))
    assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == f"{TWICE}px"
    assert page.evaluate(SIDEWAYS) == 0


def colour(page, css, of="main", pseudo=None):
    """A colour as the browser shows it."""
    return page.eval_on_selector(
        of, "(node, [pseudo, css]) => getComputedStyle(node, pseudo)[css]", [pseudo, css]
    )


def test_with_the_system_colours_where_one_is_stays_marked(reader, addresses):
    page = opened(reader, addresses["projects:panel"], forced_colors="active")
    here = colour(page, "borderBottomColor", '.inside [aria-current="page"]')
    elsewhere = colour(page, "borderBottomColor", ".inside a:not([aria-current])")
    assert here != elsewhere
    assert colour(page, "backgroundColor", '.rooms [aria-current="page"]', "::after") == here


def test_with_the_system_colours_what_is_chosen_stays_marked(reader, addresses):
    page = opened(reader, addresses["projects:panel"], forced_colors="active")
    assert colour(page, "outlineStyle", ".pick input:checked + span") == "solid"
    assert colour(page, "outlineStyle", ".pick input:not(:checked) + span") == "none"


def test_with_the_system_colours_the_main_act_keeps_an_edge(reader, addresses):
    page = opened(reader, addresses["projects:now"], forced_colors="active")
    assert colour(page, "borderTopWidth", ".btn.main") == "3px"


@pytest.mark.slow
def test_all_pages_of_the_demo_can_be_read_at_every_size(page, demo):
    reader = Reader(page, demo[0].url)
    reader.read_on_from(reader.look_around())
    assert reader.wrong == []
    assert REACHED - reader.seen.keys() == set()
