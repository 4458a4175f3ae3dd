"""Photos: whatever is uploaded, what stays is an upright sRGB JPEG without a word about its maker."""

import hashlib
import random
from datetime import UTC, datetime

import pytest
from django.core.files.storage import default_storage
from PIL import Image, ImageFile

from tests.factories import AT, MemberFactory, ShopFactory
from tests.workshop.photos import (
    AMBER,
    RIGHT_TOP,
    encoded,
    exif,
    photo,
    png_that_says,
    two_halves,
    upload,
    wide_gamut_profile,
)  # fmt: skip
from workshop import pictures
from workshop.models import Picture
from workshop.pictures import NotAPicture, path_of

pytestmark = pytest.mark.django_db
KINDS = ["JPEG", "PNG", "WEBP", "HEIF"]
LEVELS = 6  # what two passes of JPEG may do to an even colour (from memory)


def keep(sent, zone="Europe/Berlin"):
    return pictures.take_in(sent, MemberFactory(shop=ShopFactory(zone=zone)), at=AT)


def kept(sent, size="master"):
    """The file that stays of an upload, decoded."""
    with default_storage.open(path_of(keep(sent), size)) as file:
        image = Image.open(file)
        image.load()
        return image


def color_of(image, x=0.5, y=0.5):
    return image.getpixel((int(image.width * x), int(image.height * y)))


def is_near(color, wanted, levels=LEVELS):
    return all(abs(one - other) <= levels for one, other in zip(color, wanted, strict=True))


# what is kept


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_of_each_kind_is_kept_in_its_colour(kind):
    image = kept(photo(kind))
    assert (image.format, image.mode, image.size) == ("JPEG", "RGB", (64, 48))
    assert is_near(color_of(image), AMBER)


def test_a_photo_with_a_second_picture_in_its_file_is_kept():
    second = Image.new("RGB", (64, 48), "white")
    assert is_near(color_of(kept(photo("MPO", save_all=True, append_images=[second]))), AMBER)


@pytest.mark.parametrize("kind", KINDS)
def test_a_photo_stands_upright(kind):
    """Held with its right side up, the red half of a sideways file is the upper one."""
    image = kept(two_halves(kind, exif=exif(RIGHT_TOP)))
    assert image.size == (32, 64)
    assert is_near(color_of(image, y=0.2), (254, 0, 0), 20)
    assert is_near(color_of(image, y=0.8), (0, 0, 254), 20)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_each_way_to_hold_a_camera_gives_the_right_shape(orientation):
    image = kept(two_halves(exif=exif(orientation)))
    assert image.size == ((64, 32) if orientation < 5 else (32, 64))


@pytest.mark.parametrize("size", pictures.SIZES)
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_tells_where_or_with_what_it_was_taken(kind, size):
    row = keep(photo(kind, exif=exif()))
    with default_storage.open(path_of(row, size)) as file:
        content = file.read()
        image = Image.open(file)
        assert dict(image.getexif()) == {}
        assert "icc_profile" not in image.info
    assert b"SERIAL-4711" not in content
    assert b"Exif" not in content


def test_a_comment_in_the_file_is_gone():
    row = keep(photo(comment=b"Ines at home"))
    with default_storage.open(path_of(row, "master")) as file:
        assert b"Ines at home" not in file.read()


@pytest.mark.parametrize(
    ("wide", "srgb"),
    [((234, 51, 35), (255, 0, 0)), ((242, 169, 59), (255, 165, 0)), ((128, 128, 128), (128, 128, 128))],
)
def test_wide_colours_come_out_as_the_eye_saw_them(wide, srgb):
    """Red is 0.91749 0.20029 0.13856 in Display P3 and orange 0.94965 0.6629 0.23297: documentation of
    the ColorAide library, page "Display P3"; white and grey are the same in both."""
    image = kept(photo("PNG", color=wide, icc_profile=wide_gamut_profile()))
    assert is_near(color_of(image), srgb)


