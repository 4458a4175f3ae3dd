"""The demo walked in the browser without pressing anything: every kind of page that its links lead to."""

import re
from urllib.parse import urlsplit

import pytest
from django.urls import resolve
from django.utils import timezone

from projects.demo import load
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


@pytest.mark.slow
def test_all_pages_of_the_demo_can_be_read_at_every_size(page, live_server, transactional_db):
    load.load(timezone.now())
    reader = Reader(page, live_server.url)
    reader.read_on_from(reader.look_around())
    assert reader.wrong == []
    assert REACHED - reader.seen.keys() == set()
