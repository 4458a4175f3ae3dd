"""What tests of pages share: addresses, acts as a form sends them, photos, and reading what a page says."""

import html
import io
import re
from datetime import timedelta
from html.parser import HTMLParser

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from tests.factories import key
from workshop.acting import Moment

FRAGMENT = {"headers": {"HX-Request": "true"}}


def at(name, shop, *args):
    """The address of a page of the projects room."""
    return reverse(f"projects:{name}", args=[shop.key, *args])


def act(**typed):
    """What the form of an act sends: its own key, no moments (as without a script), and what was typed."""
    return {"key": str(key()), "happened_at": "", "sent_at": "", **typed}


def ago(minutes):
    """The moment of an act so many minutes before the page is asked for."""
    return Moment.now(timezone.now() - timedelta(minutes=minutes))


def photo(name="pour.jpg", size=(64, 48), kind="JPEG"):
    """A photo as a phone uploads it."""
    content = io.BytesIO()
    Image.new("RGB", size, (200, 120, 30)).save(content, kind)
    return SimpleUploadedFile(name, content.getvalue(), content_type="image/jpeg")


def no_photo():
    """A file that calls itself a photo and is none."""
    return SimpleUploadedFile("pour.jpg", b"not a photo at all", content_type="image/jpeg")


class Fields(HTMLParser):
    """What stands in each field of a page, by its name."""

    def __init__(self, text):
        super().__init__()
        self.found, self.area = {}, ""
        self.select = ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        name = attrs.get("name", "")
        if tag == "input" and (attrs.get("type") not in {"radio", "checkbox"} or "checked" in attrs):
            self.found[name] = attrs.get("value", "")
        elif tag == "textarea":
            self.area, self.found[name] = name, ""
        elif tag == "select":
            self.select = name
        elif tag == "option" and "selected" in attrs:
            self.found[self.select] = attrs.get("value", "")

    def handle_data(self, data):
        if self.area:
            self.found[self.area] += data

    def handle_endtag(self, tag):
        if tag == "textarea":
            self.found[self.area] = self.found[self.area].removeprefix("\n").removeprefix("\r\n")
            self.area = ""


def typed_in(response):
    """What stands in the fields of the page: name to value."""
    return Fields(response.content.decode()).found


def said_at(response, field):
    """The sentence that the page shows at a field; empty where it shows none."""
    found = re.search(
        rf'<p class="err" id="id_{field}_error">(.*?)</p>', response.content.decode(), re.DOTALL
    )
    return html.unescape(found[1]).strip() if found else ""


def words_of(response):
    """All that can be read on the page, on one line."""
    body = re.sub(r"<(script|style|template)\b.*?</\1>", " ", response.content.decode(), flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())