def test_wide_colours_of_a_picture_with_a_clear_background_come_out_too():
    image = kept(photo("PNG", color=(234, 51, 35, 255), mode="RGBA", icc_profile=wide_gamut_profile()))
    assert is_near(color_of(image), (255, 0, 0))


def test_a_broken_profile_leaves_the_plain_colours():
    assert is_near(color_of(kept(photo("PNG", icc_profile=b"no profile"))), AMBER)


@pytest.mark.parametrize(
    ("mode", "color", "wanted"),
    [
        ("RGBA", (*AMBER, 255), AMBER),
        ("RGBA", (*AMBER, 0), (255, 255, 255)),
        ("LA", (90, 255), (90, 90, 90)),
        ("L", 90, (90, 90, 90)),
        ("I;16", 90 * 256, (90, 90, 90)),
        ("1", 1, (255, 255, 255)),
        ("P", 0, (0, 0, 0)),
    ],
)
def test_every_way_to_store_a_colour_is_read(mode, color, wanted):
    assert is_near(color_of(kept(photo("PNG", mode=mode, color=color))), wanted)


def test_colours_for_the_press_are_read():
    assert kept(photo("JPEG", mode="CMYK", color=(0, 0, 0, 0))).mode == "RGB"


@pytest.mark.parametrize(("size", "shape"), [("master", (2560, 1280)), ("small", (480, 240))])
def test_a_large_photo_is_made_to_fit(size, shape):
    assert kept(photo(size=(3000, 1500)), size).size == shape


def test_a_small_photo_is_not_blown_up():
    assert kept(photo(size=(30, 20)), "master").size == (30, 20)


def test_a_line_of_pixels_keeps_its_last_one():
    assert kept(photo("PNG", size=(5000, 1)), "small").size == (480, 1)


def test_the_row_tells_size_bytes_and_fingerprint_of_what_is_kept():
    row = Picture.objects.get(pk=keep(photo(size=(64, 48))).pk)
    with default_storage.open(path_of(row, "master")) as file:
        content = file.read()
    assert (row.width, row.height) == (64, 48)
    assert (row.bytes, row.sha256) == (len(content), hashlib.sha256(content).hexdigest())


def test_of_the_upload_itself_nothing_stays(settings):
    sent = photo("PNG", exif=exif())
    raw = sent.read()
    sent.seek(0)
    keep(sent)
    files = [file for file in settings.MEDIA_ROOT.rglob("*") if file.is_file()]
    assert sorted(file.name.rsplit("-", 1)[1] for file in files) == ["master.jpg", "small.jpg"]
    assert all(raw not in file.read_bytes() for file in files)


# when it was taken


def test_a_cameras_clock_is_the_shops():
    """9:30 in Berlin in March is 8:30 in Greenwich."""
    assert keep(photo(exif=exif())).taken_at == datetime(2026, 3, 10, 8, 30, tzinfo=UTC)


def test_a_camera_that_knows_its_zone_is_believed():
    row = keep(photo(exif=exif(offset="-05:00")))
    assert row.taken_at == datetime(2026, 3, 10, 14, 30, tzinfo=UTC)


@pytest.mark.parametrize("taken", ["0000:00:00 00:00:00", "yesterday", "", "2026:02:30 10:00:00"])
def test_a_camera_that_does_not_know_the_time_tells_none(taken):
    assert keep(photo(exif=exif(taken=taken))).taken_at is None


def test_a_photo_without_facts_tells_no_time():
    assert keep(photo("PNG")).taken_at is None


# what is refused


NO_PHOTO = {
    "text": b"not a photo at all",
    "svg": b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "html": b"<html><script>alert(1)</script>",
    "gif": encoded(Image.new("P", (8, 8)), "GIF"),
    "bmp": encoded(Image.new("RGB", (8, 8)), "BMP"),
    "tiff": encoded(Image.new("RGB", (8, 8)), "TIFF"),
    "pdf": encoded(Image.new("RGB", (8, 8)), "PDF"),
    "eps": encoded(Image.new("RGB", (8, 8)), "EPS"),
    "empty": b"",
}


