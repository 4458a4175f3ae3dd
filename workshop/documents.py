"""Data sheets: kept as they were handed in, looked at by nobody here, given out as attachments only."""

import hashlib
from pathlib import PurePath

from django.core.files.storage import default_storage

from workshop.models import Document

MOST_BYTES = 20 * 1024 * 1024
MAGIC = b"%PDF-"  # what every PDF begins with


class NotADocument(ValueError):  # noqa: N818 an answer to who sent it
    """The upload is no data sheet that can be kept; the message says why, for the maker."""


def take_in(upload, member, *, at):
    """Keep an uploaded PDF; returns its Document.

    Raises NotADocument when it is too big or no PDF, whatever its name says.
    """
    if upload.size > MOST_BYTES:
        raise NotADocument(f"This file is larger than {MOST_BYTES // 1024**2} MB. Send a smaller one.")
    digest, first = hashlib.sha256(), b""
    for chunk in upload.chunks():
        first = first or chunk[: len(MAGIC)]
        digest.update(chunk)
    if first != MAGIC:
        raise NotADocument("This file is no PDF. Send the maker’s sheet as a PDF.")
    row = Document(
        shop=member.shop,
        created_at=at,
        created_by=member.user,
        sha256=digest.hexdigest(),
        name=name_of(upload),
        bytes=upload.size,
    )
    upload.seek(0)
    default_storage.save(path_of(row), upload)
    row.save()
    return row


def name_of(upload):
    """The name it came with, without folders and what can't be printed; always a PDF's."""
    plain = "".join(letter for letter in PurePath(upload.name or "").name if letter.isprintable())
    stem = plain[:-4] if plain.lower().endswith(".pdf") else plain
    return f"{stem.strip()[:110] or 'sheet'}.pdf"


def path_of(document):
    """Where a document's file lies in the media store."""
    return f"documents/{document.shop.key}/{document.key}.pdf"
