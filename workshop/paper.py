"""Paper: an HTML template becomes a PDF. Only files of our own are read, never the network."""

import contextlib
import mimetypes
import os
import threading

from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.template.loader import render_to_string

# fonts are cut to the letters used and get the time of the cut, unless this names another: without it
# no two PDFs of the same sheet would be equal
os.environ.setdefault("SOURCE_DATE_EPOCH", "0")
ONE_AT_A_TIME = threading.Semaphore(1)  # the fonts' library is not made for two threads


def pdf(template, context):
    """The bytes of a PDF, tagged for screen readers.

    `paper` in the context names the page size; the template links `static:style/paper.css`.
    """
    from weasyprint import HTML

    text = render_to_string(template, context)
    with ONE_AT_A_TIME:
        return HTML(string=text, base_url="static:/", url_fetcher=make_fetcher()).write_pdf(
            pdf_variant="pdf/ua-1"
        )


def make_fetcher():
    """A fetcher that knows our static files and nothing else: no file, no host."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class StaticOnly(URLFetcher):
        """Reads `static:path` and refuses every other address."""

        def fetch(self, url, headers=None):
            scheme, _, path = url.partition(":")
            if scheme != "static":
                raise ValueError(f"paper reads its own files only, not {url[:60]}")
            content = read_static(path.lstrip("/"))
            kind = mimetypes.guess_type(path)[0] or "application/octet-stream"
            # without a type a style sheet would count as plain text and be dropped in silence
            return URLFetcherResponse(url, body=content, headers={"Content-Type": kind})

    return StaticOnly()


def read_static(path):
    """A static file of ours by its name, collected or not."""
    found = None
    with contextlib.suppress(SuspiciousFileOperation):  # a path that climbs out of the folder finds nothing
        found = finders.find(path)
    if found is None:
        raise ValueError(f"there is no static file {path}")
    with open(found, "rb") as file:
        return file.read()


def address_for_codes(request):
    """What a phone opens when it reads a code on paper: the shop's public address, or the one in use."""
    shop = request.shop
    return (shop.public_address or f"{request.scheme}://{request.get_host()}").rstrip("/")


def qr_svg(text, label):
    """A code for the phone as inline SVG, without style attributes."""
    import segno

    code = segno.make(text, error="m", boost_error=False)
    size = code.symbol_size(border=2)[0]
    runs = []
    for y, row in enumerate(code.matrix):
        x = 0
        while x < len(row):
            length = 1
            if row[x]:
                while x + length < len(row) and row[x + length]:
                    length += 1
                runs.append(f"M{x + 2} {y + 2}h{length}v1h-{length}z")
            x += length
    return (
        f'<svg class="qr" viewBox="0 0 {size} {size}" role="img" aria-label="{label}" '
        'shape-rendering="crispEdges">'
        f'<rect width="{size}" height="{size}" fill="#fff"/><path d="{"".join(runs)}" fill="#000"/></svg>'
    )
