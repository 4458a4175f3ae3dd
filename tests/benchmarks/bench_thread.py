"""How long a few things take, as multiples of an empty signed-in page on the same machine in one run.

    .venv/bin/python -m pytest tests/benchmarks -o python_files="bench_*.py" -q

The ordinary run does not collect this file. Nothing here fails on a time: machines differ, and so does
what else they do meanwhile. The numbers to compare are the ratios of one run.
"""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from projects import sheets
from tests.benchmarks.conftest import UNIT
from tests.factories import AT, Bench, MemberFactory, key, moment
from tests.projects.pages import at
from workshop import pictures

pytestmark = pytest.mark.django_db


def noisy_photo(width=4000, height=3000):
    """A photo of 12 megapixels with grain, so that it is as hard to read as a real one."""
    grain = Image.effect_noise((width, height), 40)
    light = Image.linear_gradient("L").resize((width, height))
    content = io.BytesIO()
    Image.merge("RGB", (grain, light, grain)).save(content, "JPEG", quality=90)
    return content.getvalue()


def test_an_empty_page(signed_in, measured):
    member = MemberFactory()
    client, address = signed_in(member), at("bench", member.shop)
    assert measured(UNIT, lambda: client.get(address), rounds=60, warmups=5).status_code == 200


def test_a_projects_page(signed_in, measured):
    bench = Bench()
    client, address = signed_in(bench.member), at("block", bench.shop, bench.project.key)
    assert measured("a project's page", lambda: client.get(address), rounds=40, warmups=3).status_code == 200


def test_the_figures_after_a_keystroke(signed_in, measured):
    bench = Bench()
    client, address = signed_in(bench.member), at("block", bench.shop, bench.project.key)
    typed = {
        "strip_mm": "2", "gap_mm": "2", "finished_mm": "10", "strips": "60", "length_mm": "600",
        "resin": bench.resin.pk, "flatten_mm": "1", "edge_mm": "3", "rim_mm": "4", "over_mm": "1",
        "film_percent": "3", "soak_percent": "2",
    }  # fmt: skip

    def type_one():
        return client.get(address, typed, headers={"HX-Request": "true"})

    assert measured("the figures after a keystroke", type_one, rounds=40, warmups=3).status_code == 200


def test_a_job_sheet(measured):
    bench = Bench()
    sheet = sheets.make_sheet(
        bench.member, bench.block, key=key(), moment=moment(), paper_size="a4", origin="http://testserver"
    )
    content = measured("a job sheet as PDF, two pages", lambda: sheets.render(sheet), rounds=5)
    assert content.startswith(b"%PDF")


def test_a_photo(measured):
    member, content = MemberFactory(), noisy_photo()

    def take_in():
        upload = SimpleUploadedFile("pour.jpg", content, content_type="image/jpeg")
        return pictures.take_in(upload, member, at=AT)

    assert measured("a photo of 12 megapixels", take_in, rounds=5).width == 2560
