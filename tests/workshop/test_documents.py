"""Data sheets: a PDF of bounded size, kept byte for byte, under a name that can't do harm."""

import hashlib

import pytest
from django.core.files.storage import default_storage

from tests.factories import AT, MemberFactory
from tests.workshop.photos import pdf
from workshop import documents
from workshop.models import Document

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


def test_a_sheet_is_kept_byte_for_byte(member):
    content = b"%PDF-1.4\n" + bytes(range(256)) * 400
    row = documents.take_in(pdf(content=content), member, at=AT)
    with default_storage.open(documents.path_of(row)) as kept:
        assert kept.read() == content
    assert (row.bytes, row.sha256) == (len(content), hashlib.sha256(content).hexdigest())


def test_a_sheet_lies_under_its_own_key_whatever_it_was_called(member):
    row = documents.take_in(pdf(name="../../etc/passwd.pdf"), member, at=AT)
    assert documents.path_of(row) == f"documents/{member.shop.key}/{row.key}.pdf"


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("Tarn 90.pdf", "Tarn 90.pdf"),
        ("TARN.PDF", "TARN.pdf"),
        ("sheet.exe", "sheet.exe.pdf"),
        ("a\x00b\r\nc.pdf", "abc.pdf"),
        ("x" * 300 + ".pdf", "x" * 110 + ".pdf"),
        (".pdf", "sheet.pdf"),
    ],
)
def test_a_sheets_name_is_one_that_can_be_read(name, kept):
    assert documents.name_of(type("Upload", (), {"name": name})) == kept


@pytest.mark.parametrize("content", [b"", b"%PD", b"MZ%PDF-1.7", b"<html>", b" %PDF-1.7"])
def test_what_is_no_pdf_is_refused_and_leaves_nothing(member, content):
    with pytest.raises(documents.NotADocument, match="This file is no PDF"):
        documents.take_in(pdf(content=content), member, at=AT)
    assert not Document.objects.exists()
    assert not default_storage.exists("documents")


def test_a_sheet_of_20_mb_is_taken_and_one_byte_more_is_not(member):
    largest = b"%PDF-".ljust(20 * 1024 * 1024, b" ")
    assert documents.take_in(pdf(content=largest), member, at=AT).bytes == 20 * 1024 * 1024
    with pytest.raises(documents.NotADocument, match="larger than 20 MB"):
        documents.take_in(pdf(content=largest + b" "), member, at=AT)
