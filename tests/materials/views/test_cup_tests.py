"""Cup tests of a resin: typed or handed in, refused in words, fitted, taken away."""

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from materials.models import CupTest
from tests.factories import AT, Bench, CupTestFactory, MemberFactory, ResinFactory
from tests.materials.fit.room import fitted, lines, readings
from tests.projects.pages import FRAGMENT, act, said_at, typed_in, words_of
from workshop.models import Job

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MemberFactory()


@pytest.fixture
def resin(member):
    return ResinFactory(shop=member.shop)


@pytest.fixture
def client(client, member):
    client.force_login(member.user)
    return client


def new(resin):
    return reverse("materials:cup-test-new", args=[resin.shop.key, resin.key])


def address(test, name="cup-test"):
    return reverse(f"materials:{name}", args=[test.shop.key, test.key])


def typed(**changed):
    cup = {
        "mass_g": "100 g",
        "temp_c": "25",
        "points": lines(readings()),
        "taken_on": "",
        "batch": "",
        "note": "",
    }
    return act(**{**cup, **changed})


def csv(content, name="logger.csv"):
    return SimpleUploadedFile(name, content, content_type="text/csv")


def test_typed_readings_become_a_test_whose_fit_waits_for_the_worker(client, resin, member):
    response = client.post(new(resin), typed(note="by the window"))
    test = CupTest.objects.get()
    assert response.url == address(test)
    assert (test.mass_g, test.temp_c, test.note) == (100, 25, "by the window")
    assert [tuple(point) for point in test.points] == [tuple(point) for point in readings()]
    assert Job.objects.get() == test.job
    assert (test.job.kind, test.job.state, test.job.member) == ("cup_fit", "waiting", member)


def test_a_loggers_file_is_read_and_its_heading_passed_over(client, resin):
    text = "Zeit;Temp\n" + lines(readings(), ";").replace(".", ",")
    client.post(new(resin), typed(points="", file=csv(text.encode("utf-8-sig"))))
    assert len(CupTest.objects.get().points) == len(readings())


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252"])
def test_a_file_is_read_as_programs_of_tables_write_it(client, resin, encoding):
    text = "min;°C\n" + lines(readings())
    client.post(new(resin), typed(points="", file=csv(text.encode(encoding))))
    assert CupTest.objects.exists()


def test_a_fault_in_a_file_is_named_and_the_file_can_be_mended_on_the_page(client, resin):
    text = "0 25\n1 25\nabc 3\n" + lines(readings())
    response = client.post(new(resin), typed(points="", file=csv(text.encode())))
    assert response.status_code == 422
    assert "Line 3: “abc” is no number." in said_at(response, "points")
    assert typed_in(response)["points"].replace("\r\n", "\n") == text


def test_what_was_typed_stays_when_something_is_wrong(client, resin):
    response = client.post(new(resin), typed(points="0 25\n1 x", note="mine"))
    fields = typed_in(response)
    assert (fields["points"], fields["note"], fields["mass_g"]) == ("0 25\n1 x", "mine", "100 g")
    assert not CupTest.objects.exists()
    assert not Job.objects.exists()


def test_a_file_that_is_no_text_is_refused(client, resin):
    response = client.post(new(resin), typed(points="", file=csv(b"\x00\x01\x02" * 50)))
    assert "This is no text. Save the table as CSV" in said_at(response, "file")


def test_a_file_that_is_too_big_is_refused(client, resin):
    response = client.post(new(resin), typed(points="", file=csv(b"1 25\n" * 50_000)))
    assert "This file has 250 kB; 200 kB or less." in said_at(response, "file")


def test_neither_lines_nor_a_file_is_told(client, resin):
    response = client.post(new(resin), typed(points=""))
    assert said_at(response, "points") == "Type the readings here, or hand in the logger’s file."


@pytest.mark.parametrize(
    ("points", "told"),
    [
        ([[n, 25 + n / 2] for n in range(10)] + [[11, 25.0]], "The cup warmed by 4\u00a0°C only."),
        ([[n, 60 + n] for n in range(10)], "The first reading is 60\u00a0°C, the start was 25\u00a0°C."),
        ([[n, 25 + 4 * n] for n in range(10)], "The last reading is the hottest (61\u00a0°C)"),
    ],
)
def test_readings_from_which_nothing_can_be_learnt_are_refused_with_what_to_do(client, resin, points, told):
    response = client.post(new(resin), typed(points=lines(points)))
    assert response.status_code == 422
    assert told in said_at(response, "points")


def test_a_day_to_come_is_refused(client, resin):
    tomorrow = timezone.localdate() + timedelta(days=2)
    response = client.post(new(resin), typed(taken_on=tomorrow.isoformat()))
    assert said_at(response, "taken_on") == "This day is still to come."


def test_a_cup_of_an_earlier_day_was_read_at_its_noon(client, resin):
    client.post(new(resin), typed(taken_on="2026-03-01"))
    taken = CupTest.objects.get().taken_at.astimezone(resin.shop.tz)
    assert (taken.date().isoformat(), taken.hour) == ("2026-03-01", 12)


def test_a_mixed_cup_of_this_resin_can_be_named(client):
    bench = Bench()
    batch, other = bench.meet(), Bench().meet()
    client.force_login(bench.member.user)
    client.post(new(bench.resin), typed(batch=batch.pk))
    assert CupTest.objects.get().batch == batch
    assert client.post(new(bench.resin), typed(batch=other.pk)).status_code == 422


