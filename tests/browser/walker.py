"""A maker in front of the browser: types, presses, counts both, and looks at every page."""

import io
from dataclasses import dataclass, field

from axe_playwright_python.sync_playwright import Axe
from PIL import Image, ImageDraw

NARROWEST = 320


@dataclass
class Walker:
    """Drives a page. `submits` and `typed` count what a maker has to do."""

    page: object
    origin: str
    submits: int = 0
    typed: int = 0
    said: list = field(default_factory=list)
    faults: list = field(default_factory=list)

    def __post_init__(self):
        self.page.on("console", lambda message: self.said.append(f"{message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.said.append(f"error: {error}"))

    def open(self, path):
        """Go to an address of the shop's server."""
        self.page.goto(self.origin + path)

    def type(self, name, text):
        """Type into a field."""
        self.page.fill(f"#id_{name}", text)
        self.typed += 1

    def choose(self, word):
        """Press one of the buttons of a choice."""
        self.page.click(f".pick label:has-text('{word}')")

    def unfold(self, word):
        """Open a fold by its line."""
        self.page.click(f"summary:has-text('{word}')")

    def press(self, word, then):
        """Press the act of the page, and wait for the address that follows."""
        self.page.get_by_role("button", name=word, exact=True).first.click()
        self.page.wait_for_url(f"**{then}")
        self.submits += 1

    def ask(self, word, sentence):
        """Press the act of the page, and be asked about it once more."""
        self.page.get_by_role("button", name=word, exact=True).first.click()
        self.page.wait_for_selector(f".asks :text('{sentence}')")
        self.said = [line for line in self.said if "422" not in line]  # the browser names every one
        self.submits += 1

    def follow(self, word, then):
        """Follow a link."""
        self.page.get_by_role("link", name=word, exact=True).first.click()
        self.page.wait_for_url(f"**{then}")

    def look(self, name):
        """Look at the page as it is: by day, by night, as a narrow phone shows it."""
        for scheme in ("light", "dark"):
            self.page.emulate_media(color_scheme=scheme)
            found = Axe().run(self.page, options={"resultTypes": ["violations"]}).response["violations"]
            self.faults += [
                f"{name}, {scheme}: {fault['id']} at {node['target']}"
                for fault in found
                for node in fault["nodes"]
            ]
        size = self.page.viewport_size
        self.page.set_viewport_size({"width": NARROWEST, "height": 640})
        sideways = self.page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        if sideways > 0:
            self.faults.append(f"{name}: {sideways} px wider than {NARROWEST}")
        self.page.set_viewport_size(size)


def photo_bytes():
    """A photo drawn by the program: strips and resin with bubbles."""
    image = Image.new("RGB", (900, 600), "#e8982a")
    pen = ImageDraw.Draw(image)
    for x in range(0, 900, 40):
        pen.rectangle((x, 0, x + 18, 600), fill="#3f281b")
    for x, y in ((30, 80), (110, 300), (310, 500)):
        pen.ellipse((x, y, x + 8, y + 8), fill="#fff0c4")
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85)
    return out.getvalue()
