"""A data sheet is handed out as a file to keep, and never runs in our name."""

import pytest
from django.core.files.storage import default_storage

from tests.factories import AT, MemberFactory
from tests.workshop.photos import pdf
from workshop import documents

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


@pytest.fixture
def sheet(member):
    return documents.take_in(pdf(name="Tarn 90.pdf", content=b"%PDF-1.7 as it was"), member, at=AT)


def url_of(sheet):
    return f"/s/{sheet.shop.key}/documents/{sheet.key}.pdf"


def test_it_comes_as_it_was_handed_in(signed_in, member, sheet):
    response = signed_in(member).get(url_of(sheet))
    assert b"".join(response.streaming_content) == b"%PDF-1.7 as it was"


def test_it_is_an_attachment_in_a_sandbox(signed_in, member, sheet):
    response = signed_in(member).get(url_of(sheet))
    b"".join(response.streaming_content)
    wanted = {
        "Content-Type": "application/pdf",
        "Content-Disposition": 'attachment; filename="Tarn 90.pdf"',
        "Content-Security-Policy": "sandbox",
        "X-Content-Type-Options": "nosniff",
    }
    assert {name: response.headers[name] for name in wanted} == wanted
    assert response.headers["Cache-Control"].startswith("private")


def test_one_that_was_taken_away_is_no_page(signed_in, member, sheet):
    sheet.removed_at = AT
    sheet.save()
    assert signed_in(member).get(url_of(sheet)).status_code == 404


def test_one_whose_file_is_lost_is_no_page(signed_in, member, sheet):
    default_storage.delete(documents.path_of(sheet))
    assert signed_in(member).get(url_of(sheet)).status_code == 404


def test_a_stranger_finds_nothing(signed_in, sheet):
    assert signed_in(MemberFactory()).get(url_of(sheet)).status_code == 404