def test_fahrenheit_is_read_where_the_shop_reads_it(client, resin):
    resin.shop.units = "inch"
    resin.shop.save()
    warm = lines([[at_min, round(c * 9 / 5 + 32, 3)] for at_min, c in readings()])
    client.post(new(resin), typed(temp_c="77", mass_g="3.527 oz", points=warm))
    test = CupTest.objects.get()
    assert test.temp_c == pytest.approx(25)
    assert test.hottest_c == pytest.approx(max(c for _, c in readings()), abs=0.01)


def test_sent_twice_it_is_kept_once(client, resin):
    sent = typed()
    assert client.post(new(resin), sent).url == client.post(new(resin), sent).url
    assert CupTest.objects.count() == Job.objects.count() == 1


def test_while_it_is_fitted_the_page_shows_how_far_that_is(client, resin):
    client.post(new(resin), typed())
    response = client.get(address(CupTest.objects.get()))
    assert f"waits for its turn Fitting {resin.name} to its cup" in words_of(response)
    assert 'hx-trigger="job-stands"' in response.content.decode()


def test_a_fitted_test_shows_before_and_after_with_what_was_measured(client, resin):
    response = client.get(address(fitted(resin)))
    said = words_of(response)
    assert "Before and after" in said
    assert "by the sheet alone" in said
    assert "97 °C measured" in said
    assert f"in use Later forecasts of {resin.name} rest on this cup." in said
    assert "By the model sheet alone with this cup pot life of this cup" in said
    assert 'hx-trigger="job-stands"' not in response.content.decode()


def test_a_test_stays_readable_when_the_sheet_can_no_longer_be_fitted(client, resin):
    test = fitted(resin)
    resin.pot_minutes, resin.pot_meaning = 600, "temperature"
    resin.save()
    response = client.get(address(test))
    assert response.status_code == 200
    assert "by the sheet alone" not in words_of(response)


def test_an_older_test_says_that_a_newer_one_counts(client, resin):
    older = fitted(resin)
    fitted(resin, taken_at=AT + timedelta(days=2))
    assert "A newer cup was read; forecasts rest on that one." in words_of(client.get(address(older)))


def test_a_test_is_taken_away_and_brought_back(client, resin):
    test = fitted(resin)
    client.post(address(test, "cup-test-remove"), {"removed": "yes"})
    said = words_of(client.get(address(test)))
    assert "This cup was taken away; no forecast rests on it. Bring it back" in said
    client.post(address(test, "cup-test-remove"), {"removed": "no"})
    assert "in use" in words_of(client.get(address(test)))


def test_the_list_says_which_cup_counts(client, resin):
    fitted(resin, taken_at=AT + timedelta(days=1))
    CupTestFactory(resin=resin)
    CupTestFactory(resin=resin, removed_at=AT, taken_at=AT - timedelta(days=1))
    said = words_of(client.get(reverse("materials:cup-tests", args=[resin.shop.key, resin.key])))
    assert said.index("forecasts rest on it") < said.index("not fitted") < said.index("taken away")


def test_a_long_list_has_pages(client, resin):
    for day in range(12):
        CupTestFactory(resin=resin, taken_at=AT + timedelta(days=day))
    page = reverse("materials:cup-tests", args=[resin.shop.key, resin.key])
    assert "page 1 of 2" in words_of(client.get(page))
    assert len(client.get(page, {"page": 2}).context["page"]) == 2


def test_a_resin_without_a_cup_asks_for_one(client, resin):
    said = words_of(client.get(reverse("materials:cup-tests", args=[resin.shop.key, resin.key])))
    assert "No cup was read" in said


@pytest.mark.parametrize("name", ["cup-test", "cup-test-remove"])
def test_another_shops_test_is_not_found(client, member, name):
    other = CupTestFactory()
    place = reverse(f"materials:{name}", args=[member.shop.key, other.key])
    assert (client.get if name == "cup-test" else client.post)(place).status_code == 404


def test_a_stranger_finds_nothing(client, resin):
    client.force_login(MemberFactory().user)
    assert client.get(new(resin)).status_code == 404
    assert client.post(new(resin), typed()).status_code == 404


def test_a_viewer_reads_and_changes_nothing(client, resin):
    test = fitted(resin)
    client.force_login(MemberFactory(shop=resin.shop, role="viewer").user)
    assert client.get(address(test)).status_code == 200
    assert client.post(new(resin), typed()).status_code == 403
    assert client.post(address(test, "cup-test-remove"), {"removed": "yes"}).status_code == 403


def test_other_methods_are_refused(client, resin):
    test = CupTestFactory(resin=resin)
    assert client.post(address(test)).status_code == 405
    assert client.get(address(test, "cup-test-remove")).status_code == 405
    assert client.delete(new(resin)).status_code == 405


def queries_of(client, place, **more):
    with CaptureQueriesContext(connection) as asked:
        client.get(place, **more)
    return len(asked)


def test_the_numbers_of_queries_do_not_grow_with_the_cups(client, resin):
    test, counts = fitted(resin), []
    places = [address(test), reverse("materials:cup-tests", args=[resin.shop.key, resin.key]), new(resin)]
    for day in range(1, 4):
        fitted(resin, taken_at=AT + timedelta(days=day))
        counts.append([queries_of(client, place) for place in places])
    assert counts[0] == counts[1] == counts[2]
    assert max(counts[0]) <= 9


def test_the_page_as_a_fragment_holds_what_replaces_the_job(client, resin):
    assert 'id="cup-fit"' in client.get(address(fitted(resin)), **FRAGMENT).content.decode()