@pytest.mark.parametrize("name", NO_PHOTO)
def test_what_is_no_photo_is_refused_whatever_its_name(name):
    with pytest.raises(NotAPicture, match=r"no photo that can be read here \(JPEG, PNG, WebP or HEIC\)"):
        keep(upload(NO_PHOTO[name], "pour.jpg"))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("part", [0.5, 0.9])
def test_a_photo_cut_off_on_its_way_is_refused(kind, part):
    noise = encoded(Image.effect_noise((200, 150), 80).convert("RGB"), kind)
    with pytest.raises(NotAPicture, match="This photo is damaged"):
        keep(upload(noise[: int(len(noise) * part)]))


def test_a_photo_cut_off_is_refused_also_after_a_sheet_was_printed(monkeypatch):
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)  # as WeasyPrint does when it is loaded
    noise = encoded(Image.effect_noise((200, 150), 80).convert("RGB"), "JPEG")
    with pytest.raises(NotAPicture, match="This photo is damaged"):
        keep(upload(noise[: len(noise) // 2]))


@pytest.mark.filterwarnings(
    "ignore"
)  # the decoders warn about facts that make no sense; what counts is what is done
@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_file_is_kept_or_refused_and_never_breaks_the_page(kind):
    good = encoded(Image.effect_noise((64, 48), 60).convert("RGB"), kind, exif=exif(RIGHT_TOP))
    dice = random.Random(20260310)
    zone = ShopFactory.build().tz
    refused = 0
    for _ in range(150):
        spoilt = bytearray(good)
        for _ in range(dice.choice([1, 3, 20])):
            spoilt[dice.randrange(min(len(good), 700))] = dice.randrange(256)
        try:
            pictures.decode(upload(bytes(spoilt)), zone)
        except NotAPicture:
            refused += 1
    assert refused > 0


@pytest.mark.filterwarnings("ignore")
def test_facts_that_make_no_sense_cost_no_photo():
    content = bytearray(encoded(Image.new("RGB", (64, 48), AMBER), exif=exif(RIGHT_TOP)))
    where = content.index(b"Exif\0\0") + 6
    content[where : where + 8] = b"XX*\0\xff\xff\xff\x7f"
    assert is_near(color_of(kept(upload(bytes(content)))), AMBER)


@pytest.mark.parametrize("pixels", [(8000, 7626), (30_000, 2001), (60_000, 60_000)])
def test_more_than_sixty_megapixels_are_refused_before_they_are_decoded(pixels):
    with pytest.raises(NotAPicture, match=r"more than 60 megapixels\. Send a smaller one\."):
        keep(upload(png_that_says(*pixels)))


@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
def test_sixty_one_megapixels_are_refused_where_the_library_only_warns():
    with pytest.raises(NotAPicture, match="more than 60 megapixels"):
        keep(upload(png_that_says(8000, 7626)))


def test_a_file_that_unpacks_to_more_than_it_says_is_refused():
    """A bomb: a few kilobytes that would become hundreds of megabytes."""
    with pytest.raises(NotAPicture, match="more than 60 megapixels"):
        keep(photo("PNG", size=(12_000, 12_000), mode="1", color=1))


def test_more_bytes_than_the_limit_are_refused(settings):
    settings.PICTURE_MAX_BYTES = 1024**2
    with pytest.raises(NotAPicture, match=r"larger than 1 MB\. Send a smaller one\."):
        keep(upload(b"\xff\xd8" + b"\0" * 1024**2))


@pytest.mark.parametrize("content", [b"text", encoded(Image.effect_noise((200, 150), 80))[:3000]])
def test_of_a_refused_upload_nothing_stays(content, settings):
    with pytest.raises(NotAPicture, match="This"):
        keep(upload(content))
    assert not Picture.objects.exists()
    assert not [file for file in settings.MEDIA_ROOT.rglob("*") if file.is_file()]
