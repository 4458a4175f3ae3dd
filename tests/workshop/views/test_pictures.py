"""Photos are answered to those who may see them, and to nobody else."""

import uuid

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse
from PIL import Image

from tests.factories import AT, Bench, MemberFactory
from tests.workshop.photos import encoded, photo, upload
from workshop import pictures

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


@pytest.fixture
def row(member):
    return pictures.take_in(photo(), member, at=AT)


def url_of(row, size="small", shop=None, key=None):
    return reverse("workshop:picture", args=[(shop or row.shop).key, key or row.key, size])


def taken(response):
    """The bytes of a streamed answer; read to their end, its file is closed."""
    return b"".join(response.streaming_content)


@pytest.mark.parametrize("size", pictures.SIZES)
def test_a_member_gets_the_photo(signed_in, member, row, size):
    response = signed_in(member).get(url_of(row, size))
    with default_storage.open(pictures.path_of(row, size)) as file:
        assert taken(response) == file.read()


def test_a_viewer_gets_the_photo(signed_in, member, row):
    response = signed_in(MemberFactory(shop=member.shop, role="viewer")).get(url_of(row))
    assert response.status_code == 200
    assert taken(response)


def test_a_photo_comes_with_the_headers_that_keep_it_a_photo_and_private(signed_in, member, row):
    response = signed_in(member).get(url_of(row))
    assert taken(response)
    assert {
        name: response.headers[name] for name in ("Content-Type", "Content-Disposition", "Cache-Control")
    } == {
        "Content-Type": "image/jpeg",
        "Content-Disposition": "inline",
        "Cache-Control": "private, max-age=31536000, immutable",
    }
    assert response.headers["X-Content-Type-Options"] == "nosniff"


def test_a_stranger_finds_no_such_page(signed_in, row):
    assert signed_in(MemberFactory()).get(url_of(row)).status_code == 404


def test_a_photo_is_not_found_through_ones_own_shop(signed_in, row):
    stranger = MemberFactory()
    assert signed_in(stranger).get(url_of(row, shop=stranger.shop)).status_code == 404


def test_the_signed_out_are_led_to_the_door(client, row):
    assert client.get(url_of(row)).headers["Location"].startswith("/sign-in/?next=")


@pytest.mark.parametrize("size", ["huge", "raw", "..", "small.jpg", "%2e%2e"])
def test_another_size_is_no_such_page(signed_in, member, row, size):
    assert signed_in(member).get(url_of(row, size)).status_code == 404


def test_an_unknown_photo_is_no_such_page(signed_in, member, row):
    assert signed_in(member).get(url_of(row, key=uuid.uuid4())).status_code == 404


def test_a_removed_photo_is_no_such_page(signed_in, member, row):
    row.removed_at = AT
    row.save()
    assert signed_in(member).get(url_of(row)).status_code == 404


def test_a_photo_whose_file_is_gone_is_no_such_page(signed_in, member, row):
    default_storage.delete(pictures.path_of(row, "small"))
    assert signed_in(member).get(url_of(row)).status_code == 404


def test_another_method_is_refused(signed_in, member, row):
    assert signed_in(member).post(url_of(row)).status_code == 405


def test_a_photo_costs_four_questions(signed_in, member, row, django_assert_num_queries):
    client = signed_in(member)
    with django_assert_num_queries(4):  # session, user, member and shop, photo
        taken(client.get(url_of(row)))


def test_of_a_large_upload_nothing_stays_behind_in_the_temporary_folder(signed_in, tmp_path, settings):
    """Beyond 2.5 MB Django writes what comes in to a file while it comes."""
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "incoming"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    bench = Bench()
    noise = encoded(Image.effect_noise((1300, 900), 90).convert("RGB"), "PNG")
    assert len(noise) > settings.FILE_UPLOAD_MAX_MEMORY_SIZE
    url = reverse("projects:photo", args=[bench.shop.key, bench.project.key])
    response = signed_in(bench.member).post(url, {"photo": upload(noise, "noise.png"), "text": ""})
    assert response.status_code == 302
    assert list(settings.FILE_UPLOAD_TEMP_DIR.iterdir()) == []
