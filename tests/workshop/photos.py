"""Photos for tests, made here: formats, orientation, places, wide colours, and what is none."""

import io
import struct
import zlib

import pillow_heif
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

pillow_heif.register_heif_opener()

AMBER = (200, 120, 30)
ORIENTATION, EXIF_BLOCK, GPS_BLOCK = 0x0112, 0x8769, 0x8825
TAKEN, TAKEN_OFFSET, SERIAL = 0x9003, 0x9011, 0xA431
RIGHT_TOP = 6  # the camera was turned: rows of the file are columns of the picture


def upload(content, name="pour.jpg"):
    """A file as a browser sends it."""
    return SimpleUploadedFile(name, content)


def encoded(image, kind="JPEG", **more):
    """The bytes of an image."""
    content = io.BytesIO()
    if "exif" in more:  # as bytes, since the HEIC encoder turns the picture by these only
        more["exif"] = more["exif"].tobytes()
    image.save(content, kind, **more)
    return content.getvalue()


def photo(kind="JPEG", size=(64, 48), color=AMBER, mode="RGB", **more):
    """An even photo as a phone sends it."""
    return upload(encoded(Image.new(mode, size, color), kind, **more))


def two_halves(kind="JPEG", size=(64, 32), **more):
    """A photo whose left half is red and whose right half is blue."""
    image = Image.new("RGB", size, "blue")
    image.paste("red", (0, 0, size[0] // 2, size[1]))
    return upload(encoded(image, kind, **more))


def exif(orientation=1, taken="2026:03:10 09:30:00", offset=""):
    """What a phone writes beside a photo: how it was held, when, where, and its own number."""
    facts = Image.Exif()
    facts[ORIENTATION] = orientation
    block = facts.get_ifd(EXIF_BLOCK)
    block[TAKEN], block[SERIAL] = taken, "SERIAL-4711"
    if offset:
        block[TAKEN_OFFSET] = offset
    facts.get_ifd(GPS_BLOCK).update({1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)})
    return facts


def png_that_says(width, height):
    """The head of a PNG that claims a size, with next to nothing behind it."""

    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0" * 64)) + chunk(b"IEND", b"")


# Display P3: primaries of SMPTE RP 431-2, white D65, adapted to the profile's D50 by Bradford;
# the XYZ columns are those of the published profile (from memory, checked below against known colours)
P3_COLUMNS = {
    "rXYZ": (0.51512, 0.24120, -0.00105),
    "gXYZ": (0.29198, 0.69225, 0.04189),
    "bXYZ": (0.15710, 0.06657, 0.78407),
}
D50 = (0.96420, 1.0, 0.82491)  # ICC.1:2010, 7.2.16


def wide_gamut_profile():
    """An ICC profile of Display P3, built field by field (ICC.1:2010, 7 and 10)."""

    def fixed(*numbers):
        return b"".join(struct.pack(">i", round(number * 65536)) for number in numbers)

    curve = b"para" + struct.pack(">IHH", 0, 3, 0) + fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    name = b"wide\0"
    tags = {
        "desc": b"desc" + struct.pack(">II", 0, len(name)) + name + b"\0" * 78,
        "cprt": b"text" + struct.pack(">I", 0) + b"none\0",
        "wtpt": b"XYZ " + struct.pack(">I", 0) + fixed(*D50),
        **{tag: b"XYZ " + struct.pack(">I", 0) + fixed(*xyz) for tag, xyz in P3_COLUMNS.items()},
        "rTRC": curve, "gTRC": curve, "bTRC": curve,
    }  # fmt: skip
    table, body, start = b"", b"", 128 + 4 + 12 * len(tags)
    for tag, data in tags.items():
        table += tag.encode() + struct.pack(">II", start + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    head = struct.pack(">I4sI4s4s4s12s4s4sI", start + len(body), b"", 0x02400000, b"mntr", b"RGB ", b"XYZ ",
                       b"", b"acsp", b"", 0)  # fmt: skip
    head += struct.pack(">II8sI", 0, 0, b"", 0) + fixed(*D50)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def pdf(name="sheet.pdf", content=b"%PDF-1.7 made for a test"):
    """A data sheet as a browser uploads it."""
    return SimpleUploadedFile(name, content, content_type="application/pdf")
