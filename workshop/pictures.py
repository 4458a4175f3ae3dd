"""Photos: hostile until decoded. One upright sRGB master without metadata, a smaller copy beside it."""

import contextlib
import hashlib
import io
import struct
import threading
from datetime import datetime

try:
    import fcntl
except ImportError:  # Windows has one process here, so the thread's turn is enough
    fcntl = None

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from workshop.models import Picture

ALLOWED = ("JPEG", "PNG", "WEBP", "HEIF")  # a phone's MPO, a JPEG with more behind it, opens as JPEG
MASTER_PX, SMALL_PX = 2560, 480
MAX_PIXELS = 60_000_000
SIZES = ("master", "small")
TOO_MANY_PIXELS = "This photo has more than 60 megapixels. Send a smaller one."
DAMAGE = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    EOFError,
    RuntimeError,
    struct.error,
)
"""What the decoders raise over bytes that make no sense."""
ONE_AT_A_TIME = threading.Semaphore(1)  # a 12 megapixel photo takes some 300 MB while it is worked on


class NotAPicture(ValueError):  # noqa: N818 an answer to who sent it
    """The upload is no photo that can be kept; the message says why, for the maker."""


def take_in(upload, member, *, at):
    """Keep an uploaded photo; returns its Picture.

    Raises NotAPicture when it is too big, damaged or no picture. What was uploaded is not kept.
    """
    if upload.size > settings.PICTURE_MAX_BYTES:
        raise NotAPicture(
            f"This photo is larger than {settings.PICTURE_MAX_BYTES // 1024**2} MB. Send a smaller one."
        )
    with quiet_turn():
        master, taken_at = decode(upload, member.shop.tz)
        files = {"master": jpeg(master, MASTER_PX, 86), "small": jpeg(master, SMALL_PX, 80)}
        width, height = fitted(master.size, MASTER_PX)
    row = Picture(
        shop=member.shop,
        created_at=at,
        created_by=member.user,
        width=width,
        height=height,
        taken_at=taken_at,
        sha256=hashlib.sha256(files["master"]).hexdigest(),
        bytes=len(files["master"]),
    )
    for size, content in files.items():
        default_storage.save(path_of(row, size), ContentFile(content))
    row.save()
    return row


def path_of(picture, size):
    """Where a picture's file lies in the media store."""
    return f"pictures/{picture.shop.key}/{picture.key}-{size}.jpg"


@contextlib.contextmanager
def quiet_turn():
    """One photo at a time in all workers of this machine, so that memory stays bounded."""
    lock = settings.DATA_DIR / "pictures.lock"
    lock.parent.mkdir(parents=True, exist_ok=True)
    with ONE_AT_A_TIME, lock.open("w") as handle:
        if fcntl:
            fcntl.flock(handle, fcntl.LOCK_EX)  # released when the file is closed
        yield


def decode(upload, tz):
    """The picture of an upload, upright, in sRGB, without metadata, and when it was taken.

    A camera's own clock has no zone: `tz` is the shop's.
    """
    import pillow_heif
    from PIL import Image, ImageFile, UnidentifiedImageError

    pillow_heif.register_heif_opener()
    Image.MAX_IMAGE_PIXELS = MAX_PIXELS
    # the library of the sheets turns this on for the whole process: half a photo would pass for a whole one
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with Image.open(upload, formats=ALLOWED) as opened:
            if opened.width * opened.height > MAX_PIXELS:
                raise NotAPicture(TOO_MANY_PIXELS)
            taken_at = taken(opened, tz)
            opened.draft("RGB", (MASTER_PX * 2, MASTER_PX * 2))
            opened.load()
            return to_srgb(upright(opened)), taken_at
    except NotAPicture:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as problem:
        raise NotAPicture(TOO_MANY_PIXELS) from problem
    except UnidentifiedImageError as problem:
        raise NotAPicture(
            "This file is no photo that can be read here (JPEG, PNG, WebP or HEIC)."
        ) from problem
    except DAMAGE as problem:
        raise NotAPicture("This photo is damaged and can't be read. Take or send it again.") from problem


def upright(image):
    """Turned as the camera was held; as it lies where that can't be read."""
    from PIL import ImageOps

    try:
        return ImageOps.exif_transpose(image)
    except DAMAGE:
        return image


def to_srgb(image):
    """Colours as a screen without profiles shows them; transparency on white."""
    from PIL import Image, ImageCms

    profile = image.info.get("icc_profile")
    if image.mode.startswith("I;16"):  # 16 bits of grey: the plain conversion makes them all white
        image = image.point(lambda value: value / 256).convert("L")
    if image.mode in {"RGBA", "LA", "P"}:
        layer = image.convert("RGBA")
        white = Image.new("RGBA", layer.size, "white")
        image = Image.alpha_composite(white, layer)
    rgb = image.convert("RGB")
    if profile:
        with contextlib.suppress(ImageCms.PyCMSError, OSError):  # a broken profile: the plain colours do
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(
                rgb, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
            rgb = converted or rgb
    clean = Image.new("RGB", rgb.size)
    clean.paste(rgb)
    return clean


def taken(image, tz):
    """When the camera says it was, in the zone it names or else in `tz`; None where it doesn't say."""
    try:
        facts = image.getexif().get_ifd(0x8769)  # the Exif block; DateTimeOriginal, OffsetTimeOriginal
        text, offset = str(facts.get(0x9003)).strip("\0 "), str(facts.get(0x9011, "")).strip("\0 ")
        moment = datetime.strptime(text, "%Y:%m:%d %H:%M:%S").replace(tzinfo=tz)
    except DAMAGE:
        return None
    with contextlib.suppress(ValueError):
        moment = datetime.strptime(text + offset, "%Y:%m:%d %H:%M:%S%z")
    return moment


def fitted(size, longest):
    """A size made to fit a square of `longest` pixels, never enlarged."""
    factor = min(1.0, longest / max(size))
    return max(1, round(size[0] * factor)), max(1, round(size[1] * factor))


def jpeg(image, longest, quality):
    """The bytes of a JPEG of at most `longest` pixels a side."""
    from PIL import Image

    out = io.BytesIO()
    image.resize(fitted(image.size, longest), Image.Resampling.LANCZOS).save(
        out, "JPEG", quality=quality, optimize=True
    )
    return out.getvalue()
