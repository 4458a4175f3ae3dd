"""Paper reads our own files and nothing else."""

import io
import re

import pytest
from pypdf import PdfReader

from tests.factories import ShopFactory
from workshop import paper


@pytest.fixture
def fetch():
    return paper.make_fetcher().fetch


@pytest.mark.parametrize(
    "url",
    [
        "file:///etc/passwd",
        "file:/etc/passwd",
        "/etc/passwd",
        "http://127.0.0.1:8000/",
        "https://example.org/a.css",
        "HTTP://example.org/",
        "ftp://example.org/",
        "data:text/css,body{}",
        "media:pictures/x.jpg",
        "",
    ],
)
def test_no_other_address_is_read(fetch, url):
    with pytest.raises(ValueError, match="paper reads its own files only"):
        fetch(url)


@pytest.mark.parametrize(
    "path", ["../config/settings.py", "style/../../manage.py", "/etc/passwd", "//etc/passwd"]
)
def test_no_file_beside_the_static_ones_is_read(fetch, path):
    with pytest.raises(ValueError, match="there is no static file"):
        fetch(f"static:{path}")


def test_a_static_file_is_read_with_its_kind(fetch):
    found = fetch("static:style/paper.css")
    assert found.content_type == "text/css"
    assert b"@page" in found.read()


def test_a_missing_static_file_is_named(fetch):
    with pytest.raises(ValueError, match="there is no static file style/none.css"):
        fetch("static:style/none.css")


def test_text_typed_by_people_is_text_on_paper(caplog, tmp_path, settings):
    """A title that holds a tag is printed as it was typed; nothing is fetched for it."""
    (tmp_path / "x.html").write_text("<html lang=en><title>x</title><p>{{ title }}</p>")
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [tmp_path]}]
    content = paper.pdf("x.html", {"title": '<img src="file:///etc/passwd">'})
    assert "<img src=" in PdfReader(io.BytesIO(content)).pages[0].extract_text()
    assert not [record for record in caplog.records if record.name == "weasyprint"]


def test_a_page_is_tagged_for_screen_readers(tmp_path, settings):
    (tmp_path / "x.html").write_text("<html lang=en><title>x</title><h1>Job sheet</h1>")
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [tmp_path]}]
    document = PdfReader(io.BytesIO(paper.pdf("x.html", {})))
    assert document.trailer["/Root"]["/MarkInfo"]["/Marked"]


@pytest.mark.django_db
def test_codes_on_paper_open_the_address_in_use(rf):
    request = rf.get("/")
    request.shop = ShopFactory()
    assert paper.address_for_codes(request) == "http://testserver"


@pytest.mark.django_db
def test_codes_on_paper_open_the_shops_own_address_where_it_has_one(rf):
    request = rf.get("/")
    request.shop = ShopFactory(public_address="https://panels.example.org/")
    assert paper.address_for_codes(request) == "https://panels.example.org"


def test_a_code_is_an_image_with_a_name_and_no_style():
    svg = paper.qr_svg("https://panels.example.org/s/1/", "Opens this project")
    assert 'role="img" aria-label="Opens this project"' in svg
    assert "style" not in svg


def test_a_code_holds_the_modules_of_its_text():
    """Drawn again from the path and compared with the library's own matrix, without its border."""
    import segno

    svg = paper.qr_svg("https://panels.example.org/", "x")
    dark = {
        (int(x) - 2 + step, int(y) - 2)
        for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1", svg)
        for step in range(int(length))
    }
    matrix = segno.make("https://panels.example.org/", error="m", boost_error=False).matrix
    assert dark == {(x, y) for y, row in enumerate(matrix) for x, module in enumerate(row) if module}
